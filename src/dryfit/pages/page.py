"""A neutral drawing: what is drawn and what it means, in no format at all.

Vocabulary
----------
page
    A rectangle of paper, x to the right and y up, with strokes, fills and texts on it. [mm]
path
    True lines and circular arcs: vertices of x, y and bulge, open or closed.
role
    What an item is for: an operation of the cutter, or a voice of the drawing. Writers turn a
    role into a layer, a group or a line weight.
owner
    Name of the part an item belongs to; empty where it belongs to none.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dryfit.shapes.profile import Loop

Vertex = tuple[float, float, float]
"""x [mm], y [mm] and the bulge [-] of the edge that leaves it."""


class Role(StrEnum):
    """What an item on a page is for, in the order in which items are drawn.

    Marks stand before cuts and inside cuts before outside ones, for many cutters follow the order
    of the file, and a part that has been cut loose can move.
    """

    FACE = "face"
    EDGE = "edge"
    MARK = "mark"
    TRENCH = "trench"
    CUT_INSIDE = "cut inside"
    CUT_OUTSIDE = "cut outside"
    LEADER = "leader"
    DIMENSION = "dimension"
    LABEL = "label"


class Voice(StrEnum):
    """Who speaks: numbers and labels in a technical sans, sentences and headings in a serif."""

    TECHNICAL = "technical"
    STRONG = "strong"
    SENTENCE = "sentence"
    HEADING = "heading"


class Anchor(StrEnum):
    """Which end of a line of text stands at its position."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True)
class Path:
    """Lines and arcs through vertices of (x [mm], y [mm], bulge [-]).

    A closed path returns to its first vertex; the last bulge of an open one means nothing.
    """

    vertices: tuple[Vertex, ...]
    closed: bool = True

    @classmethod
    def of_loop(cls, loop: Loop) -> Path:
        """The same lines and arcs as a closed loop of a profile."""
        return cls(tuple((x, y, bulge) for x, y, bulge in loop.vertices.tolist()))

    @classmethod
    def line(cls, *points: tuple[float, float]) -> Path:
        """An open path of straight lines. [mm]"""
        return cls(tuple((x, y, 0.0) for x, y in points), closed=False)

    @classmethod
    def polygon(cls, *points: tuple[float, float]) -> Path:
        """A closed path of straight lines. [mm]"""
        return cls(tuple((x, y, 0.0) for x, y in points))

    @property
    def edges(self) -> tuple[tuple[Vertex, Vertex], ...]:
        """Every edge as its two vertices; the first one carries the bulge."""
        following = self.vertices[1:] + (self.vertices[:1] if self.closed else ())
        return tuple(zip(self.vertices, following, strict=False))


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line that is drawn, engraved or cut.

    `note` is what the operation needs beside its role, in plain letters: a trench's face and its
    depth in mm. `dashes` are the lengths that are drawn and left bare by turns [mm]; a cutter
    follows the whole line all the same, so only drawings show them. `weight` is the width of the
    line on paper, 0 that of its role [mm]. On paper it ends at its `window`, a rectangle
    (x0, y0, x1, y1) [mm].
    """

    role: Role
    path: Path
    owner: str = ""
    note: str = ""
    dashes: tuple[float, ...] = ()
    weight: float = 0.0
    window: tuple[float, float, float, float] | None = None


@dataclass(frozen=True, slots=True)
class Fill:
    """An area inside closed paths: what an odd number of them surround. `tint` is ``#rrggbb``."""

    role: Role
    paths: tuple[Path, ...]
    tint: str
    owner: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text.

    Parameters
    ----------
    role : Role
        What it is for.
    x, y : float
        Where its baseline begins, is halved or ends, as `anchor` says. [mm]
    height : float
        Height of a capital letter. [mm]
    content : str
        The text, already plain.
    anchor : Anchor
        Which end stands at the position.
    angle : float
        Turn from the x axis, counter-clockwise. [rad]
    owner : str
        Name of the part it belongs to.
    voice : Voice
        The letters it is set in on paper.
    """

    role: Role
    x: float
    y: float
    height: float
    content: str
    anchor: Anchor = Anchor.START
    angle: float = 0.0
    owner: str = ""
    voice: Voice = Voice.TECHNICAL


@dataclass(frozen=True, slots=True)
class Page:
    """A drawing.

    Parameters
    ----------
    title : str
        What it shows, in a few words.
    description : str
        Its text twin: the same in sentences, for those who listen.
    width, height : float
        Size of the paper. [mm]
    x, y : float
        Lower left corner of the paper. [mm]
    paper : str
        Colour of the paper as ``#rrggbb``; empty leaves it bare.
    fills, strokes, texts : tuple
        What is drawn, in this order within a role.
    """

    title: str
    width: float
    height: float
    description: str = ""
    x: float = 0.0
    y: float = 0.0
    paper: str = ""
    fills: tuple[Fill, ...] = ()
    strokes: tuple[Stroke, ...] = ()
    texts: tuple[Text, ...] = ()

    @property
    def roles(self) -> tuple[Role, ...]:
        """The roles in use, in drawing order."""
        items: tuple[Fill | Stroke | Text, ...] = (*self.fills, *self.strokes, *self.texts)
        used = {item.role for item in items}
        return tuple(role for role in Role if role in used)
