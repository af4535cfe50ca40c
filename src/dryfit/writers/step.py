"""Bodies as STEP AP214: named parts in one assembly, arcs as cylinders; the door to OCP.

Each part is built in its panel's own axes from its loops as they are: a straight edge makes a
plane, a bulge a true cylinder. The assembly then places it by its frame. The library is large and
an extra of its own; without it the caller gets a sentence.

The library puts the clock's time into the header, numbers the places of parts on from file to file
of one run, and writes names as UTF-8, which the edition named in its header does not know. All
three are put right [1]_.

References
----------
.. [1] ISO 10303-21:2002, Clear text encoding of the exchange structure: 6.4.3, string, whose
   control directives X2 and X4 hold characters beyond ASCII.
"""

from __future__ import annotations

import io
import re
from functools import reduce
from itertools import count, pairwise
from typing import TYPE_CHECKING, Any

import numpy as np

from dryfit.errors import OutputError, ShapeError
from dryfit.pages.names import plain_names, plain_text
from dryfit.shapes import arc
from dryfit.shapes.tolerances import SAME

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryfit.shapes.profile import Loop, Profile
    from dryfit.shapes.solid import Slice, Stack

EXTRA = '"cadquery-ocp-novtk>=8.0,<9"'
"""What the extra installs, as a shell takes it."""

_EPOCH = "1970-01-01T00:00:00"
"""The header wants a time; no clock is read for it."""

_PLACE = re.compile(r"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\(')\d+")
_BEYOND_ASCII = re.compile(r"[^\x00-\x7f]+")


def write_step(title: str, bodies: Sequence[tuple[str, Stack]]) -> bytes:
    """Named stacks as the parts of one assembly, in millimetres.

    Parameters
    ----------
    title : str
        What the assembly is called.
    bodies : sequence of pairs
        The name of each part, and its body.

    Raises
    ------
    ShapeError
        If there are no parts.
    OutputError
        If the library is not installed, or fails to write.
    """
    if not bodies:
        raise ShapeError("An assembly of 0 parts has no body; state a panel first")
    _ask_for_the_library()
    from OCP.Interface import Interface_Static
    from OCP.STEPCAFControl import STEPCAFControl_Writer

    writer = STEPCAFControl_Writer()
    # Planes and cylinders need no second copy of each edge in their own parameters. The first
    # writer of a run brings the setting along, so before it there is nothing to set.
    Interface_Static.SetIVal_s("write.surfacecurve.mode", 0)
    held = io.BytesIO()
    if not writer.Transfer(_document(title, bodies)):
        raise OutputError(f"{len(bodies)} parts could not be put into STEP; write .3mf instead")
    _head(writer.ChangeWriter().Model(), title)
    writer.WriteStream(held)
    return _tidy(held.getvalue().decode("utf-8")).encode("ascii")


def _tidy(text: str) -> str:
    """Places numbered from 1, and characters beyond ASCII as the standard spells them."""
    number = count(1)
    numbered = _PLACE.sub(lambda found: f"{found[1]}{next(number)}", text)
    return _BEYOND_ASCII.sub(lambda found: _spelt(found[0]), numbered)


def _spelt(text: str) -> str:
    """Characters by their numbers, four digits each, or eight where one of them needs more."""
    wide = max(text) > "\uffff"
    codes = (f"{ord(sign):0{8 if wide else 4}X}" for sign in text)
    return f"\\X{4 if wide else 2}\\{''.join(codes)}\\X0\\"


def _ask_for_the_library() -> None:
    """Stop with a sentence where it is missing, else keep it from talking to the terminal."""
    try:
        from OCP.Message import Message, Message_Gravity
    except ImportError:
        raise OutputError(
            "STEP needs a library of about 380 MB that is not installed; "
            f"python -m pip install {EXTRA} brings it, and .3mf and .glb do without"
        ) from None
    for printer in Message.DefaultMessenger_s().Printers():
        printer.SetTraceLevel(Message_Gravity.Message_Fail)


def _document(title: str, bodies: Sequence[tuple[str, Stack]]) -> Any:
    """An assembly of named parts, each placed by its frame."""
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDataStd import TDataStd_Name
    from OCP.TDocStd import TDocStd_Document
    from OCP.XCAFDoc import XCAFDoc_DocumentTool

    document = TDocStd_Document(TCollection_ExtendedString("XmlOcaf"))
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    shapes.SetAutoNaming_s(V=False)

    def named(label: Any, name: str) -> Any:
        TDataStd_Name.Set_s(label, TCollection_ExtendedString(name, theIsMultiByte=True))
        return label

    assembly = named(shapes.NewShape(), plain_text(title) or "piece")
    for name, (_, stack) in zip(plain_names(name for name, _ in bodies), bodies, strict=True):
        part = named(shapes.AddShape(_shape(stack), makeAssembly=False), name)
        named(shapes.AddComponent(assembly, part, _place(stack)), name)
    shapes.UpdateAssemblies()
    return document


def _place(stack: Stack) -> Any:
    """Where the frame of a stack puts its body."""
    from OCP.gp import gp_Ax3, gp_Dir, gp_Pnt, gp_Trsf
    from OCP.TopLoc import TopLoc_Location

    u, _, n = stack.axes.tolist()
    turn = gp_Trsf()
    turn.SetTransformation(gp_Ax3(gp_Pnt(*stack.origin.tolist()), gp_Dir(*n), gp_Dir(*u)), gp_Ax3())
    return TopLoc_Location(turn)


def _shape(stack: Stack) -> Any:
    """A body in its own axes, its slices made one."""
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Fuse
    from OCP.ShapeUpgrade import ShapeUpgrade_UnifySameDomain

    upright = [
        _upright(each, profile)
        for each in stack.slices
        if each.high - each.low > SAME
        for profile in each.profiles
    ]
    if len(upright) == 1:
        return upright[0]
    whole = reduce(lambda one, other: BRepAlgoAPI_Fuse(one, other).Shape(), upright)
    tidy = ShapeUpgrade_UnifySameDomain(whole)
    tidy.Build()
    return tidy.Shape()


def _upright(each: Slice, profile: Profile) -> Any:
    """One profile of a slice, from its lower height to its upper one."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
    from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
    from OCP.gp import gp_Dir, gp_Pln, gp_Pnt, gp_Vec

    floor = gp_Pln(gp_Pnt(0, 0, each.low), gp_Dir(0, 0, 1))
    face = BRepBuilderAPI_MakeFace(floor, _wire(profile.outer, each.low))
    for hole in profile.holes:
        face.Add(_wire(hole, each.low))
    return BRepPrimAPI_MakePrism(face.Face(), gp_Vec(0, 0, each.high - each.low)).Shape()


def _wire(loop: Loop, height: float) -> Any:
    """A loop as lines and arcs of circles at a height [mm]."""
    from OCP.BRepBuilderAPI import (
        BRepBuilderAPI_MakeEdge,
        BRepBuilderAPI_MakeVertex,
        BRepBuilderAPI_MakeWire,
    )
    from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pnt

    points = [gp_Pnt(x, y, height) for x, y, _ in loop.vertices.tolist()]
    corners = [BRepBuilderAPI_MakeVertex(point).Vertex() for point in points]
    bent = loop.edges[:, 4] != 0
    middles, radii = np.zeros((len(bent), 2)), np.zeros(len(bent))
    middles[bent], radii[bent] = arc.centre(loop.edges[bent]), arc.radius(loop.edges[bent])
    wire = BRepBuilderAPI_MakeWire()
    for k, (one, other) in enumerate(pairwise([*corners, corners[0]])):
        if not bent[k]:
            wire.Add(BRepBuilderAPI_MakeEdge(one, other).Edge())
            continue
        # A circle runs counter-clockwise about its axis, so that of a right turn looks down.
        axis = gp_Dir(0, 0, 1 if loop.edges[k, 4] > 0 else -1)
        circle = gp_Circ(gp_Ax2(gp_Pnt(*middles[k].tolist(), height), axis), float(radii[k]))
        wire.Add(BRepBuilderAPI_MakeEdge(circle, one, other).Edge())
    return wire.Wire()


def _head(model: Any, title: str) -> None:
    """Say in the file's header what it is, and leave the clock out of it."""
    from OCP.APIHeaderSection import APIHeaderSection_MakeHeader
    from OCP.TCollection import TCollection_HAsciiString as Text

    header = APIHeaderSection_MakeHeader(model)
    header.SetName(Text(plain_text(title)))
    header.SetTimeStamp(Text(_EPOCH))
    header.SetAuthorValue(1, Text(""))
    header.SetOrganizationValue(1, Text(""))
    header.SetOriginatingSystem(Text("dryfit"))
