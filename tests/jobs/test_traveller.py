"""The traveller, read back from its PDF as someone would who has nothing else."""

from __future__ import annotations

import io
import re
import time
from datetime import date
from functools import cache
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

import numpy as np
import pdfplumber
import pypdfium2
import pytest

from dryfit import workflow
from dryfit.drafting.traveller.flow import overlaps
from dryfit.drafting.traveller.pages import traveller_pages
from dryfit.drafting.traveller.stations import Side, stations
from dryfit.errors import SizeError
from dryfit.pages.letters import text_box
from dryfit.pages.paper import PAPERS
from dryfit.workflow.traveller import Wish, make_traveller, packet_of
from tests.helpers.random_pieces import random_piece
from tests.helpers.reading import Read, numbers
from tools.furniture import cabinet

if TYPE_CHECKING:
    from dryfit.pages.page import Page
    from dryfit.workflow import Rehearsal

EXAMPLES = Path(__file__).parents[2] / "examples"
TRAY, HAND, ANGLED = "type-tray.toml", "crate-corner.toml", "press-stand.toml"
MOST_BYTES = 5_000_000
MOST_TIMES = 8
"""How many times its rehearsal a traveller may take. [-]"""


@cache
def _job(name: str) -> Rehearsal:
    return workflow.read(EXAMPLES / name)


@cache
def _read(name: str) -> Read:
    return Read(make_traveller(_job(name)).data)


def _flaws(page: Page) -> list[str]:
    """What lies over something else, or beyond the frame."""
    flaws = [f"{a.content!r} over {b.content!r}" for a, b in overlaps(page.texts, 0.05)]
    for text in page.texts:
        x0, y0, x1, y1 = text_box(text)
        if x0 < 20 - 0.01 or y0 < 10 - 0.01 or x1 > page.width - 9.99 or y1 > page.height - 9.99:
            flaws.append(f"{text.content!r} leaves the frame")
    return flaws


@pytest.mark.parametrize("look", [Wish(), Wish("letter", "both", large=True), Wish("A3", "in")])
@pytest.mark.parametrize("name", [TRAY, HAND, ANGLED])
def test_nothing_lies_over_anything_or_leaves_the_frame(name: str, look: Wish) -> None:
    for page in traveller_pages(packet_of(_job(name), look)):
        assert _flaws(page) == [], page.title


def _random_flaws(seeds: range) -> list[str]:
    found = []
    for seed in seeds:
        rng = Random(seed)  # noqa: S311
        piece = random_piece(seed)
        wish = Wish(rng.choice(list(PAPERS)), rng.choice(["", "mm", "in", "both"]), seed % 5 == 0)
        for page in traveller_pages(packet_of(piece.rehearsal, wish)):
            found += [f"{seed}: {page.title}: {flaw}" for flaw in _flaws(page)]
    return found


def test_random_jobs_overlap_nowhere() -> None:
    assert _random_flaws(range(10)) == []


@pytest.mark.prove
def test_two_hundred_random_jobs_overlap_nowhere() -> None:
    assert _random_flaws(range(1000, 1200)) == []


@pytest.mark.prove
def test_a_cabinet_of_sixty_panels_is_small_and_soon_there() -> None:
    """A ratio, since times differ: on idle cores its rehearsal takes some 0.6 s."""
    rehearsal = workflow.read_text(cabinet())
    assert len(rehearsal.parts) == 60
    begin = time.process_time()
    workflow.forget()
    assert workflow.read_text(cabinet()).report.answers
    rehearsed = time.process_time() - begin
    assert len(make_traveller(rehearsal).data) < MOST_BYTES
    begin = time.process_time()
    make_traveller(rehearsal)
    assert (time.process_time() - begin) / rehearsed < MOST_TIMES


def test_the_same_job_gives_the_same_bytes_and_no_date_of_its_own() -> None:
    rehearsal = workflow.read(EXAMPLES / ANGLED)
    first = make_traveller(_job(ANGLED)).data
    assert make_traveller(rehearsal).data == first
    assert b"CreationDate" not in first
    dated = make_traveller(rehearsal, Wish(on=date(2026, 11, 25))).data
    assert b"D:20261125000000" in dated
    assert "2026-11-25" in Read(dated).sheets[0].text


def test_it_opens_in_two_readers_and_asks_for_no_scaling() -> None:
    data = _read(TRAY).data
    assert data.startswith(b"%PDF-1.6")
    assert b"/PrintScaling /None" in data
    document = pypdfium2.PdfDocument(data)
    sheets = make_traveller(_job(TRAY)).sheets
    assert len(document) == sheets == len(_read(TRAY).sheets)
    for number in range(sheets):
        said = document[number].get_textpage().get_text_bounded()
        assert f"{number + 1} / {sheets}" in said.replace("\r\n", "\n")
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        fonts = {char["fontname"].split("+")[1] for char in pdf.pages[0].chars}
    assert all(font.startswith(("FiraGO", "SourceSerif")) for font in fonts)
    assert len(fonts) == data.count(b"/FontFile2")


@pytest.mark.parametrize("name", [TRAY, ANGLED])
def test_dimensions_are_the_parts_to_the_last_digit(name: str) -> None:
    rehearsal = _job(name)
    packet = packet_of(rehearsal)
    sheets = [s for s in _read(name).of("part drawing") if s.lines[0][0].startswith("Part ")]
    assert len(sheets) == len(packet.drawings)
    for parts, sheet in zip(packet.drawings, sheets, strict=True):
        x0, y0, x1, y1 = parts[0].profile.bounds
        text = sheet.text
        overall = re.search(r"Overall ([\d.]+) mm by\s+([\d.]+) mm, ([\d.]+) mm thick", text)
        assert overall is not None, text
        sizes = [f"{value:.2f}" for value in (x1 - x0, y1 - y0, parts[0].thickness)]
        assert list(overall.groups()) == sizes
        body = text.split("Running dimensions")[1].split("Finger plans")[0]
        body = body.split("Inside the outline")[0].split("title")[0]
        printed = numbers(body)
        rows: list[list[float]] = []
        for value in printed:
            if value == 0:
                rows.append([])
            rows[-1].append(value)
        ends = {f"{row[-1]:.2f}" for row in rows}
        assert ends == set(sizes[:2])
        wanted = {tuple(round(at, 2) for at in stations(parts[0], side)) for side in Side}
        assert {tuple(row) for row in rows} == wanted


def test_the_job_is_rebuilt_from_the_paper_alone() -> None:
    """Sizes, thicknesses, counts, gaps and cutter are read from the text, nothing else."""
    read, rehearsal = _read(TRAY), _job(TRAY)
    cover = read.sheets[0].text
    about = re.search(r"A (\w+) of \d+ parts, (\d+) of them\. Outside ([\d.]+) mm .*? ([\d.]+) mm "
                      r".*? ([\d.]+) mm\s+high", cover, re.DOTALL)  # fmt: skip
    assert about is not None, cover
    form, times, *outside = about.groups()
    cutter = re.search(r"Cutter: (\w+), diameter ([\d.]+) mm, relief (\w+)", cover)
    assert cutter is not None
    (stock,) = read.sheets[0].rows("stock", "material", "sold as [mm]", "thick [mm]", "readings")
    (joints,) = [
        sheet.rows("joint", "kind", "leads", "divisions", "width", "flank gap",
                   "proud lead / mate")
        for sheet in read.of("cut list and joints")
    ]  # fmt: skip
    assert len(joints) == 8
    lines = [
        "format = 1", 'unit = "mm"', f"times = {times}", "[piece]", f'form = "{form}"',
        f"outside = [{', '.join(outside)}]", f"[stock.{stock[0]}]", f'material = "{stock[1]}"',
        f"nominal = {stock[2]}", f"readings = [{', '.join(stock[4].split())}]", "[cutter]",
        f'kind = "{cutter[1]}"', f"diameter = {cutter[2]}", f'relief = "{cutter[3]}"',
    ]  # fmt: skip
    for joint, _, leads, count, _, gap, proud in joints:
        assert len(set(proud.split(" / "))) == 1
        lines += [f'[joint."{joint}"]', f'leads = "{leads}"', f"count = {count}",
                  f"flank_gap = {gap}", f"proud = {proud.split(' / ')[0]}"]  # fmt: skip
    again = workflow.read_text("\n".join(lines))
    assert again.job.times == rehearsal.job.times
    for one, other in zip(again.parts, rehearsal.parts, strict=True):
        assert one.name == other.name
        assert one.thickness == other.thickness
        mine, theirs = one.profile.outer.vertices, other.profile.outer.vertices
        # The gap is printed to 0.0001 mm and the proud to 0.001.
        np.testing.assert_allclose(mine, theirs, atol=0.0011)


@pytest.mark.parametrize("name", ["type-cabinet.toml", ANGLED, HAND])
def test_the_job_file_on_paper_is_the_job_file(name: str) -> None:
    """Whatever the form, its last pages are enough to type the job in again."""
    numbered = [line for sheet in _read(name).of("job file") for line in sheet.lines]
    rows: dict[int, str] = {}
    for line in numbered:
        match = re.fullmatch(r"(\d+) (.+)", " ".join(line))
        if match and line[0].isdigit():
            rows[int(match[1])] = match[2]
        elif rows and len(line) == 1 and not re.match(r"What|The job file|title|owner", line[0]):
            rows[max(rows)] += f" {line[0]}"
    text = "\n".join(rows[number] for number in sorted(rows))
    again = workflow.read_text(text)
    for one, other in zip(again.parts, _job(name).parts, strict=True):
        np.testing.assert_array_equal(one.profile.outer.vertices, other.profile.outer.vertices)


def test_unknown_papers_and_units_are_refused_in_a_sentence() -> None:
    with pytest.raises(SizeError, match="There is no paper 'A9'; take A4, A3, letter"):
        make_traveller(_job(ANGLED), Wish(paper="A9"))
    with pytest.raises(SizeError, match="There is no unit 'ell'; take mm, in, both"):
        make_traveller(_job(ANGLED), Wish(units="ell"))
