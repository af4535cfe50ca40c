"""The fit comb and its tongue, read back by another library than the one that drew them."""

from __future__ import annotations

import io
from itertools import pairwise

import ezdxf
import pytest
from ezdxf.path import make_path
from shapely.geometry import LineString, MultiLineString, Polygon, box

from dryfit.drafting.comb import comb_page, kerf_page
from dryfit.errors import SizeError
from dryfit.materials.sheets import find_material
from dryfit.model.comb import SLOT_GAPS, Blank, Comb, KerfStrip
from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.stock import Stock
from dryfit.parts.comb import comb_part, tongue_part
from dryfit.writers.dxf import write_dxf

GAPS = (-0.07, -0.02, 0.03, 0.08)
RELIEFS = (Relief.DIAGONAL, Relief.FLANK, Relief.SHOULDER)


def _blank(
    thickness: float = 9.0, size: float = 3.175, relief: Relief = Relief.FLANK, own: bool = False
) -> Blank:
    material = find_material("birch plywood")
    assert material is not None
    stock = Stock("walls", material, thickness)
    return Blank(stock, Cutter(Route.ROUTER, size, relief), own)


def _polygon(vertices: object) -> Polygon:
    return Polygon([(x, y) for x, y, *_ in vertices])  # type: ignore[attr-defined]


def _read(comb: Comb) -> tuple[Polygon, list[tuple[str, str]]]:
    """Outline and texts of the comb's DXF."""
    data = write_dxf(comb_page(comb_part(comb), comb)).decode()
    space = ezdxf.read(io.StringIO(data)).modelspace()
    (line,) = space.query("LWPOLYLINE")
    outline = _polygon(make_path(line).flattening(0.0005))
    return outline, [(text.dxf.layer, text.dxf.text) for text in space.query("TEXT")]


@pytest.mark.parametrize("relief", RELIEFS)
@pytest.mark.parametrize(("thickness", "size"), [(9.0, 3.175), (18.0, 6.0)])
def test_every_socket_is_two_gaps_wider_than_the_tongue(
    relief: Relief, thickness: float, size: float
) -> None:
    blank = _blank(thickness, size, relief)
    outline, _ = _read(Comb(blank, GAPS))
    mouth = LineString([(-1, blank.height - 0.01), (1000, blank.height - 0.01)])
    crossed = outline.intersection(mouth)
    assert isinstance(crossed, MultiLineString)
    webs = sorted(web.bounds for web in crossed.geoms)
    widths = [right[0] - left[2] for left, right in pairwise(webs)]
    assert widths == pytest.approx([blank.tongue + 2 * gap for gap in GAPS], abs=1e-5)
    assert all(web[2] - web[0] >= thickness for web in webs)


@pytest.mark.parametrize("relief", RELIEFS)
@pytest.mark.parametrize(("thickness", "size"), [(9.0, 3.175), (18.0, 6.0)])
def test_a_square_tongue_reaches_the_bottom_with_the_gap_at_each_flank(
    relief: Relief, thickness: float, size: float
) -> None:
    """What is cut bites nothing else: overlap only where the gap is below nothing."""
    blank = _blank(thickness, size, relief)
    comb = Comb(blank, GAPS)
    outline, _ = _read(comb)
    floor = blank.height - thickness
    for (low, high), gap in zip(comb.sockets, GAPS, strict=True):
        middle = (low + high) / 2
        tongue = box(middle - blank.tongue / 2, floor, middle + blank.tongue / 2, blank.height)
        overlap = outline.intersection(tongue).area
        if gap >= 0:
            assert overlap < 1e-6
        else:
            # A relief in the flank leaves less of it to bear.
            assert 0 < overlap <= -2 * gap * thickness + 1e-6


@pytest.mark.parametrize("relief", RELIEFS)
def test_a_disc_of_the_cutter_reaches_all_that_is_cut(relief: Relief) -> None:
    """Waste opened by the disc, by another engine's buffers, is the waste."""
    blank = _blank(relief=relief)
    outline, _ = _read(Comb(blank, GAPS))
    radius = blank.cutter.radius
    # The waste outside the corners is open to the cutter.
    waste = outline.envelope.buffer(3 * radius).difference(outline)
    left = waste.buffer(-radius + 1e-3, quad_segs=64).buffer(radius - 1e-3, quad_segs=64)
    assert waste.difference(left).area < 0.02 * len(GAPS)


@pytest.mark.parametrize("relief", RELIEFS)
def test_the_tongue_is_as_wide_as_said_where_it_enters(relief: Relief) -> None:
    blank = _blank(relief=relief)
    part = tongue_part(blank)
    outline = _polygon(part.as_cut.outer.dense(0.001).tolist())
    length, breadth = blank.tongue_size
    for depth in (0.1, blank.stock.thickness):
        cut = outline.intersection(LineString([(-1, length - depth), (99, length - depth)]))
        assert cut.length == pytest.approx(blank.tongue)
    assert outline.bounds == pytest.approx((0, 0, breadth, length))


def test_numbers_and_gaps_are_engraved_on_wood() -> None:
    comb = Comb(_blank(), GAPS)
    outline, texts = _read(comb)
    assert [said for _, said in texts] == [
        "1", "-0.07", "2", "-0.02", "3", "+0.03", "4", "+0.08",
    ]  # fmt: skip
    assert {layer for layer, _ in texts} == {"MARK"}
    for text in comb_page(comb_part(comb), comb).texts:
        half = len(text.content) * text.height * 0.4
        assert outline.contains(box(text.x - half, text.y, text.x + half, text.y + text.height))


@pytest.mark.parametrize("own", [False, True])
@pytest.mark.parametrize("thickness", [4.0, 9.0, 18.0])
def test_an_offcut_of_the_size_named_takes_the_comb(thickness: float, own: bool) -> None:
    blank = _blank(thickness, own=own)
    for sockets in (3, 5):
        assert blank.sockets_on(blank.size_for(sockets), sockets) == sockets
    with pytest.raises(SizeError, match=r"60x30mm is too small for 3 sockets") as caught:
        blank.sockets_on((60.0, 30.0))
    width, height = str(caught.value).split("--offcut ")[1].removesuffix("mm.").split("x")
    assert blank.sockets_on((float(width), float(height))) >= 3


def test_more_sockets_than_are_of_use_are_refused() -> None:
    with pytest.raises(SizeError, match="3 to 9 sockets, not 12"):
        _blank().sockets_on((900.0, 300.0), 12)


def test_a_relief_that_leaves_no_flank_is_refused() -> None:
    with pytest.raises(SizeError, match=r"takes 6\.00 mm of a flank, and .* is 4\.00 mm deep"):
        comb_part(Comb(_blank(4.0, 6.0), GAPS))
    assert comb_part(Comb(_blank(4.0, 6.0, Relief.SHOULDER), GAPS)).area > 0


def test_pieces_cut_on_the_line_lose_a_kerf_each() -> None:
    """The lines of the DXF, as wide as the kerf, are taken out and what is left added."""
    strip, kerf = KerfStrip(), 0.21
    space = ezdxf.read(io.StringIO(write_dxf(kerf_page(strip)).decode())).modelspace()
    lines = [list(make_path(line).flattening(0.01)) for line in space.query("LWPOLYLINE")]
    xs = sorted({round(vertex.x, 6) for line in lines for vertex in line})
    left = sum(high - low - kerf for low, high in pairwise(xs))
    assert len(xs) == strip.pieces + 1
    assert strip.kerf(left) == pytest.approx(kerf)


def test_slots_take_the_stock_itself() -> None:
    blank = Blank(_blank(3.9).stock, Cutter(Route.LASER, 0.2), mate=3.9)
    slots = Comb(blank, SLOT_GAPS)
    widths = [high - low for low, high in slots.sockets]
    assert widths == pytest.approx([3.7, 3.8, 3.9, 4.0, 4.1])
    assert comb_part(slots, "slots").name == "slots"
