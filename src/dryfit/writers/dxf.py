"""Pages as DXF R2010, in millimetres, one layer an operation; the door to ezdxf.

Lines and arcs are LWPOLYLINE entities with bulges, closed where the path is closed [1]_. No
standard names the layers of a cut file; these are the roles of the page in capitals.

References
----------
.. [1] Autodesk, DXF Reference, AutoCAD 2010: LWPOLYLINE, group 42 is the bulge; header
   variables $INSUNITS (4: millimetres) and $MEASUREMENT (1: metric).
"""

from __future__ import annotations

import io
import math
from contextlib import contextmanager
from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.pages.hand import WEIGHT
from dryfit.pages.page import Anchor, Role

if TYPE_CHECKING:
    from collections.abc import Iterator

    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

    from dryfit.pages.page import Page, Text

_FOREGROUND, _BLUE, _GREEN, _GREY = 7, 5, 3, 8
_COLOUR = MappingProxyType(
    {
        Role.CUT_OUTSIDE: _FOREGROUND,
        Role.CUT_INSIDE: _BLUE,
        Role.MARK: _GREEN,
        Role.TRENCH: _GREEN,
    }
)
"""Index colour of each operation's layer; what is not cut is grey."""

_LINE_WEIGHTS = (0, 5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50)
"""The thinner line weights that the format knows. [0.01 mm]"""


def layer(role: Role, note: str = "") -> str:
    """The layer of a role: its name in capitals, one word, with what else the operation needs.

    Examples
    --------
    >>> layer(Role.CUT_OUTSIDE)
    'CUT_OUTSIDE'
    >>> layer(Role.TRENCH, "A_3.00")
    'TRENCH_A_3.00'
    """
    name = role.value.upper().replace(" ", "_")
    return f"{name}_{note}" if note else name


def write_dxf(page: Page) -> bytes:
    """The strokes and texts of the page as a DXF file; the same page gives the same bytes.

    Fills are left out: they mean nothing to a cutter.
    """
    with _fixed_metadata():
        drawing = _drawing(page)
        stream = io.StringIO()
        drawing.write(stream)
        return bytes(drawing.encode(stream.getvalue()))


@contextmanager
def _fixed_metadata() -> Iterator[None]:
    """No dates and no random identifiers, for as long as the file is being made."""
    # ezdxf loads NumPy and fonts, which a bare `--help` must not wait for.
    from ezdxf._options import options

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _drawing(page: Page) -> Drawing:
    """The page as a document of the format's library."""
    from ezdxf import units
    from ezdxf.filemanagement import new

    drawing = new("R2010", units=units.MM)
    drawing.header["$MEASUREMENT"] = 1
    _add_layers(drawing, page)
    space = drawing.modelspace()
    for stroke in page.strokes:
        space.add_lwpolyline(
            stroke.path.vertices,
            format="xyb",
            close=stroke.path.closed,
            dxfattribs={"layer": layer(stroke.role, stroke.note)},
        )
    for text in page.texts:
        _add_text(space, text)
    _show_all(drawing, page)
    # The library walks a set of these names when it writes, so their order would be any.
    for name in sorted(drawing.entitydb.dxf_types_in_use()):
        drawing.classes.add_class(name)
    return drawing


def _add_layers(drawing: Drawing, page: Page) -> None:
    """A layer for every role that strokes and texts use."""
    used = {(stroke.role, stroke.note) for stroke in page.strokes}
    used |= {(text.role, "") for text in page.texts}
    for role in page.roles:
        for note in sorted(note for own, note in used if own is role):
            colour = _COLOUR.get(role, _GREY)
            drawing.layers.add(layer(role, note), color=colour, lineweight=_line_weight(role))


def _line_weight(role: Role) -> int:
    """The format's weight nearest to a role's. [0.01 mm]."""
    return min(_LINE_WEIGHTS, key=lambda known: abs(known - 100 * WEIGHT[role]))


def _add_text(space: Modelspace, text: Text) -> None:
    """A single line of text, placed by its baseline."""
    from ezdxf.enums import TextEntityAlignment

    alignment = {
        Anchor.START: TextEntityAlignment.LEFT,
        Anchor.MIDDLE: TextEntityAlignment.CENTER,
        Anchor.END: TextEntityAlignment.RIGHT,
    }[text.anchor]
    entity = space.add_text(
        text.content,
        height=text.height,
        rotation=math.degrees(text.angle),
        dxfattribs={"layer": layer(text.role)},
    )
    entity.set_placement((text.x, text.y), align=alignment)


def _show_all(drawing: Drawing, page: Page) -> None:
    """Limits, extents and first view on the page."""
    low, high = (page.x, page.y), (page.x + page.width, page.y + page.height)
    drawing.modelspace().reset_limits(low, high)
    drawing.modelspace().reset_extents((*low, 0.0), (*high, 0.0))
    middle = (page.x + page.width / 2, page.y + page.height / 2)
    drawing.set_modelspace_vport(height=page.height, center=middle)
