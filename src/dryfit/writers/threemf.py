"""Bodies as 3MF: a mesh an object, with its name and the colour of its stock, in millimetres.

A 3MF file is a package of parts in a ZIP archive [2]_; the model itself is XML [1]_. Vertices have
nine decimals of a millimetre, as all coordinates in a common frame. The archive carries the
earliest date that its format knows, so that the same bodies give the same bytes.

References
----------
.. [1] 3MF Consortium, 3D Manufacturing Format, Core Specification 1.3.0: objects, meshes, base
   materials, build.
.. [2] ECMA-376 Part 2, Open Packaging Conventions: content types, relationships.
"""

from __future__ import annotations

import io
import zipfile
from typing import TYPE_CHECKING
from xml.sax.saxutils import quoteattr

from dryfit.pages.names import plain_names
from dryfit.shapes.tolerances import DECIMALS

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.pages.body import Body
    from dryfit.shapes.solid import Solid

_HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n'
_CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
_MODEL = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_TYPES = (
    f'{_HEAD}<Types xmlns="{_PACKAGE}/content-types">'
    f'<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships'
    '+xml"/><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-'
    '3dmodel+xml"/></Types>\n'
)
_RELATIONS = (
    f'{_HEAD}<Relationships xmlns="{_PACKAGE}/relationships">'
    f'<Relationship Id="model" Type="{_MODEL}" Target="/3D/3dmodel.model"/>'
    "</Relationships>\n"
)
_EARLIEST = (1980, 1, 1, 0, 0, 0)
_UNIX = 3
_STOCKS = 1
"""Number of the resource that holds the stocks; the objects follow."""


def write_3mf(bodies: Sequence[Body]) -> bytes:
    """The bodies as a 3MF file; the same bodies give the same bytes."""
    model = _HEAD + "\n".join(_model(bodies)) + "\n"
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as archive:
        for name, text in (
            ("[Content_Types].xml", _TYPES),
            ("_rels/.rels", _RELATIONS),
            ("3D/3dmodel.model", model),
        ):
            entry = zipfile.ZipInfo(name, _EARLIEST)
            entry.create_system = _UNIX  # else it tells which system wrote the file
            archive.writestr(entry, text.encode("utf-8"), zipfile.ZIP_DEFLATED)
    return held.getvalue()


def _model(bodies: Sequence[Body]) -> Iterator[str]:
    """Stocks, then objects, then where each object goes: where it stands already."""
    stocks = list(dict.fromkeys((body.stock, body.colour) for body in bodies))
    names = plain_names(body.name for body in bodies)
    yield f'<model unit="millimeter" xml:lang="en" xmlns="{_CORE}"><resources>'
    yield f'<basematerials id="{_STOCKS}">'
    for stock, colour in zip(plain_names(name for name, _ in stocks), stocks, strict=True):
        yield f'<base name={quoteattr(stock)} displaycolor="{colour[1].upper()}"/>'
    yield "</basematerials>"
    for number, (body, name) in enumerate(zip(bodies, names, strict=True), start=_STOCKS + 1):
        which = stocks.index((body.stock, body.colour))
        yield (
            f'<object id="{number}" type="model" name={quoteattr(name)} '
            f'pid="{_STOCKS}" pindex="{which}"><mesh>'
        )
        yield from _mesh(body.solid)
        yield "</mesh></object>"
    yield "</resources><build>"
    for number in range(len(bodies)):
        yield f'<item objectid="{number + _STOCKS + 1}"/>'
    yield "</build></model>"


def _mesh(solid: Solid) -> Iterator[str]:
    yield "<vertices>"
    for vertex in solid.vertices.tolist():
        x, y, z = (_number(value) for value in vertex)
        yield f'<vertex x="{x}" y="{y}" z="{z}"/>'
    yield "</vertices><triangles>"
    for a, b, c in solid.triangles.tolist():
        yield f'<triangle v1="{a}" v2="{b}" v3="{c}"/>'
    yield "</triangles>"


def _number(value: float) -> str:
    """A coordinate without the zeros at its end. [mm]"""
    return f"{value:.{DECIMALS}f}".rstrip("0").rstrip(".")
