"""Templates at full size: their scale, their tiles, and what they say."""

from __future__ import annotations

import io
import math
import re
from functools import cache
from pathlib import Path

import numpy as np
import pdfplumber
import pypdfium2

from dryfit import workflow
from dryfit.drafting.traveller.templates import OVERLAP, tiles_of
from dryfit.pages.page import Page, Role, Stroke
from dryfit.pages.page import Path as Line
from dryfit.workflow.traveller import Wish, make_traveller
from dryfit.writers.pdf import ARC_ERROR, About, write_pdf

POINTS = 72 / 25.4
PER_MM = 10
RING = Path(__file__).parents[3] / "examples" / "crate-corner.toml"


@cache
def _ring() -> tuple[workflow.Rehearsal, bytes]:
    rehearsal = workflow.read(RING)
    return rehearsal, make_traveller(rehearsal, Wish(templates=True)).data


def test_a_line_of_100_mm_is_100_mm_in_the_file_and_in_the_raster() -> None:
    line = Stroke(Role.EDGE, Line.line((20, 30), (120, 30)), weight=0.5)
    upright = Stroke(Role.EDGE, Line.line((30, 40), (30, 140)), weight=0.5)
    data = write_pdf([Page("", 210, 297, strokes=(line, upright))], About("line"))
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        level, tall = pdf.pages[0].lines
        assert abs((level["x1"] - level["x0"]) / POINTS - 100) < 0.0001
        assert abs((tall["bottom"] - tall["top"]) / POINTS - 100) < 0.0001
    # Round ends add half a width on either side: the ink is 100.5 mm long.
    scale = PER_MM * 5 / POINTS
    ink = np.asarray(pypdfium2.PdfDocument(data)[0].render(scale=scale).to_pil().convert("L"))
    row = 255.0 - ink[round((297 - 30) * PER_MM * 5)]
    assert abs(row.sum() / row.max() / (PER_MM * 5) - 100.5) < 0.02


def test_arcs_lie_on_their_circles() -> None:
    for bulge in (1.0, -0.3, math.tan(math.pi / 8), 0.02, 3.0):
        path = Line(((50.0, 50.0, bulge), (90.0, 60.0, 0.0)), closed=False)
        page = Page("", 200, 200, strokes=(Stroke(Role.EDGE, path),))
        with pdfplumber.open(io.BytesIO(write_pdf([page], About("arc")))) as pdf:
            (curve,) = pdf.pages[0].curves
        off = (1 - bulge**2) / (4 * bulge)
        centre = np.array([70.0 - off * 10.0, 55.0 + off * 40.0])
        radius = math.hypot(*(np.array([50.0, 50.0]) - centre))
        at = np.array([50.0, 50.0])
        for operator, *points in curve["path"][1:]:
            assert operator == "c"
            control = [at, *(np.array([x / POINTS, 200 - y / POINTS]) for x, y in points)]
            t = np.linspace(0, 1, 33)[:, None]
            a, b, c, d = control
            curve_points = (
                (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t**2 * c + t**3 * d
            )
            far = np.abs(np.hypot(*(curve_points - centre).T) - radius)
            assert far.max() < ARC_ERROR + 1e-4
            at = d


def test_tiles_cover_a_part_and_share_their_overlap() -> None:
    for size in ((50.0, 40.0), (300.0, 700.0), (160.0, 230.0), (160.1, 230.1)):
        tiles = tiles_of(size, (170.0, 240.0))
        for axis, (length, room) in enumerate(zip(size, (170.0, 240.0), strict=True)):
            starts = sorted({(tile.u, tile.v)[axis] for tile in tiles})
            assert starts[0] <= 0
            assert starts[-1] + room >= length + OVERLAP / 2 - 1e-9
            assert np.allclose(np.diff(starts), room - OVERLAP)


def test_the_tiles_laid_together_are_the_part() -> None:
    """Every tile is read from the file, put where its words say, and compared with the part."""
    rehearsal, data = _ring()
    part = rehearsal.parts[0]
    x0, y0, _, _ = part.profile.bounds
    wanted = part.profile.outer.vertices[:, :2] - (x0, y0)
    document = pypdfium2.PdfDocument(data)
    reached = np.full(len(wanted), np.inf)
    tiles = 0
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        for number, page in enumerate(pdf.pages):
            text = document[number].get_textpage().get_text_bounded()
            if "Part 1," not in text or "template, tile" not in text:
                continue
            tiles += 1
            at = re.search(r"Window from (-?[\d.]+) mm left to right and (-?[\d.]+) mm", text)
            assert at is not None
            corner = np.array([float(at[1]), float(at[2])])
            window, ends = _tile(page)
            drawn = (ends - window[0]) + corner
            seen = ((ends > window[0] - 0.01) & (ends < window[1] + 0.01)).all(axis=1)
            gaps = np.hypot(*(wanted[:, None] - drawn[None, seen]).T).T
            if seen.any():
                reached = np.minimum(reached, gaps.min(axis=1))
    assert tiles > 1
    assert reached.max() < 0.05


def _tile(page: pdfplumber.page.Page) -> tuple[np.ndarray, np.ndarray]:
    """The window of a tile and the corners of what is drawn, both in mm from the paper's corner."""
    height = page.height
    shapes = [*page.curves, *page.rects, *page.lines]
    fine = [s for s in shapes if abs(s["linewidth"] - 0.13 * POINTS) < 0.01]
    closed = [s for s in fine if len(s["pts"]) >= 4]
    window = next(s for s in closed if s.get("dash") and s["dash"][0])
    points = np.array(window["pts"])
    low = np.array([points[:, 0].min(), height - points[:, 1].max()]) / POINTS
    high = np.array([points[:, 0].max(), height - points[:, 1].min()]) / POINTS
    drawn = np.array([point for s in closed if s is not window for point in s["pts"]])
    return np.array([low, high]), np.stack([drawn[:, 0], height - drawn[:, 1]], axis=1) / POINTS


def test_check_lines_are_as_long_as_they_say() -> None:
    _, data = _ring()
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        page = pdf.pages[-1]
        lines = [(s["x1"] - s["x0"], s["bottom"] - s["top"]) for s in page.lines]
        assert "Check lines: 100.00 mm each, 141.42 mm from end to end" in page.extract_text()
    lengths = [max(wide, high) / POINTS for wide, high in lines]
    assert sum(abs(length - 100) < 0.001 for length in lengths) == 2
