"""Bodies as binary glTF 2.0: a node and a mesh a body, flat faces, the colour of its stock.

A file holds one JSON chunk and one binary chunk [1]_, Sec. 4. The format counts metres and has y
upwards; the bodies stay in millimetres with z up, and the matrix of the root node turns and scales
them, so that a reader sees them at their true size and an editor finds our own numbers.

References
----------
.. [1] Khronos Group, glTF 2.0 Specification, 2.0.1, 2021 (ISO/IEC 12113:2022).
"""

from __future__ import annotations

import json
import struct
from typing import TYPE_CHECKING, Any

import numpy as np

from dryfit.pages.names import plain_names

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.pages.body import Body
    from dryfit.shapes.solid import FloatArray, IntArray, Solid

_MAGIC, _VERSION = 0x46546C67, 2
_JSON, _BINARY = 0x4E4F534A, 0x004E4942
_FLOAT, _UINT = 5126, 5125
_VERTICES, _INDICES = 34962, 34963
_STAND = (0.001, 0, 0, 0, 0, 0, -0.001, 0, 0, 0.001, 0, 0, 0, 0, 0, 1)
"""Millimetres with z up to metres with y up, column by column: x to x, y to -z, z to y."""
_SAME_FACE = 6
"""Decimals in which the normals of triangles on one face agree."""


def write_glb(bodies: Sequence[Body]) -> bytes:
    """The bodies as a GLB file; the same bodies give the same bytes."""
    held = _Held()
    stocks = list(dict.fromkeys((body.stock, body.colour) for body in bodies))
    meshes = [held.mesh(body.solid, stocks.index((body.stock, body.colour))) for body in bodies]
    names = plain_names(body.name for body in bodies)
    for mesh, name in zip(meshes, names, strict=True):
        mesh["name"] = name
    parts = [{"name": name, "mesh": number} for number, name in enumerate(names)]
    root = {"name": "piece", "matrix": _STAND, "children": list(range(1, len(parts) + 1))}
    scene = {
        "asset": {"version": "2.0", "generator": "dryfit"},
        "scene": 0,
        "scenes": [{"nodes": [0]}],
        "nodes": [root, *parts],
        "meshes": meshes,
        "materials": [
            _material(name, colour)
            for name, (_, colour) in zip(plain_names(s for s, _ in stocks), stocks, strict=True)
        ],
        "accessors": held.accessors,
        "bufferViews": held.views,
        "buffers": [{"byteLength": len(held.data)}],
    }
    text = json.dumps(scene, ensure_ascii=False, separators=(",", ":")).encode("utf-8")
    return _file(text, bytes(held.data))


def _file(text: bytes, data: bytes) -> bytes:
    """Head and two chunks, each filled up to a multiple of four bytes."""
    chunks = b""
    for kind, content, filler in ((_JSON, text, b" "), (_BINARY, data, b"\0")):
        full = content + filler * (-len(content) % 4)
        chunks += struct.pack("<II", len(full), kind) + full
    return struct.pack("<III", _MAGIC, _VERSION, 12 + len(chunks)) + chunks


class _Held:
    """The binary chunk while it grows, and what lies where in it."""

    def __init__(self) -> None:
        self.data = bytearray()
        self.views: list[dict[str, int]] = []
        self.accessors: list[dict[str, Any]] = []

    def mesh(self, solid: Solid, material: int) -> dict[str, Any]:
        """A solid's faces: corners, their normals, and which three make a triangle."""
        places, normals, triangles = _flat(solid)
        attributes = {
            "POSITION": self._array(places.astype("<f4"), _VERTICES, _FLOAT, bounded=True),
            "NORMAL": self._array(normals.astype("<f4"), _VERTICES, _FLOAT),
        }
        indices = self._array(triangles.ravel().astype("<u4"), _INDICES, _UINT)
        return {
            "primitives": [{"attributes": attributes, "indices": indices, "material": material}]
        }

    def _array(
        self, array: np.ndarray[Any, Any], target: int, kind: int, *, bounded: bool = False
    ) -> int:
        """Number of the accessor that finds the array again."""
        self.views.append(
            {
                "buffer": 0,
                "byteOffset": len(self.data),
                "byteLength": array.nbytes,
                "target": target,
            }
        )
        self.data += array.tobytes()
        accessor: dict[str, Any] = {
            "bufferView": len(self.views) - 1,
            "componentType": kind,
            "count": len(array),
            "type": "VEC3" if array.ndim == 2 else "SCALAR",
        }
        if bounded:
            accessor |= {"min": array.min(axis=0).tolist(), "max": array.max(axis=0).tolist()}
        self.accessors.append(accessor)
        return len(self.accessors) - 1


def _flat(solid: Solid) -> tuple[FloatArray, FloatArray, IntArray]:
    """Corners (k, 3) [mm], normals (k, 3) [-] and triangles (m, 3); a corner once a flat face."""
    a, b, c = solid.vertices[solid.triangles].transpose(1, 0, 2)
    across = np.cross(b - a, c - a)
    size = np.linalg.norm(across, axis=1)
    # A triangle without area is not seen, but its normal must still be one.
    across[size == 0], size[size == 0] = (0.0, 0.0, 1.0), 1.0
    normals = np.round(across / size[:, None], _SAME_FACE) + 0.0
    corners = np.column_stack((solid.triangles.ravel(), np.repeat(normals, 3, axis=0)))
    shared, which = np.unique(corners, axis=0, return_inverse=True)
    found = shared[:, 1:] / np.linalg.norm(shared[:, 1:], axis=1)[:, None]
    return solid.vertices[shared[:, 0].astype(np.intp)], found, which.reshape(-1, 3)


def _material(name: str, colour: str) -> dict[str, Any]:
    """A dull surface; the format wants the colour in linear light."""
    red, green, blue = (_linear(int(colour[k : k + 2], 16) / 255) for k in (1, 3, 5))
    surface = {
        "baseColorFactor": [red, green, blue, 1],
        "metallicFactor": 0,
        "roughnessFactor": 1,
    }
    return {"name": name, "pbrMetallicRoughness": surface}


def _linear(share: float) -> float:
    """Linear light of a share of full colour, as IEC 61966-2-1 (sRGB) has it. [-]"""
    low = share <= 0.04045
    return round(share / 12.92 if low else ((share + 0.055) / 1.055) ** 2.4, 6)
