"""The seasons of a job file: the air when it is cut, the driest and the wettest."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.jobfile.faults import nearest, shown
from dryfit.materials.moisture import DAMPEST, FIBRE_SATURATION, ROOM, Air, wood_moisture
from dryfit.model.season import SEASONS, STATES, Seasons

if TYPE_CHECKING:
    from dryfit.jobfile.faults import Faults
    from dryfit.jobfile.tables import Tables
    from dryfit.jobfile.values import Checked

_WAYS = ("humidity", "moisture", "meter")


def read_seasons(tables: Tables, faults: Faults) -> Seasons:
    """The three states of the air, the usual ones where the file leaves them out."""
    for name in tables.season:
        if name not in STATES:
            faults.add(
                ("season", name), f"there is no season {shown(name)}; {nearest(name, STATES)}"
            )
    usual = {"cut": SEASONS.making, "driest": SEASONS.driest, "wettest": SEASONS.wettest}
    said = {
        name: _air(name, tables.season[name], usual[name], faults)
        for name in STATES
        if name in tables.season
    }
    seasons = Seasons(
        said.get("driest", SEASONS.driest), said.get("wettest", SEASONS.wettest), said.get("cut")
    )
    if seasons.driest.wood >= seasons.wettest.wood and not faults:
        name = "driest" if "driest" in said else "wettest"
        faults.add(
            ("season", name),
            f"the driest air leaves wood at {seasons.driest.wood:.1f} % and the wettest at "
            f"{seasons.wettest.wood:.1f} %; make the driest drier",
        )
    return seasons


def _air(name: str, table: Checked, usual: Air, faults: Faults) -> Air:
    """One state of the air, however it is stated."""
    path = ("season", name)
    ways = [key for key in _WAYS if key in table]
    if len(ways) > 1:
        sentence = f"{name} is stated {len(ways)} ways, by {' and '.join(ways)}; keep 1 of them"
        faults.add((*path, ways[1]), sentence)
        return usual
    if "correction" in table and "meter" not in table:
        faults.add((*path, "correction"), "only a meter is corrected; write meter = 9 beside it")
    temperature = table.number("temperature")
    warmth = ROOM if temperature is None else temperature
    humidity = table.number("humidity")
    read = table.number("meter")
    moisture = table.number("moisture")
    if read is not None:
        moisture = read + (table.number("correction") or 0.0)
    if moisture is None:
        return Air(usual.humidity if humidity is None else humidity, warmth)
    damp = min(wood_moisture(DAMPEST, warmth), FIBRE_SATURATION)
    if not 1 <= moisture <= damp:
        faults.add(
            (*path, ways[0]),
            f"wood of {moisture:g} % is at rest in no air up to {DAMPEST:g} % humidity at "
            f"{warmth:g} °C; write a moisture from 1 to {damp:.1f}",
        )
        return usual
    return Air.of_wood(moisture, warmth)
