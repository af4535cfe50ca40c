from __future__ import annotations

import pytest

from dryfit.jobfile.lines import scan

TEXT = '''\
# a comment with = and [brackets]
format = 1
"title" = "a = b # no comment"

[piece]
outside = [
    330, # x
    220,
]
form.name = "tray"
[stock."9 mm"]   # heading
readings = [8.7]
note = """
two = 2
lines"""
last = 'it''s'
[joint]
"front+left" = { count = 7, deep = { leads = "front" }, width = 3 }
[[list]]
item = 1
"caf\\u00e9" = 2
'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("format",), 2),
        (("title",), 3),
        (("piece",), 5),
        (("piece", "outside"), 6),
        (("piece", "form", "name"), 10),
        (("stock", "9 mm"), 11),
        (("stock", "9 mm", "readings"), 12),
        (("stock", "9 mm", "note"), 13),
        (("stock", "9 mm", "last"), 16),
        (("joint",), 17),
        (("joint", "front+left"), 18),
        (("joint", "front+left", "count"), 18),
        (("joint", "front+left", "deep", "leads"), 18),
        (("joint", "front+left", "width"), 18),
        (("list", "item"), 20),
        (("list", "caf\u00e9"), 21),
    ],
)
def test_finds_the_line_of_a_key(path: tuple[str, ...], line: int) -> None:
    assert scan(TEXT).line(path) == line


def test_a_key_that_is_missing_stands_where_its_table_does() -> None:
    found = scan(TEXT)
    assert found.line(("stock", "9 mm", "nominal")) == 11
    assert found.line(("cutter", "kind")) == 0
    assert ("two",) not in found.lines


@pytest.mark.parametrize(
    ("text", "depth"),
    [
        ("a = 1", 1),
        ("a = [[1], [[2]]]", 3),
        ("a.b.c = 1", 3),
        ("[a.b]\nc = 1", 2),
        ("a = {b = {c = 1}}", 2),
        ('a = "[[[[["', 1),
        ("a = '''\n[[[[['''", 1),
        ("a = 1 # [[[[[", 1),
    ],
)
def test_tells_how_deep_the_text_nests(text: str, depth: int) -> None:
    assert scan(text).depth == depth


@pytest.mark.parametrize(
    "text",
    [
        "[" * 10_000,
        "\na = " + "[" * 300_000,
        "\na = " + "{b=" * 300_000,
        "\na" + ".a" * 400_000 + " = 1",
        "\n[a" + ".a" * 400_000 + "]" + "\nb = 1" * 10_000,
    ],
)
def test_gives_up_where_the_text_nests_too_deep(text: str) -> None:
    found = scan(text, deepest=30)
    assert found.too_deep == 1 + text.startswith("\n")
    assert found.depth == 31


@pytest.mark.parametrize("text", ["]]]]", "= = =", '"', "'''", '"""\\', "a = }", "[a\n[b", "\x00"])
def test_never_fails(text: str) -> None:
    assert scan(text).depth < 5


def test_a_text_full_of_open_quotes_is_walked_once() -> None:
    text = 'a = "' + '\\"' * 400_000
    assert scan(text).lines == {("a",): 1}
