from __future__ import annotations

import io
import os
import subprocess
import sys
import warnings
from typing import TYPE_CHECKING, Any

import ezdxf
import numpy as np
import pyogrio
import pytest
import shapely

from dryfit.drafting.parts import part_page
from dryfit.pages.page import Anchor, Page, Path, Role, Stroke, Text
from dryfit.writers.dxf import layer, write_dxf
from dryfit.writers.svg import write_svg
from tests.unit.drafting.samples import SLOT_AREA, SLOT_PERIMETER, ring

if TYPE_CHECKING:
    from pathlib import Path as FilePath

PART = ring()[3]
STEP = 0.5
"""Angle between the points that GDAL puts on an arc. [degrees]"""


def reread(data: bytes) -> Any:
    return ezdxf.read(io.StringIO(data.decode("utf-8")))


def gdal(path: FilePath) -> dict[str, list[Any]]:
    """Geometries of each layer as GDAL reads them, arcs as chords of half a degree."""
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": str(STEP)})
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # pyogrio speaks of the text entity's 2.5-D layer
            _, _, wkb, fields = pyogrio.raw.read(path, columns=["Layer"])
    finally:
        pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": None})
    found: dict[str, list[Any]] = {}
    for name, geometry in zip(fields[0], shapely.from_wkb(wkb), strict=True):
        found.setdefault(name, []).append(geometry)
    return found


def test_gdal_reads_the_same_areas_and_lengths(tmp_path: FilePath) -> None:
    """Half-degree chords are short of an arc by 1 - sin(x)/x, x a quarter degree: 3.2e-6."""
    path = tmp_path / "part.dxf"
    path.write_bytes(write_dxf(part_page(PART)))
    layers = gdal(path)
    (outside,), (inside,) = layers["CUT_OUTSIDE"], layers["CUT_INSIDE"]
    outer = PART.profile.outer
    assert outside.length == pytest.approx(outer.length, rel=4e-6)
    assert inside.length == pytest.approx(SLOT_PERIMETER, rel=4e-6)
    assert shapely.Polygon(outside.coords).area == pytest.approx(outer.area, rel=4e-6)
    assert shapely.Polygon(inside.coords).area == pytest.approx(SLOT_AREA, rel=2e-5)
    assert outside.is_ring


def test_gdal_puts_every_point_of_a_relief_on_its_circle(tmp_path: FilePath) -> None:
    path = tmp_path / "part.dxf"
    path.write_bytes(write_dxf(part_page(PART)))
    points = np.array(gdal(path)["CUT_OUTSIDE"][0].coords)[:, :2]
    centres = [(x, y) for x in (PART.thickness - 1.5, 80 - PART.thickness + 1.5)
               for y in (12.0, 24.0, 36.0, 48.0)]  # fmt: skip
    for centre in centres:
        away = np.hypot(*(points - centre).T)
        assert np.sum(np.abs(away - 1.5) < 1e-9) >= 180 / STEP


def test_vertices_and_bulges_come_back_bit_for_bit() -> None:
    lines = reread(write_dxf(part_page(PART))).modelspace().query("LWPOLYLINE")
    read = {line.dxf.layer: line for line in lines}
    for name, loop in zip(("CUT_OUTSIDE", "CUT_INSIDE"), PART.profile.loops, strict=True):
        assert read[name].closed
        assert [tuple(row) for row in read[name].get_points("xyb")] == [
            tuple(row) for row in loop.vertices.tolist()
        ]


def test_the_file_is_in_millimetres_and_passes_the_audit() -> None:
    drawing = reread(write_dxf(part_page(PART, scale_bar=True)))
    assert drawing.dxfversion == "AC1024"  # R2010 in the format's own numbering
    assert drawing.header["$INSUNITS"] == 4
    assert drawing.header["$MEASUREMENT"] == 1
    assert not drawing.audit().errors
    used = {entity.dxf.layer for entity in drawing.modelspace()}
    assert used == {"CUT_OUTSIDE", "CUT_INSIDE", "LABEL", "DIMENSION"}
    assert all(name in drawing.layers for name in used)


def test_inside_cuts_stand_before_the_outline() -> None:
    entities = reread(write_dxf(part_page(PART))).modelspace()
    order = [line.dxf.layer for line in entities.query("LWPOLYLINE")]
    assert order == ["CUT_INSIDE", "CUT_OUTSIDE"]


def test_open_paths_stay_open_and_text_keeps_its_place() -> None:
    page = Page(
        "",
        9,
        9,
        strokes=(Stroke(Role.MARK, Path(((0, 0, 0.5), (1, 0, 0), (1, 1, 0)), closed=False)),),
        texts=(Text(Role.LABEL, 1, 2, 3, "箱 Ä", Anchor.MIDDLE, np.pi / 2),),
    )
    space = reread(write_dxf(page)).modelspace()
    (line,), (text,) = space.query("LWPOLYLINE"), space.query("TEXT")
    assert not line.closed
    assert [text.dxf.text, text.dxf.height, text.dxf.layer] == ["箱 Ä", 3, "LABEL"]
    assert tuple(text.dxf.align_point)[:2] == (1, 2)
    assert text.dxf.rotation == pytest.approx(90)


def test_layer_names_are_plain_words() -> None:
    assert [layer(role) for role in (Role.MARK, Role.CUT_INSIDE, Role.LABEL)] == [
        "MARK",
        "CUT_INSIDE",
        "LABEL",
    ]
    assert all(set(layer(role)) <= set("ABCDEFGHIJKLMNOPQRSTUVWXYZ_") for role in Role)


def test_writing_leaves_the_library_as_it_was() -> None:
    for state in (True, False):
        ezdxf.options.write_fixed_meta_data_for_testing = state
        write_dxf(part_page(PART))
        assert ezdxf.options.write_fixed_meta_data_for_testing is state


_HASHES = """
import hashlib
from dryfit.drafting.parts import part_page
from dryfit.drafting.picture import picture_page
from dryfit.writers.dxf import write_dxf
from dryfit.writers.svg import write_svg
from tests.unit.drafting.samples import ring
print(hashlib.sha256(write_svg(picture_page("", ring()))).hexdigest())
for part in ring():
    for write in (write_dxf, write_svg):
        print(hashlib.sha256(write(part_page(part))).hexdigest())
"""


def test_four_processes_write_the_same_bytes() -> None:
    outputs = {_run(seed) for seed in "0123"}
    assert len(outputs) == 1
    assert len(outputs.pop().split()) == 9


def _run(seed: str) -> str:
    environment = os.environ | {
        "PYTHONHASHSEED": seed,
        "PYTHONPATH": os.pathsep.join(path or "." for path in sys.path),
    }
    command = [sys.executable, "-c", _HASHES]
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)
    return done.stdout


def test_one_process_writes_the_same_bytes_twice() -> None:
    page = part_page(PART)
    assert write_dxf(page) == write_dxf(page)
    assert write_svg(page) == write_svg(page)


def test_classes_stand_in_the_order_of_the_alphabet() -> None:
    """The library walks a set here, and the order of a set is another in every process."""
    drawing = reread(write_dxf(part_page(PART)))
    in_use = drawing.entitydb.dxf_types_in_use()
    names = [each.dxf.name for each in drawing.classes if each.dxf.name in in_use]
    assert len(names) > 2
    assert names == sorted(names)
