"""Random jobs of every form, and random single joints, whose odds are worth comparing.

Everything follows from the seed. The scatter of a piece is scaled until the referee finds odds near
a wanted value, so that few of them close always or never.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from math import inf
from random import Random
from typing import TYPE_CHECKING

from dryfit import workflow
from dryfit.errors import DryfitError
from dryfit.model.cutter import Route
from dryfit.model.scatter import Scatter
from tests.helpers.story import describe, lone_joint
from tests.helpers.trial import simulate

if TYPE_CHECKING:
    from dryfit.workflow import Rehearsal
    from tests.helpers.story import Story

THROUGH = ("pair", "ring", "tray", "case", "crate", "stand", "many-sided tray", "splayed tray")
"""Forms that every route can cut."""

FORMS = (*THROUGH, "chest", "drawer", "planes")

MOST_PANELS = 25

_MATERIALS = ("birch plywood", "MDF", "acrylic", "oak", "lime", "particleboard")
_NEAR = 0.02
_PILOT = 1500


@dataclass(frozen=True)
class RandomPiece:
    """A job and what the shop leaves.

    Parameters
    ----------
    text : str
        The job file.
    form : str
        Its form, or ``planes``.
    scatter : Scatter
        What the shop leaves.
    flush : float
        Step that rims and seats may show. [mm]
    cups : mapping of str to float
        What remains of the cup of some panels. [mm]
    slopes : mapping of str to float
        How much more the later panel grew along some joints. [-]
    """

    text: str
    form: str
    scatter: Scatter
    flush: float
    cups: dict[str, float]
    slopes: dict[str, float]

    @cached_property
    def rehearsal(self) -> Rehearsal:
        """The job, rehearsed."""
        return workflow.read_text(self.text)

    @property
    def story(self) -> Story:
        """What the referee puts together."""
        return describe(self.rehearsal, self.scatter, self.flush, self.cups, self.slopes)


@dataclass(frozen=True)
class RandomJoint:
    """One joint of two panels: `count` boundaries along `length`, and the slope of moisture."""

    count: int
    gap: float
    scatter: Scatter
    length: float
    route: Route
    flush: float
    slope: float

    @property
    def story(self) -> Story:
        """What the referee puts together."""
        return lone_joint(
            self.count, self.gap, self.scatter, self.length, self.route, self.flush, self.slope
        )


def random_joint(seed: int) -> RandomJoint:
    """A joint of 2 to 40 boundaries: independent, hand-knifed or stepped; shared misfit, ramp.

    With rims for one in three, fixed for one in six.
    """
    rng = _seeded(seed)
    route = rng.choice([Route.ROUTER, Route.ROUTER, Route.LASER, Route.SAW, Route.HAND])
    count, gap, length = rng.randint(2, 40), rng.uniform(0.02, 0.15), rng.uniform(60, 500)
    edge = gap * rng.uniform(0.15, 0.5) * (0.35 if route is Route.SAW else 1.0)
    scatter = Scatter(
        edge,
        rng.choice([0.0, 0.3, 1.0]) * gap,
        rng.choice([0.0, rng.uniform(-0.2, 0.2) * gap]),
        rng.choice([0.0, rng.uniform(0.1, 0.4) * gap]),
        rng.choice([0.0, rng.uniform(0.1, 0.6) * gap / length]),
    )
    slope = rng.choice([0.0, 0.0, rng.uniform(-0.8, 0.8) * gap / length])
    flush = rng.choice([inf, inf, inf, inf, 0.0, rng.uniform(0.2, 1.5) * gap])
    if flush == 0.0:
        scatter = replace(scatter, datum=0.0)
    return RandomJoint(count, gap, scatter, length, route, flush, slope)


def random_piece(seed: int, form: str | None = None) -> RandomPiece:
    """A job of a form (or any) that can be rehearsed, with odds mostly between 0.3 and 0.995.

    A job that cannot be planned is drawn again.

    Parameters
    ----------
    seed : int
        Everything follows from it.
    form : str, optional
        One of `FORMS`.
    """
    form = form or _seeded(seed).choice(FORMS)
    rng = _seeded(f"{form} {seed}")
    while True:
        piece = _drawn(rng, form)
        if _can_be_planned(piece):
            return _tuned(piece, rng)


def _seeded(seed: int | str) -> Random:
    return Random(seed)  # noqa: S311


def _can_be_planned(piece: RandomPiece) -> bool:
    """Whether there is a plan: what a form refuses for its sizes says so in one sentence."""
    try:
        plans = piece.rehearsal.plans
    except DryfitError:
        return False
    many = len(piece.rehearsal.piece.panels) > MOST_PANELS
    return bool(plans.joints) and not (plans.tangles or plans.shut or many)


def _tuned(piece: RandomPiece, rng: Random) -> RandomPiece:
    """The piece with all spreads scaled together until its odds are about what is wanted."""
    names = [panel.name for panel in piece.rehearsal.piece.panels]
    gap = min(joint.flank_gap for joint in piece.rehearsal.joints)
    cups = {name: rng.uniform(0.0, 0.4) * gap for name in names if rng.random() < 0.25}
    slopes = {
        joint.id: rng.uniform(-0.3, 0.3) * gap / joint.extent.length
        for joint in piece.rehearsal.joints
        if joint.is_divided and rng.random() < 0.15
    }
    wanted, seed = rng.uniform(0.3, 0.995), rng.randrange(2**32)
    piece = replace(piece, cups=cups, slopes=slopes)
    low, high = 0.0, 8.0
    for _ in range(9):
        tried = _scaled(piece, (low + high) / 2)
        trial = simulate(tried.story, _PILOT, seed, _PILOT, sanding=None)
        found = trial.odds(trial.closes)
        if abs(found - wanted) < _NEAR:
            return tried
        low, high = ((low + high) / 2, high) if found > wanted else (low, (low + high) / 2)
    return _scaled(piece, low)


def _scaled(piece: RandomPiece, by: float) -> RandomPiece:
    own = piece.scatter
    scatter = replace(
        own,
        edge=own.edge * by,
        datum=own.datum * by,
        misfit_sd=own.misfit_sd * by,
        scale=own.scale * by,
    )
    return replace(piece, scatter=scatter)


def _drawn(rng: Random, form: str) -> RandomPiece:
    through = form in THROUGH or form == "planes"
    route = rng.choice([each for each in Route if through or each is not Route.LASER])
    gap = rng.uniform(0.04, 0.12)
    stocks = {f"s{n}": rng.choice(_MATERIALS) for n in range(rng.randint(1, 3))}
    lines = ["format = 1", f'title = "Job {form}"', "[piece]", 'stock = "s0"']
    if form != "planes":
        lines += [f'form = "{form}"', *_options(rng, form, route)]
    elif route is Route.LASER:
        lines.append('tee = "tenon"')
    for name, material in stocks.items():
        thick = rng.choice([6.0, 8.8, 11.8, 17.8])
        lines += [f"[stock.{name}]", f'material = "{material}"', f"nominal = {thick}"]
        lines.append(f"spread = {rng.uniform(0.0, gap / 4):.4f}")
    lines += _cutter(rng, route)
    lines += ["[fingers]", f"flank_gap = {gap:.4f}"]
    if route is not Route.SAW and rng.random() < 0.6:
        lines.append(f"width = {rng.uniform(9, 30):.2f}")
    lines += (
        _planes(rng, route, list(stocks)) if form == "planes" else _mixed(rng, form, list(stocks))
    )
    datum = 0.0 if route is Route.HAND else rng.uniform(0.0, 0.4) * gap
    scatter = Scatter(
        rng.uniform(0.1, 0.3) * gap * (0.4 if route is Route.SAW else 1.0),
        datum,
        rng.choice([0.0, rng.uniform(-0.15, 0.15) * gap]),
        rng.choice([0.0, rng.uniform(0.05, 0.25) * gap]),
        rng.choice([0.0, rng.uniform(0.0, 0.2) * gap / 300]),
    )
    return RandomPiece("\n".join(lines) + "\n", form, scatter, rng.uniform(1.0, 5.0) * gap, {}, {})


def _options(rng: Random, form: str, route: Route) -> list[str]:
    """The sizes and choices of a form."""
    sizes = ", ".join(f"{rng.uniform(220, 420):.1f}" for _ in range(3))
    lines = [f"outside = [{sizes}]"]
    if form == "many-sided tray":
        lines = [f"sides = {rng.randint(5, 8)}", f"flats = {rng.uniform(200, 300):.1f}"]
        lines.append(f"height = {rng.uniform(60, 120):.1f}")
    elif form == "splayed tray":
        lines.append(f"splay = {rng.uniform(5, 15):.1f}")
    elif form == "case":
        backs = ["finger", "none"] + ["rebate", "groove"] * (route is not Route.LASER)
        lines += [f'back = "{rng.choice(backs)}"', f"shelves = {rng.randint(0, 3)}"]
        lines += [f"open = {str(rng.random() < 0.5).lower()}", f"uprights = {rng.randint(0, 2)}"]
    elif form == "crate":
        lines += [f"along = {rng.randint(0, 3)}", f"across = {rng.randint(0, 3)}"]
        if rng.random() < 0.5:
            lines.append(f"divider = {rng.uniform(80, 180):.1f}")
    elif form == "chest":
        lines.append(f'lid = "{rng.choice(["lip", "cleats", "sliding"])}"')
    return lines


def _cutter(rng: Random, route: Route) -> list[str]:
    size = {
        Route.ROUTER: f"diameter = {rng.choice([2.0, 3.175, 4.0])}",
        Route.LASER: "kerf = 0.2",
        Route.SAW: f"blade = {rng.uniform(8, 16):.2f}",
    }
    return ["[cutter]", f'kind = "{route}"', *([size[route]] if route in size else [])]


def _mixed(rng: Random, form: str, stocks: list[str]) -> list[str]:
    """Some panels of another stock than the rest."""
    own = {"pair": ["side"], "ring": ["left", "right"], "many-sided tray": ["wall 2", "base"]}
    names = own.get(form, ["left", "right", *(["base"] if form != "stand" else [])])
    lines = []
    for name in names:
        if rng.random() < 0.5:
            lines += [f'[panel."{name}"]', f'stock = "{rng.choice(stocks)}"']
    return lines


def _planes(rng: Random, route: Route, stocks: list[str]) -> list[str]:
    """A box of some walls with up to three panels inside it, each with edges of a kind."""
    lines: list[str] = []
    on: list[str] = []
    for axis in "xyz":
        size = rng.uniform(240, 420)
        middle = rng.uniform(80, size - 80)
        for end, at in (("0", 0.0), ("m", middle), ("1", size)):
            lines += [f"[plane.{axis}{end}]", f"{axis} = {at:.1f}"]
        on += [f"{axis}{end}" for end in "01" if rng.random() < 0.85]
    on += [f"{axis}m" for axis in rng.sample("xyz", rng.randint(1, 3))]
    edges = ["tenon", "butt", "running"] + (
        ["housing", "groove", "rebate"] if route is not Route.LASER else []
    )
    for plane in on:
        lines += [f"[panel.{plane}]", f'on = "{plane}"', f'stock = "{rng.choice(stocks)}"']
        inner = plane.endswith("m")
        if inner or rng.random() < 0.2:
            lines.append(f'edges = "{rng.choice(edges)}"')
        if inner and rng.random() < 0.4:
            across = rng.choice([axis for axis in "xyz" if axis != plane[0]])
            ends = rng.choice(["0m", "m1"])
            lines.append(f'between = ["{across}{ends[0]}", "{across}{ends[1]}"]')
    return lines
