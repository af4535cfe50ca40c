"""STEP: what the file says word by word, and what the library's reader makes of it.

Skipped only where the extra `step` is not installed, for it is too large for every test run.
"""

from __future__ import annotations

import re
import subprocess
import sys
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from dryfit.errors import OutputError, ShapeError
from dryfit.parts.solids import stack_of
from dryfit.writers.step import write_step
from tests.unit.writers.models import CUTTERS, ODD_NAMES, PLAIN_NAMES, RADIUS, corners, parts

if TYPE_CHECKING:
    from pathlib import Path

    from dryfit.model.cutter import Cutter
    from dryfit.parts.part import Part


def written(made: tuple[Part, ...], names: tuple[str, ...] = ()) -> bytes:
    named = names or tuple(part.name for part in made)
    stacks = [stack_of(part) for part in made]
    return write_step("Type tray", list(zip(named, stacks, strict=False)))


def test_without_the_library_a_sentence_says_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    for module in ("OCP", "OCP.Message"):
        monkeypatch.setitem(sys.modules, module, None)
    with pytest.raises(OutputError, match=r"python -m pip install \"cadquery-ocp-novtk>=8\.0,<9\""):
        written(parts(CUTTERS["hand"]))


def test_no_parts_are_no_assembly() -> None:
    with pytest.raises(ShapeError, match="0 parts"):
        write_step("Nothing", [])


def decoded(text: str) -> str:
    """A string of the file, by the control directives of ISO 10303-21, 6.4.3."""

    def signs(found: re.Match[str]) -> str:
        wide = 4 if found[1] == "2" else 8
        codes = [found[2][k : k + wide] for k in range(0, len(found[2]), wide)]
        return "".join(chr(int(code, 16)) for code in codes)

    plain = re.sub(r"\\X([24])\\([0-9A-F]*)\\X0\\", signs, text)
    return plain.replace("''", "'").replace("\\\\", "\\")


def products(data: bytes) -> list[str]:
    """Names of the assembly and its parts, in their order."""
    found = re.findall(r"= PRODUCT\(\s*'((?:[^']|'')*)'", data.decode("ascii"))
    return [decoded(name) for name in found]


@pytest.mark.parametrize("cutter", CUTTERS.values(), ids=CUTTERS)
def test_arcs_are_cylinders_of_the_cutter(cutter: Cutter) -> None:
    """One for each arc of the as-cut outlines; reliefs stay clear of the trenches here."""
    pytest.importorskip("OCP")
    made = parts(cutter)
    text = written(made).decode("ascii")
    radii = [float(r) for r in re.findall(r"= CYLINDRICAL_SURFACE\('',#\d+,([0-9.E+-]+)\)", text)]
    arcs = sum(np.count_nonzero(part.as_cut.edges[:, 4]) for part in made)
    assert len(radii) == arcs == len(re.findall("CYLINDRICAL_SURFACE", text))
    assert radii == pytest.approx([RADIUS] * arcs, abs=1e-9)
    assert "B_SPLINE" not in text
    assert len(re.findall("= MANIFOLD_SOLID_BREP", text)) == len(made)
    assert "SI_UNIT(.MILLI.,.METRE.)" in text


def test_names_are_spelt_as_the_standard_has_it() -> None:
    pytest.importorskip("OCP")
    made = parts(CUTTERS["hand"])[: len(ODD_NAMES)]
    assert products(written(made, ODD_NAMES)) == ["Type tray", *PLAIN_NAMES]


def test_no_clock_and_no_count_of_files_reaches_the_bytes() -> None:
    pytest.importorskip("OCP")
    made = parts(CUTTERS["router"])
    first = written(made)
    assert first == written(made)
    code = (
        "import sys; from tests.unit.writers.test_step import CUTTERS, parts, written; "
        "sys.stdout.buffer.write(written(parts(CUTTERS['router'])))"
    )
    fresh = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
    assert first == fresh.stdout, "the first file of a run is like those after it"
    assert b"FILE_NAME('Type tray','1970-01-01T00:00:00'" in first


def read(path: Path) -> dict[str, Any]:
    """Every part by its name, as the library's own reader places it."""
    from OCP.collections import Sequence_TDF_Label
    from OCP.STEPCAFControl import STEPCAFControl_Reader
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDataStd import TDataStd_Name
    from OCP.TDocStd import TDocStd_Document
    from OCP.XCAFDoc import XCAFDoc_DocumentTool

    document = TDocStd_Document(TCollection_ExtendedString("XmlOcaf"))
    reader = STEPCAFControl_Reader()
    reader.ReadFile(str(path))
    assert reader.Transfer(document)
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    whole, members = Sequence_TDF_Label(), Sequence_TDF_Label()
    shapes.GetFreeShapes(whole)
    assert whole.Length() == 1
    assert shapes.GetComponents_s(whole.Value(1), members)
    found = {}
    for k in range(1, members.Length() + 1):
        name = TDataStd_Name()
        assert members.Value(k).FindAttribute(TDataStd_Name.GetID_s(), name)
        found[name.Get().ToExtString()] = shapes.GetShape_s(members.Value(k))
    return found


@pytest.mark.parametrize("cutter", CUTTERS.values(), ids=CUTTERS)
def test_the_librarys_reader_finds_every_part(cutter: Cutter, tmp_path: Path) -> None:
    pytest.importorskip("OCP")
    from OCP.Bnd import Bnd_Box
    from OCP.BRepBndLib import BRepBndLib
    from OCP.BRepCheck import BRepCheck_Analyzer
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    made = parts(cutter)
    path = tmp_path / "piece.step"
    path.write_bytes(written(made))
    found = read(path)
    assert set(found) == {part.name for part in made}
    for part in made:
        shape = found[part.name]
        assert BRepCheck_Analyzer(shape).IsValid()
        properties, bounds = GProp_GProps(), Bnd_Box()
        BRepGProp.VolumeProperties_s(shape, properties)
        assert properties.Mass() == pytest.approx(part.volume, rel=1e-9)
        BRepBndLib.AddOptimal_s(shape, bounds, useTriangulation=False, useShapeTolerance=False)
        low, high = bounds.CornerMin(), bounds.CornerMax()
        box = np.array([[p.X(), p.Y(), p.Z()] for p in (low, high)])
        assert box == pytest.approx(corners(part), abs=1e-6)
