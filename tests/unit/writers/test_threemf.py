"""3MF read back: by the reference reader of the format's consortium, and digit by digit."""

from __future__ import annotations

import io
import zipfile
from typing import Any
from xml.etree import ElementTree as ET

import lib3mf
import numpy as np
import pytest
import trimesh

from dryfit.writers.threemf import write_3mf
from tests.unit.writers.models import (
    CHORD,
    CUTTERS,
    PLAIN_NAMES,
    bodies,
    corners,
    curved,
    oddly_named,
    parts,
)

CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"


def read(data: bytes) -> tuple[Any, list[Any]]:
    """The model and its meshes; the reader is strict and has nothing to remark."""
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromBuffer(data)
    assert reader.GetWarningCount() == 0
    objects, found = model.GetMeshObjects(), []
    while objects.MoveNext():
        found.append(objects.GetCurrentMeshObject())
    return model, found


def printed(data: bytes) -> list[trimesh.Trimesh]:
    """Meshes from the digits in the file: the reference reader keeps single precision only."""
    text = zipfile.ZipFile(io.BytesIO(data)).read("3D/3dmodel.model")
    found = []
    for mesh in ET.fromstring(text).iter(f"{CORE}mesh"):  # noqa: S314 - made a moment ago
        vertices = [[float(v.attrib[k]) for k in "xyz"] for v in mesh.iter(f"{CORE}vertex")]
        corners = ("v1", "v2", "v3")
        triangles = [[int(t.attrib[k]) for k in corners] for t in mesh.iter(f"{CORE}triangle")]
        found.append(trimesh.Trimesh(vertices, triangles, process=False))
    return found


@pytest.mark.parametrize("cutter", CUTTERS.values(), ids=CUTTERS)
def test_the_reference_reader_finds_every_part(cutter: Any) -> None:
    made = parts(cutter)
    model, meshes = read(write_3mf(bodies(cutter)))
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
    assert [mesh.GetName() for mesh in meshes] == [part.name for part in made]
    for mesh, part in zip(meshes, made, strict=True):
        assert mesh.IsManifoldAndOriented()
        box = mesh.GetOutbox()
        found = np.array((box.MinCoordinate[:], box.MaxCoordinate[:]))
        assert found == pytest.approx(corners(part), abs=1e-5)
    items = model.GetBuildItems()
    assert items.Count() == len(made)
    while items.MoveNext():
        assert not items.GetCurrent().HasObjectTransform()


@pytest.mark.parametrize("cutter", CUTTERS.values(), ids=CUTTERS)
def test_size_and_volume_are_true(cutter: Any) -> None:
    made = parts(cutter)
    for mesh, part in zip(printed(write_3mf(bodies(cutter))), made, strict=True):
        assert mesh.is_volume
        assert mesh.bounds == pytest.approx(corners(part), abs=1e-6)
        near = curved(part) * CHORD * 2 / 3
        assert mesh.volume == pytest.approx(part.volume, rel=1e-6, abs=near)


def test_every_stock_has_its_colour() -> None:
    model, meshes = read(write_3mf(bodies(CUTTERS["hand"])))
    groups = model.GetBaseMaterialGroups()
    assert groups.Count() == 1
    assert groups.MoveNext()
    group = groups.GetCurrentBaseMaterialGroup()
    numbers = list(group.GetAllPropertyIDs())
    assert [group.GetName(number) for number in numbers] == ["9.0 mm", "6.0 mm"]
    colours = [group.GetDisplayColor(number) for number in numbers]
    assert (colours[0].Red, colours[0].Green, colours[0].Blue) == (0xE3, 0xD6, 0xBB)
    assert (colours[1].Red, colours[1].Green, colours[1].Blue) == (0xCD, 0xB9, 0x8F)
    worn = [mesh.GetObjectLevelProperty()[1] for mesh in meshes]
    assert worn == [numbers[0]] * 5 + [numbers[1]] * 2


def test_odd_names_are_plain_and_apart() -> None:
    _, meshes = read(write_3mf(oddly_named()))
    assert tuple(mesh.GetName() for mesh in meshes) == PLAIN_NAMES


def test_the_archive_is_dated_by_no_clock() -> None:
    data = write_3mf(oddly_named())
    assert data == write_3mf(oddly_named())
    for entry in zipfile.ZipFile(io.BytesIO(data)).infolist():
        assert entry.date_time == (1980, 1, 1, 0, 0, 0)
