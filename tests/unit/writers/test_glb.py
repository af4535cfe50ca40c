"""GLB read back by a library of meshes, and its frame by the bytes of the standard."""

from __future__ import annotations

import io
import json
import struct
from typing import Any

import numpy as np
import pytest
import trimesh

from dryfit.writers.glb import write_glb
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

TO_MM = 1000.0
UPRIGHT = np.array(((1, 0, 0), (0, 0, -1), (0, 1, 0)))
"""Rows that take the format's axes (x right, y up, z to the viewer) to ours."""


def read(data: bytes) -> dict[str, trimesh.Trimesh]:
    """Every body by its name, in our axes and mm."""
    scene = trimesh.load_scene(io.BytesIO(data), file_type="glb", process=False)
    assert scene.units == "meters"
    found = {}
    for name in scene.graph.nodes_geometry:
        place, mesh = scene.graph[name]
        body = scene.geometry[mesh].copy()
        body.apply_transform(place)
        body.vertices = body.vertices @ UPRIGHT.T * TO_MM
        found[name] = body
    return found


def welded(mesh: trimesh.Trimesh) -> trimesh.Trimesh:
    """Corners of flat faces are listed once for each face; here once for all."""
    return trimesh.Trimesh(mesh.vertices, mesh.faces, process=True)


@pytest.mark.parametrize("cutter", CUTTERS.values(), ids=CUTTERS)
def test_every_part_is_read_back(cutter: Any) -> None:
    made = parts(cutter)
    found = read(write_glb(bodies(cutter)))
    assert set(found) == {part.name for part in made}
    for part in made:
        mesh = welded(found[part.name])
        assert mesh.bounds == pytest.approx(corners(part), abs=1e-4)
        assert mesh.is_watertight
        assert mesh.is_winding_consistent
        near = curved(part) * CHORD * 2 / 3
        assert mesh.volume == pytest.approx(part.volume, rel=1e-6, abs=near)


@pytest.mark.parametrize("cutter", CUTTERS.values(), ids=CUTTERS)
def test_normals_stand_on_their_faces_and_point_outward(cutter: Any) -> None:
    data = write_glb(bodies(cutter))
    scene = trimesh.load_scene(io.BytesIO(data), file_type="glb", process=False)
    for mesh in scene.geometry.values():
        normals = mesh.vertex_normals[mesh.faces]
        across = np.cross(*(mesh.triangles[:, k] - mesh.triangles[:, 0] for k in (1, 2)))
        size = np.linalg.norm(across, axis=1)
        seen = size > 1e-3
        assert np.count_nonzero(seen) > 0.9 * len(seen)
        flat = np.einsum("ijk,ik->ij", normals[seen], across[seen] / size[seen, None])
        assert flat.min() > 1 - 1e-4
        # Wound as they point, and wound so that the volume is positive: outward.
        assert mesh.volume > 0


def split(data: bytes) -> tuple[dict[str, Any], bytes]:
    """The two chunks, after the layout in Sec. 4.4 of the specification."""
    assert struct.unpack_from("<4sII", data) == (b"glTF", 2, len(data))
    length, kind = struct.unpack_from("<I4s", data, 12)
    assert (length % 4, kind) == (0, b"JSON")
    rest = 20 + length
    size, other = struct.unpack_from("<I4s", data, rest)
    assert (size % 4, other) == (0, b"BIN\0")
    assert rest + 8 + size == len(data)
    return json.loads(data[20:rest]), data[rest + 8 :]


def test_the_chunks_hold_what_the_json_says() -> None:
    scene, binary = split(write_glb(bodies(CUTTERS["hand"])))
    assert scene["asset"]["version"] == "2.0"
    assert scene["buffers"] == [{"byteLength": len(binary)}]
    end = 0
    for view, accessor in zip(scene["bufferViews"], scene["accessors"], strict=True):
        assert view["byteOffset"] == end
        assert view["byteOffset"] % 4 == 0
        wide = {"VEC3": 12, "SCALAR": 4}[accessor["type"]]
        assert view["byteLength"] == accessor["count"] * wide
        end += view["byteLength"]
    for mesh in scene["meshes"]:
        (primitive,) = mesh["primitives"]
        places = scene["accessors"][primitive["attributes"]["POSITION"]]
        view = scene["bufferViews"][places["bufferView"]]
        points = np.frombuffer(binary, "<f4", 3 * places["count"], view["byteOffset"])
        assert points.reshape(-1, 3).min(axis=0).tolist() == places["min"]
        assert points.reshape(-1, 3).max(axis=0).tolist() == places["max"]
        normals = scene["accessors"][primitive["attributes"]["NORMAL"]]
        view = scene["bufferViews"][normals["bufferView"]]
        units = np.frombuffer(binary, "<f4", 3 * normals["count"], view["byteOffset"])
        assert np.linalg.norm(units.reshape(-1, 3), axis=1) == pytest.approx(1.0, abs=1e-6)


def test_every_stock_has_its_colour() -> None:
    """#e3d6bb and #cdb98f in linear light: ((c / 255 + 0.055) / 1.055) ** 2.4, IEC 61966-2-1."""
    scene, _ = split(write_glb(bodies(CUTTERS["hand"])))
    worn = [mesh["primitives"][0]["material"] for mesh in scene["meshes"]]
    assert worn == [0] * 5 + [1] * 2
    surfaces = [material["pbrMetallicRoughness"] for material in scene["materials"]]
    assert [material["name"] for material in scene["materials"]] == ["9.0 mm", "6.0 mm"]
    assert surfaces[0]["baseColorFactor"] == pytest.approx([0.7682, 0.6724, 0.4969, 1], abs=1e-4)
    assert surfaces[1]["baseColorFactor"] == pytest.approx([0.6105, 0.4851, 0.2747, 1], abs=1e-4)


def test_odd_names_are_plain_and_apart() -> None:
    scene, _ = split(write_glb(oddly_named()))
    assert tuple(node["name"] for node in scene["nodes"][1:]) == PLAIN_NAMES
    assert tuple(mesh["name"] for mesh in scene["meshes"]) == PLAIN_NAMES


def test_the_same_bodies_give_the_same_bytes() -> None:
    assert write_glb(oddly_named()) == write_glb(oddly_named())
