"""Mends of what does not hold: thicker stock, a divider, less weight, a back, a housing."""

from __future__ import annotations

from dataclasses import replace
from math import floor
from typing import TYPE_CHECKING

from dryfit.checks.bearing import LEVEL
from dryfit.checks.sag import heaviest, sag, thicker
from dryfit.checks.subject import listed
from dryfit.findings import Edit, Mend
from dryfit.materials.strength import strength
from dryfit.model.cutter import Route

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from dryfit.checks.sag import Sag
    from dryfit.checks.standing import Ring
    from dryfit.checks.subject import Subject
    from dryfit.materials.sheets import Material
    from dryfit.model.panel import Panel

SHEETS = (3.0, 4.0, 6.0, 9.0, 12.0, 15.0, 18.0, 21.0, 24.0, 27.0, 30.0)
"""Thicknesses that sheets are sold in (common practice, no source). [mm]"""

BOARDS = tuple(float(each) for each in range(6, 41))
"""Thicknesses that boards are planed to. [mm]"""

_SPARE = 0.98  # the panel's own size changes a little with its thickness
_MOST_UPRIGHTS = 6


def stiffen(subject: Subject, group: Sequence[Sag], factor: float) -> Mend | None:
    """What keeps panels that sag alike within their limit; None where nothing does.

    Parameters
    ----------
    subject : Subject
        The job.
    group : sequence of Sag
        Panels that sag alike.
    factor : float
        By what their first sag is multiplied before it is judged. [-]
    """
    return (
        _thicken(subject, group, factor / _SPARE)
        or _divide(subject, group, factor / _SPARE)
        or _lighten(subject, group, factor)
    )


def sizes(material: Material) -> tuple[float, ...]:
    """Thicknesses that a material can be had in. [mm]"""
    return BOARDS if material.solid else SHEETS


def _thicken(subject: Subject, group: Sequence[Sag], factor: float) -> Mend | None:
    """Thicker stock of the same material for these panels alone."""
    first = group[0]
    stock = first.panel.stock
    load = subject.job.service.on(first.name)
    size = thicker(first, load, sizes(stock.material), factor)
    if size is None or any(each.panel.stock.name != stock.name for each in group):
        return None
    names = [each.name for each in group]
    return Mend(
        f"Make {listed(names)} {subject.say(size, 1)} thick.",
        tuple(_of_stock(subject, names, first.panel, size)),
        value=size,
    )


def _of_stock(subject: Subject, names: Sequence[str], panel: Panel, size: float) -> Iterator[Edit]:
    """Edits that cut some panels from a thicker stock of the same material."""
    own = f"{panel.stock.name} {size:g}"
    yield Edit(("stock", own, "material"), panel.stock.material.name)
    yield Edit(("stock", own, "nominal"), subject.value(size))
    yield Edit(("stock", own, "readings"), None)
    used = {each.stock.name for each in subject.job.piece.panels}
    if len(used) == 1:
        # With two stocks in the file, the panels that name none need to be told.
        yield Edit(("piece", "stock"), panel.stock.name)
    for name in _families(subject, names):
        yield Edit(("panel", name, "stock"), own)
        yield Edit(("panel", name, "readings"), None)
        yield Edit(("panel", name, "spread"), None)


def _families(subject: Subject, names: Sequence[str]) -> list[str]:
    """The names under which panels are written: a family where all of it is meant."""
    every = [panel.name for panel in subject.job.piece.panels]
    found: dict[str, None] = {}
    for name in names:
        base, _, number = name.rpartition(" ")
        family = base if base and number.isdecimal() else name
        whole = {each for each in every if each.rpartition(" ")[0] == family}
        found[family if whole and whole <= set(names) else name] = None
    return list(found)


def _divide(subject: Subject, group: Sequence[Sag], factor: float) -> Mend | None:
    """More uprights in a case, between which its shelves span less."""
    first = group[0]
    panel, bay = first.panel, first.bay
    along = abs(panel.frame.u[0]) > LEVEL and bay.ends_u == 2
    shelves = all(each.name.startswith("shelf") for each in group)
    made = strength(panel.stock.material, panel.thickness)
    if subject.job.form != "case" or not (along and shelves) or made is None:
        return None
    names = [each.name for each in subject.job.piece.panels]
    have = sum(name.startswith("upright") for name in names)
    load = subject.job.service.on(first.name)
    for count in range(have + 1, _MOST_UPRIGHTS + 1):
        shorter = replace(bay, u=bay.u * (have + 1) / (count + 1))
        limit = first.use.limit(shorter.span) if load.limit is None else load.limit
        if factor * sag(panel, shorter, made, first.weight, middle=load.middle) <= limit:
            more = "an upright" if count == 1 else f"{count} uprights"
            return Mend(
                f"Set {more} in the case, which the shelves span between.",
                (Edit(("piece", "uprights"), count),),
                value=count,
            )
    return None


def _lighten(subject: Subject, group: Sequence[Sag], factor: float) -> Mend | None:
    """Less weight on each of the panels."""
    first = group[0]
    made = strength(first.panel.stock.material, first.panel.thickness)
    load = subject.job.service.on(first.name)
    if made is None or not first.weight:
        return None
    strict = replace(first, limit=first.limit / factor)
    least = floor(10 * heaviest(strict, load, made)) / 10
    if least <= 0:
        return None
    names = [each.name for each in group]
    edits: list[Edit] = []
    for name in names:
        edits.append(Edit(("load", name, "weight"), least))
        if load.middle:
            edits.append(Edit(("load", name, "at"), "middle"))
        if load.brief:
            edits.append(Edit(("load", name, "brief"), value=True))
        if load.limit is not None:
            edits.append(Edit(("load", name, "limit"), subject.value(load.limit)))
        elif first.use.name != subject.job.service.use:
            edits.append(Edit(("load", name, "use"), first.use.name))
    return Mend(
        f"Put no more than {subject.weigh(least)} on {listed(names)}.", tuple(edits), value=least
    )


def brace(subject: Subject, ring: Ring) -> Mend | None:
    """A back for a case; stock so thick that the ring keeps square by itself; None if neither."""
    job = subject.job
    names = [panel.name for panel in job.piece.panels]
    if job.form == "case" and ring.axis == "y" and "back" not in names:
        return Mend("Give it a back.", (Edit(("piece", "back"), "finger"),), value=1)
    stocks = {subject.panel(name).stock for name in ring.panels}
    if len({stock.name for stock in stocks}) > 1:
        return None
    stock = next(iter(stocks))
    for size in sizes(stock.material):
        share = size / stock.thickness
        strong = not ring.corner[1] or ring.moment <= ring.corner[0] * share**2 * _SPARE
        if share > 1 and ring.open_sway / share**3 <= ring.allowed * _SPARE and strong:
            edits = [
                Edit(("stock", stock.name, "nominal"), subject.value(size)),
                Edit(("stock", stock.name, "readings"), None),
                Edit(("stock", stock.name, "spread"), None),
                *(Edit(("panel", name, "readings"), None) for name in ring.panels),
            ]
            sentence = f"Make {stock.name} {subject.say(size, 1)} thick, or give it a back."
            return Mend(sentence, tuple(edits), value=size)
    return None


def house(subject: Subject, pairs: Iterable[tuple[str, str]]) -> Mend:
    """Housings, on a laser tenons, in place of butt joints."""
    kind = "tenon" if subject.cutter.route is Route.LASER else "housing"
    edits = [Edit(("joint", f"{name}+{mate}", "kind"), kind) for name, mate in pairs]
    return Mend(f"Let each edge in with a {kind}.", tuple(edits), value=len(edits))


def spell_out(use: str, area: float) -> Mend:
    """The use that was taken, written down.

    Parameters
    ----------
    use : str
        Its word.
    area : float
        What it brings. [kg/m²]
    """
    return Mend(
        f'Say what it is for: use = "{use}", or another.',
        (Edit(("piece", "use"), use),),
        value=area,
    )
