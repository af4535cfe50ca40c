"""Read a machine file: what the controller understands, how far it reaches, how it is driven."""

from __future__ import annotations

import tomllib
from typing import TYPE_CHECKING

from dryfit.errors import Fault, JobFileError
from dryfit.jobfile.faults import Faults, dotted, nearest, shown
from dryfit.jobfile.key import Key, Kind, Table
from dryfit.jobfile.sources import read_source
from dryfit.jobfile.values import Checked, Value, WrongValueError, check
from dryfit.model.machine import Flutes, Hold, Machine, Zero
from dryfit.units import UNITS

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

_FAST = 1_000_000.0


def _number(name: str, meaning: str, example: str, default: str, low: float, high: float) -> Key:
    return Key(name, Kind.NUMBER, meaning, example, default=default, low=low, high=high)


MACHINE = Table(
    "machine",
    "A machine: its controller, its travel, its cutter and how it is driven.",
    (
        Key("unit", Kind.WORD, "unit of its programs", '"in"', default="mm", words=("mm", "in")),
        Key("travel", Kind.SIZES, "how far it reaches along x, y and z", "[600, 900, 80]",
            default="1300, 2500 and 100 mm", low=1),
        Key("arcs", Kind.WORD, "whether it takes arcs or wants chords", '"chords"', default="arcs",
            words=("arcs", "chords")),
        Key("numbers", Kind.FLAG, "lines are numbered", "true", default="false"),
        Key("zero", Kind.WORD, "where Z is zero", '"bed"', default="top",
            words=tuple(Zero)),
        Key("clearance", Kind.LENGTH, "how far above the sheet it travels", "8", default="5 mm",
            low=0.5, high=200),
        _number("rapid", "how fast it travels, in mm/min", "6000", "5000", 1, _FAST),
        _number("feed_most", "the fastest it cuts, in mm/min", "2500", "3000", 1, _FAST),
        _number("feed", "how fast it is to cut, in mm/min", "1500", "from the chip load", 1, _FAST),
        _number("acceleration", "of its axes, in mm/s²", "300", "500", 1, 100_000),
        Key("corner", Kind.LENGTH, "how far it may round a corner off while it moves on", "0.02",
            default="0.05 mm", low=0.0001, high=5),
        _number("rpm", "speed of the spindle, in 1/min", "16000", "18000", 1, 200_000),
        _number("rpm_most", "the highest speed of the spindle", "24000", "24000", 1, 200_000),
        _number("spin_up", "seconds until the spindle is up to speed", "4", "3", 0, 600),
        Key("flutes", Kind.COUNT, "cutting edges of the cutter", "1", default="2", low=1, high=12),
        Key("form", Kind.WORD, "which way its flutes push the chips", '"compression"',
            default="up", words=tuple(Flutes)),
        Key("reach", Kind.LENGTH, "length of its cutting edges", "32", default="22 mm", low=0.5,
            high=300),
        Key("chip", Kind.LENGTH, "chip load, where you know it", "0.08",
            default="from the charts", low=0.001, high=5),
        Key("pass_depth", Kind.LENGTH, "deepest pass", "2", default="one diameter", low=0.05,
            high=300),
        _number("ramp", "steepest way down along the path, in degrees", "5", "10", 0.5, 45),
        Key("plunges", Kind.FLAG, "the cutter may go straight down into the wood", "true",
            default="false"),
        Key("climb", Kind.FLAG, "it climbs", "true", default="false"),
        Key("allowance", Kind.LENGTH, "what the passes leave for a last one round a part", "0.2",
            default="0", high=5),
        Key("spring", Kind.COUNT, "how often the full depth is run once more", "0", default="1",
            high=3),
        Key("hold", Kind.WORD, "what holds the parts", '"skin"', default="tabs",
            words=tuple(Hold)),
        Key("tab_width", Kind.LENGTH, "width of a tab", "8", default="5 mm", low=1, high=100),
        Key("tab_height", Kind.LENGTH, "height of a tab", "3", default="2 mm", low=0.2, high=30),
        Key("skin", Kind.LENGTH, "thickness of the skin", "0.4", default="0.3 mm", low=0.1,
            high=5),
        Key("spoil", Kind.LENGTH, "how deep the spoil board may be cut", "0.5", default="0.3 mm",
            high=20),
        _number("slug", "largest waste that may come loose, in mm²", "200", "0", 0, 1e6),
        Key("dowel", Kind.LENGTH, "dowels that place a sheet when it is turned over", "6",
            default="8 mm", low=2, high=30),
        Key("production", Kind.FLAG, "stiff enough for the high end of a chip load's range",
            "true", default="false"),
        Key("on", Kind.TEXT, "words that switch a laser on", '"M3 S800"', default="M3"),
        Key("off", Kind.TEXT, "words that switch a laser off", '"M5"', default="M5"),
        Key("end", Kind.WORD, "word that ends a program", '"M30"', default="M2",
            words=("M2", "M30")),
    ),
    named="machine",
)  # fmt: skip

CLAMP = Table(
    "clamp",
    "A clamp on the sheet, where the cutter must not go.",
    (
        Key("at", Kind.PAIR, "its lower left corner", "[0, 300]"),
        Key("size", Kind.PAIR, "its sizes", "[40, 60]", low=0.1),
    ),
    named="clamp",
)


def read_machine(path: Path, name: str = "") -> Machine:
    """The machine of a file: the only one, or that of a name.

    Raises
    ------
    JobFileError
        With every fault in the file.
    """
    return read_machine_text(read_source(path), str(path), name)


def read_machine_text(text: str, source: str, name: str = "") -> Machine:
    """The machine of a text of TOML; `source` is what to call it in messages.

    Raises
    ------
    JobFileError
        With every fault in the text.
    """
    try:
        data = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, ValueError, RecursionError) as error:
        sentence = f"this is not TOML: {error}; write 1 key = value on each line"
        raise JobFileError(source, (Fault("", 0, sentence),)) from None
    faults = Faults(source, text.replace("\r\n", "\n"))
    unit = data.get("unit", "mm")
    if unit not in UNITS:
        faults.add(("unit",), f"{shown(unit)} is no unit; {nearest(str(unit), UNITS)}")
        unit = "mm"
    for key in data:
        if key not in {"unit", "machine", "clamp"}:
            known = nearest(key, ("unit", "machine", "clamp"))
            faults.add((key,), f"there is no key {dotted((key,))} in a machine file; {known}")
    machines = _tables(MACHINE, data, unit, faults)
    clamps = _tables(CLAMP, data, unit, faults)
    chosen = _chosen(machines, name, faults)
    if faults:
        raise faults.error()
    boxes = []
    for each in clamps.values():
        at, size = each.pair("at"), each.pair("size")
        if at and size:
            boxes.append((*at, at[0] + size[0], at[1] + size[1]))
    return _built(chosen, machines[chosen], tuple(boxes))


def _tables(
    table: Table, data: Mapping[str, object], unit: str, faults: Faults
) -> dict[str, Checked]:
    """Every table of one kind, by its name."""
    found = data.get(table.name, {})
    if not isinstance(found, dict):
        faults.add((table.name,), f"expected a table; write {table.header} on a line of its own")
        return {}
    return {name: _table(table, name, value, unit, faults) for name, value in found.items()}


def _table(table: Table, name: str, found: object, unit: str, faults: Faults) -> Checked:
    path = (table.name, name)
    if not isinstance(found, dict):
        faults.add(path, f"expected a table; write {table.header} on a line of its own")
        return Checked({}, ())
    good: dict[str, Value] = {}
    for key in table.keys:
        if not key.default and key.name not in found:
            faults.add(
                (*path, key.name), f"{key.name} is missing; write {key.name} = {key.example}"
            )
    for word, value in found.items():
        known = table.key(word)
        if known is None:
            near = nearest(word, [key.name for key in table.keys])
            faults.add((*path, word), f"there is no key {dotted((word,))} here; {near}")
            continue
        try:
            good[word] = check(known, value, unit)
        except WrongValueError as error:
            for sentence in error.sentences:
                faults.add((*path, word), sentence)
    return Checked(good, found)


def _chosen(machines: Mapping[str, Checked], name: str, faults: Faults) -> str:
    """Which machine is meant."""
    if name in machines:
        return name
    if not machines:
        faults.add(("machine",), "no machine is stated; add a table such as [machine.router]")
    elif name:
        faults.add(("machine",), f"there is no machine {shown(name)}; {nearest(name, machines)}")
    elif len(machines) > 1:
        listed = ", ".join(machines)
        faults.add(("machine",), f"{len(machines)} machines are stated, {listed}; name one of them")
    return next(iter(machines), "")


def _built(
    name: str, own: Checked, clamps: tuple[tuple[float, float, float, float], ...]
) -> Machine:
    """The machine of a checked table; what it leaves out is as usual."""
    plain = Machine()
    values: dict[str, object] = {}
    for key in MACHINE.keys:
        value = own.value(key.name)
        if value is not None:
            values[key.name] = value
    values["arcs"] = values.get("arcs", "arcs") == "arcs"
    values["zero"] = Zero(str(values.get("zero", plain.zero)))
    values["hold"] = Hold(str(values.get("hold", plain.hold)))
    values["form"] = Flutes(str(values.get("form", plain.form)))
    return Machine(name=name, clamps=clamps, **values)  # type: ignore[arg-type]
