"""How far panels sag under what stands on them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

from dryfit.checks.bearing import Bay, Levels, bearings, is_level
from dryfit.materials.beams import MIDDLE, SPREAD, Section
from dryfit.materials.loads import GRAVITY, USES
from dryfit.materials.plates import Edge, deflection, isotropic, orthotropic
from dryfit.materials.strength import Strength, creep, strength
from dryfit.model.panel import Grain

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dryfit.checks.bearing import Bearing
    from dryfit.joints.planning import Plans
    from dryfit.materials.loads import Use
    from dryfit.model.load import Load
    from dryfit.model.panel import Panel
    from dryfit.model.piece import Job

SHELVES, BOXES = "general", "household"
"""The uses that are taken where nobody says any: of a piece with shelves, and of any other."""


_BROAD = 0.25


@dataclass(frozen=True, slots=True)
class Sag:
    """A panel under its load.

    Parameters
    ----------
    panel : Panel
        The panel.
    bay : Bay
        The bay of it that sags most.
    use : Use
        What stands on it.
    assumed : bool
        Whether that was taken because nobody says.
    weight : float
        All that is on the panel, without its own weight. [kg]
    first : float
        How far it sags at first, its own weight reckoned in. [mm]
    later : pair of float
        After years, at least and at most; as at first where the load does not stay. [mm]
    limit : float
        How far it may. [mm]
    stated : bool
        Whether the maker has stated that limit.
    source : str
        Where its stiffness is from.
    """

    panel: Panel
    bay: Bay
    use: Use
    assumed: bool
    weight: float
    first: float
    later: tuple[float, float]
    limit: float
    stated: bool
    source: str

    @property
    def name(self) -> str:
        """The panel's name."""
        return self.panel.name

    @property
    def full(self) -> float:
        """The first sag as a share of what is allowed. [-]"""
        return self.first / self.limit


def usual_use(job: Job) -> str:
    """The use that a piece is taken to have where nobody says."""
    level = [panel for panel in job.piece.panels if is_level(panel)]
    largest = max((panel.width * panel.height for panel in level), default=0.0)
    # Cleats and lips are level too, and no shelves.
    broad = [panel for panel in level if panel.width * panel.height > _BROAD * largest]
    levels = {round(panel.frame.origin[2], 3) for panel in broad}
    return SHELVES if len(levels) > 2 else BOXES


def sags(job: Job, plans: Plans) -> Iterator[Sag]:
    """Every panel that carries something and whose sag can be reckoned."""
    panels, service = job.piece.panels, job.service
    pushed = [name for name, load in service.loads.items() if load.weight or load.use]
    usual, levels = usual_use(job), Levels(panels)
    for bearing in bearings(panels, plans, pushed):
        panel = bearing.panel
        load = service.on(panel.name)
        word = load.use or service.use
        made = strength(panel.stock.material, panel.thickness)
        if made is None or not _reckoned(bearing):
            continue
        use = USES[word or usual]
        height = levels.room_above(panel) if is_level(panel) else 0.0
        weight = use.weight(panel.width * panel.height, height)
        assumed = not word and load.weight is None
        yield _worst(
            bearing, load, made, (use, assumed, weight if load.weight is None else load.weight)
        )


def _reckoned(bearing: Bearing) -> bool:
    return any(bay.span for bay in bearing.bays)


def left_out(job: Job, plans: Plans) -> Iterator[Panel]:
    """Level panels that stick out from one edge or two neighbouring ones, and are not reckoned."""
    for bearing in bearings(job.piece.panels, plans):
        if bearing.bays and not _reckoned(bearing):
            yield bearing.panel


def _worst(bearing: Bearing, load: Load, made: Strength, carried: tuple[Use, bool, float]) -> Sag:
    """The bay that goes farthest towards its limit."""
    use, assumed, weight = carried
    panel = bearing.panel
    found = []
    for bay in bearing.bays:
        if not bay.span:
            continue
        first = sag(panel, bay, made, weight, middle=load.middle)
        limit = use.limit(bay.span) if load.limit is None else load.limit
        found.append((first / limit, first, limit, bay))
    _, first, limit, bay = max(found, key=lambda each: each[0])
    factor = creep(panel.stock.material)
    grown = (1.0, 1.0) if load.brief else (factor.least, factor.most)
    return Sag(
        panel, bay, use, assumed, weight, first, (grown[0] * first, grown[1] * first), limit,
        load.limit is not None, made.source,
    )  # fmt: skip


def sag(panel: Panel, bay: Bay, made: Strength, weight: float, *, middle: bool) -> float:
    """How far one bay of a panel sags. [mm]

    Parameters
    ----------
    panel : Panel
        The panel; its own weight counts where it lies level.
    bay : Bay
        The bay, carried at two opposite edges at least.
    made : Strength
        What the panel can do.
    weight : float
        What is on the whole panel. [kg]
    middle : bool
        Whether that lies in the middle of the bay.
    """
    thickness = panel.thickness
    own = made.density * thickness * 1e-9 * GRAVITY if is_level(panel) else 0.0
    spread = 0.0 if middle else weight * GRAVITY / (panel.width * panel.height)
    point = weight * GRAVITY if middle else 0.0
    ways = {Grain.U: (True,), Grain.V: (False,), Grain.FREE: (True, False)}[panel.grain]
    if made.along == made.across:
        ways = (True,)
    # Where nobody says how the grain of a sheet runs, the way that bends more is taken.
    return max(
        remembered_bend(bay if way else bay.turned, made, thickness, own + spread, point)
        for way in ways
    )


@lru_cache(maxsize=4096)
def remembered_bend(
    bay: Bay, made: Strength, thickness: float, pressure: float, point: float
) -> float:
    """Sag of a bay whose u runs along the grain. [mm]

    Parameters
    ----------
    bay : Bay
        Carried at two opposite edges at least.
    made : Strength
        What the panel can do.
    thickness : float
        Of the panel. [mm]
    pressure, point : float
        Load all over it, and in its middle. [N/mm², N]
    """
    along_u = bay.ends_u == 2 and (bay.ends_v < 2 or bay.u <= bay.v)
    span, breadth = (bay.u, bay.v) if along_u else (bay.v, bay.u)
    strip = Section(breadth, thickness, made.along if along_u else made.across, made.shear)
    total = 0.0
    if point:
        # In the middle of a plate a strip as broad as its span helps (common practice, no source).
        strip = replace(strip, width=min(breadth, span))
        total += strip.deflection(MIDDLE, point, span)
        strip = replace(strip, width=breadth)
    if min(bay.ends_u, bay.ends_v) == 0:
        return total + strip.deflection(SPREAD, pressure * breadth * span, span)
    if made.along == made.across:
        plate = isotropic(made.along, made.poisson, thickness)
    else:
        plate = orthotropic(made.along, made.across, made.twist, made.poisson, thickness)
    if bay.ends_u < 2:
        plate, bay = plate.turned, bay.turned
    last = Edge.CARRIED if bay.ends_v == 2 else Edge.FREE
    total += deflection(plate, (bay.u, bay.v), (Edge.CARRIED, last), pressure)
    # Shear as of a strip over the shorter span: a plate has a little less.
    return total + SPREAD.shears * pressure * breadth * span**2 / strip.shear_stiffness


def heaviest(found: Sag, load: Load, made: Strength) -> float:
    """The most weight with which a panel keeps within its limit. [kg]"""
    empty = sag(found.panel, found.bay, made, 0.0, middle=load.middle)
    each = (found.first - empty) / found.weight if found.weight else 0.0
    return max(0.0, (found.limit - empty) / each) if each else 0.0


def thicker(found: Sag, load: Load, sizes: Sequence[float], most: float) -> float | None:
    """The least of some thicknesses with which a panel keeps within its limit; None if none does.

    Parameters
    ----------
    found : Sag
        The panel as it is.
    load : Load
        What the maker says of it.
    sizes : sequence of float
        Thicknesses that can be had, in order. [mm]
    most : float
        By what the first sag is multiplied before it is judged. [-]
    """
    for size in sizes:
        made = strength(found.panel.stock.material, size)
        if size <= found.panel.thickness or made is None:
            continue
        stock = replace(found.panel.stock, nominal=size, readings=())
        panel = replace(found.panel, stock=stock)
        if most * sag(panel, found.bay, made, found.weight, middle=load.middle) <= found.limit:
            return size
    return None
