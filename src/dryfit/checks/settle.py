"""What is known of the wood when it is cut: its moisture, its species, whether it has settled."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.checks.catalogue import finding
from dryfit.checks.subject import listed
from dryfit.findings import Edit, Mend, Severity
from dryfit.materials.movement import coefficient

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.checks.subject import Subject
    from dryfit.findings import Finding
    from dryfit.model.stock import Stock

FEWEST_DAYS = 7
"""The least that a board lies in the shop before it is cut (common practice, no source). [days]"""

OFF = 1.0
"""How far from rest wood may be cut, in points of moisture (common practice, no source). [%]"""


def check_settled(subject: Subject) -> Iterator[Finding]:
    """What to do before cutting, so that the wood is what it is taken for."""
    stocks: dict[Stock, list[str]] = {}
    for panel in subject.job.piece.panels:
        if panel.stock.material.solid:
            stocks.setdefault(panel.stock, []).append(panel.name)
    seen: set[tuple[str, str]] = set()
    for stock, names in stocks.items():
        check = _assumed if stock.moisture is None else _wet
        for found in (*check(subject, stock, names), *_kin(stock)):
            if (found.code, found.place) not in seen:
                seen.add((found.code, found.place))
                yield found


def days_to_settle(thickness: float) -> int:
    """Days that a board lies in the shop: one for each millimetre, a week at least.

    Common practice, no source; a board nearer to rest takes less, a wetter one more.

    Parameters
    ----------
    thickness : float
        Thickness of the board. [mm]
    """
    return max(FEWEST_DAYS, round(thickness))


def _assumed(subject: Subject, stock: Stock, names: list[str]) -> Iterator[Finding]:
    """Wood that nobody has measured."""
    seasons = subject.job.seasons
    taken = seasons.making.wood
    days = days_to_settle(stock.thickness)
    why = (
        f"at rest with the air of your shop, {seasons.cut.humidity:.0f} % damp"
        if seasons.cut
        else f"midway between the {seasons.driest.wood:.1f} and {seasons.wettest.wood:.1f} % of "
        "its seasons"
    )
    yield finding(
        "moisture-assumed",
        Severity.NOTE,
        stock.name,
        f"The moisture of {stock.name} ({listed(names)}) is not measured and taken as "
        f"{taken:.1f} %, {why}; let it lie in the shop for some {days} days before you cut it.",
        numbers={"moisture_pct": taken, "days": days},
        mend=Mend(
            "Measure it when you cut, and write it down.",
            measure=("stock", stock.name, "moisture"),
            value=round(taken, 1),
        ),
    )


def _wet(subject: Subject, stock: Stock, names: list[str]) -> Iterator[Finding]:
    """Wood that is not at rest with the air that it will stand in."""
    assert stock.moisture is not None
    seasons, moisture = subject.job.seasons, stock.moisture
    low, high = seasons.driest.wood, seasons.wettest.wood
    if seasons.cut is not None:
        low, high = seasons.cut.wood - OFF, seasons.cut.wood + OFF
    if low - 0.05 <= moisture <= high + 0.05:
        return
    days, rest = days_to_settle(stock.thickness), seasons.making.wood
    way = "drier" if moisture < low else "wetter"
    than = "the air of your shop leaves it" if seasons.cut else "it will ever be"
    yield finding(
        "not-settled",
        Severity.LOOK,
        stock.name,
        f"{stock.name} ({listed(names)}) is cut at {moisture:g} % moisture, {way} than {than}, "
        f"{low:.1f} to {high:.1f} %; all it has yet to move falls on the joints.",
        numbers={"moisture_pct": moisture, "low_pct": low, "high_pct": high, "days": days},
        mend=Mend(
            f"Let it lie in the shop for some {days} days, until it reads about {rest:.1f} %.",
            measure=(*_written(subject, stock, names), "moisture"),
            value=round(rest, 1),
        ),
    )


def _written(subject: Subject, stock: Stock, names: list[str]) -> tuple[str, str]:
    """Where the moisture of a stock is written: there, or at the one panel that has its own."""
    own = {p.stock for p in subject.job.piece.panels if p.stock.name == stock.name}
    return ("panel", names[0]) if len(own) > 1 else ("stock", stock.name)


def _kin(stock: Stock) -> Iterator[Finding]:
    """Wood that is reckoned as a near relation."""
    material = stock.material
    if not material.kin:
        return
    rate = coefficient(material.motion, stock.sawn)
    yield finding(
        "wood-by-its-kin",
        Severity.NOTE,
        stock.name,
        f"{material.name} is no single species of the tables; {stock.name} is reckoned as "
        f"{material.entry}, which moves {100 * rate:.3g} % across the grain for each percent of "
        "moisture.",
        numbers={"movement_pct": 100 * rate},
        mend=Mend(
            f"Name the species; if it is {material.entry}, write that. A species of your own goes "
            "under [material.NAME].",
            (Edit(("stock", stock.name, "material"), material.entry),),
            value=round(100 * rate, 3),
        ),
    )
