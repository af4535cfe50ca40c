"""A job of a form, written as planes and panels, so that a maker can go on from it freely."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Any

from dryfit.errors import Fault, JobFileError
from dryfit.findings import Edit
from dryfit.jobfile.schema import ENDS, PIECE
from dryfit.jobfile.shop import family_of
from dryfit.jobfile.write import apply_edits
from dryfit.model.forms import ANGLED
from dryfit.model.piece import Wish
from dryfit.model.planes import AXES

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.findings import JobValue
    from dryfit.jobfile.tables import Tables
    from dryfit.model.opening import Opening
    from dryfit.model.planes import Layout, Member, Plane

_KEPT = ("stock", "tee")
"""Keys of the piece that a form and planes have in common."""


def unfolded(text: str, source: str, tables: Tables, layout: Layout) -> str:
    """The text of a job with its form taken out and its planes and panels put in.

    Parameters
    ----------
    text : str
        The job file; what it says of stock, cutter, joints and panels stays.
    source : str
        What to call it.
    tables : Tables
        Its tables.
    layout : Layout
        The piece it states.

    Raises
    ------
    JobFileError
        If the piece is stated by planes already, or has angled walls.
    """
    form = tables.piece.text("form")
    if form is None:
        sentence = f"the piece is stated by {len(layout.planes)} planes already; go on from there"
        raise JobFileError(source, (Fault("piece", 0, sentence),))
    edits = [
        Edit(("piece", key.name), None) for key in PIECE.keys
        if key.name in tables.piece and key.name not in _KEPT
    ]  # fmt: skip
    for plane in layout.planes:
        edits += _plane(plane, layout)
    for member in layout.members:
        edits += _member(member, layout)
    for member in layout.members:
        for opening in member.openings:
            if opening.name not in tables.opening:
                edits += _opening(member, opening, layout.unit)
    for pair, wish in layout.wishes.items():
        order = [member.name for member in layout.members if member.name in pair]
        edits += _wish("+".join(order), wish, layout.unit)
    return apply_edits(text, tuple(edits))


def check_unfolds(form: str | None, source: str) -> None:
    """Refuse a form whose panels lie on no planes along x, y and z."""
    if form in ANGLED:
        sentence = f"the walls of a {form} lie on none of the 3 axes; it stays a form"
        raise JobFileError(source, (Fault("piece.form", 0, sentence),))


def _plane(plane: Plane, layout: Layout) -> Iterator[Edit]:
    """A plane; of a family the first stands for all."""
    if plane.between is None:
        assert plane.at is not None
        yield Edit(("plane", plane.name, AXES[plane.axis]), _length(plane.at, layout.unit))
    elif plane.number == 1:
        name = plane.name if plane.parts == 2 else family_of(plane.name)
        yield Edit(("plane", name, "between"), list(plane.between))
        yield Edit(("plane", name, "parts"), plane.parts)


def _member(member: Member, layout: Layout) -> Iterator[Edit]:
    """A panel; of a family on a divided plane the first stands for all."""
    plane = next(plane for plane in layout.planes if plane.name == member.on)
    name, on = member.name, member.on
    if plane.between is not None and plane.parts > 2:
        if plane.number > 1:
            return
        name, on = family_of(name), family_of(on)
    yield Edit(("panel", name, "on"), on)
    if member.between:
        yield Edit(("panel", name, "between"), list(member.between))
    if member.face:
        yield Edit(("panel", name, "face"), member.face)
    yield from _let(("panel", name), "edges", member.edges, layout.unit)


def _wish(name: str, wish: Wish, unit: str) -> Iterator[Edit]:
    """What a form wishes of a joint."""
    yield from _let(("joint", name), "kind", wish, unit)
    if wish.leads is not None:
        yield Edit(("joint", name, "leads"), wish.leads)
    if wish.flank_gap is not None:
        yield Edit(("joint", name, "flank_gap"), _length(wish.flank_gap, unit))


def _let(path: tuple[str, str], key: str, wish: Wish, unit: str) -> Iterator[Edit]:
    """How an edge is let in."""
    if wish.kind is not None:
        yield Edit((*path, key), wish.kind.value)
    for each in fields(Wish):
        value: Any = getattr(wish, each.name)
        if each.name in ("depth", "room", "clearance") and value is not None:
            yield Edit((*path, each.name), _length(value, unit))
    if wish.stop is not None:
        yield Edit((*path, "stop"), [_length(end, unit) for end in wish.stop])
    if wish.through is not None:
        yield Edit((*path, "ends"), ENDS[0] if wish.through else ENDS[1])


def _opening(member: Member, opening: Opening, unit: str) -> Iterator[Edit]:
    path = ("opening", opening.name)
    yield Edit((*path, "panel"), member.name)
    if opening.at is not None:
        yield Edit((*path, "at"), [_length(at, unit) for at in opening.at])
    yield Edit((*path, "size"), [_length(size, unit) for size in opening.size])
    yield Edit((*path, "radius"), _length(opening.radius, unit))


def _length(length: float, unit: str) -> JobValue:
    """A `length` [mm] that is read as exactly the same: bare in a job in mm."""
    return length + 0.0 if unit == "mm" else f"{length!r} mm"
