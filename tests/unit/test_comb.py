"""The fit comb: which gaps it has, its parts, its card and its command."""

from __future__ import annotations

import io
import xml.etree.ElementTree as ET
from pathlib import Path

import ezdxf
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, box

from dryfit.cli.main import main
from dryfit.materials.sheets import MATERIALS
from dryfit.model.comb import Comb
from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.stock import Stock
from dryfit.parts.comb import comb_parts
from dryfit.tolerance.comb import choose_steps, expected_variance

ROOT = Path(__file__).parents[2]
TRAY = ROOT / "examples" / "type-tray.toml"
CASE = ROOT / "examples" / "paper-case.toml"
SDS, EDGES, SOCKETS = st.floats(0.01, 0.1), st.floats(0.008, 0.04), st.integers(3, 10)


@settings(max_examples=15)
@given(SOCKETS, st.floats(-0.05, 0.05), SDS, EDGES)
def test_a_comb_tells_something_and_a_longer_one_more(
    sockets: int, mean: float, sd: float, edge: float
) -> None:
    steps = choose_steps(sockets, mean=mean, sd=sd, edge_sd=edge)
    assert steps.after < steps.before == sd
    longer = choose_steps(sockets + 1, mean=mean, sd=sd, edge_sd=edge)
    assert longer.after <= steps.after + 1e-9
    assert np.allclose(np.diff(steps.gaps), steps.gaps[1] - steps.gaps[0])


@settings(max_examples=10)
@given(st.integers(4, 8), EDGES)
def test_who_knows_less_tries_a_wider_range(sockets: int, edge: float) -> None:
    spans = [
        np.ptp(choose_steps(sockets, mean=0.0, sd=sd, edge_sd=edge).gaps)
        for sd in (0.02, 0.05, 0.1)
    ]
    assert spans == sorted(spans)


def test_no_other_equal_steps_tell_more() -> None:
    """A search of our own over finer and more distant combs finds none that is 1 % better."""
    known = {"mean": 0.013, "sd": 0.05, "edge_sd": 0.02, "pinch": 0.03}
    chosen = choose_steps(6, **known).after ** 2
    rng = np.random.default_rng(1)
    for first, step in zip(
        rng.uniform(-0.4, 0.2, 3000), rng.uniform(0.005, 0.15, 3000), strict=True
    ):
        assert expected_variance(first + step * np.arange(6), **known) > 0.99 * chosen


@pytest.mark.parametrize("cutter", [
    Cutter(Route.ROUTER, 3.175, Relief.FLANK), Cutter(Route.ROUTER, 3.175, Relief.DIAGONAL),
    Cutter(Route.LASER, 0.2),
], ids=["flank", "diagonal", "laser"])  # fmt: skip
def test_every_socket_admits_a_tongue_as_wide_as_it_says(cutter: Cutter) -> None:
    """As cut, by GEOS: a tongue with the socket's gap taken on goes in to the bottom, no wider."""
    ply = Stock("ply", MATERIALS["birch plywood"], 9.0, readings=(8.8, 8.8))
    comb = Comb(ply, cutter, 12.0, 10.0, (-0.05, 0.0, 0.05, 0.1), 40.0)
    part, tongue = comb_parts(comb)
    wood = Polygon(part.as_cut.outer.dense(0.001))
    bottom = comb.height - 8.8 + cutter.radius * (cutter.relief is Relief.NONE)
    for start, gap in zip(comb.starts, comb.gaps, strict=True):
        for spare, clear in ((-1e-3, True), (0.02, False)):
            reach = gap + spare
            mate = box(start - reach, bottom, start + 12.0 + reach, comb.height)
            assert (wood.intersection(mate).area < 1e-2) == clear
    assert tongue.as_cut.bounds == pytest.approx((0, 0, 12.0, 40.0))


def test_the_files_say_what_the_card_says(tmp_path: Path) -> None:
    assert main(["comb", str(CASE), "-o", str(tmp_path), "--sockets", "5"]) == 0
    names = {path.name for path in tmp_path.iterdir()}
    assert {"comb.dxf", "tongue.dxf", "kerf-strip.dxf", "thickness.dxf", "card.svg"} <= names
    drawn = ezdxf.read(io.StringIO((tmp_path / "comb.dxf").read_text(encoding="utf-8")))
    lettered = [text.dxf.text for text in drawn.modelspace().query("TEXT")]
    card = " ".join(ET.parse(tmp_path / "card.svg").getroot().itertext())  # noqa: S314
    for number in range(1, 6):
        assert str(number) in lettered
        gap = next(word for word in lettered if f"{number}:{word}mm=..." in card)
        assert f"{gap} mm" in card
    assert "kerf = (100.00 mm - measured) / 10" in card
    assert "PVC" in card


def test_saw_and_hand_get_a_card_alone(tmp_path: Path) -> None:
    for route, size in (("saw", "blade = 6"), ("hand", "")):
        text = TRAY.read_text(encoding="utf-8").replace('kind = "router"', f'kind = "{route}"')
        text = text.replace("diameter = 3.175", size).replace('relief = "flank"', "")
        job = tmp_path / f"{route}.toml"
        job.write_text(text, encoding="utf-8")
        assert main(["comb", str(job), "-o", str(tmp_path / route)]) == 0
        assert [path.name for path in (tmp_path / route).iterdir()] == ["card.svg"]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--offcut", "30x20mm"], "need"),
        (["--offcut", "big"], "240x90mm"),
        (["--offcut", "0x90mm"], "more than 0"),
        (["--sockets", "2"], "3 to 12"),
        (["--stock", "gold"], "its stocks are walls"),
    ],
)
def test_what_cannot_be_had_is_a_sentence(
    arguments: list[str], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["comb", str(TRAY), "-o", str(tmp_path / "comb"), *arguments]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert said in " ".join(err.split())
    assert not (tmp_path / "comb").exists()


def test_the_line_on_the_card_can_be_typed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """What a comb taught is in the next answers, and said to be."""
    monkeypatch.setenv("DRYFIT_BOOK", str(tmp_path / "book.sqlite"))
    results = [("1:-0.07mm", "no"), ("2:-0.03mm", "no"), ("3:0.01mm", "mallet"),
               ("4:0.05mm", "hand"), ("5:0.09mm", "loose")]  # fmt: skip
    typed = [part for gap, grade in results for part in ("--result", f"{gap}={grade}")]
    cutter = ["--cutter", "router 3.175 mm", "--material", "birch plywood"]
    assert main(["book", "add", "comb", *cutter, *typed, "--on", "2026-01-05"]) == 0
    assert main(["check", str(TRAY)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "scatter-from-book" in said
    assert "scatter-assumed" not in said
