"""The use cases of cutting: programs that were proved, and programs read back."""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from dryfit.errors import DryfitError, ProgramError
from dryfit.findings import Severity, by_gravity

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from dryfit.cutting.bed import Bed
    from dryfit.cutting.plan import Plan, Speed
    from dryfit.cutting.readback import Reading
    from dryfit.findings import Finding
    from dryfit.materials.sheets import Material
    from dryfit.model.machine import Machine
    from dryfit.parts.part import Part
    from dryfit.workflow.rehearsal import Rehearsal

SHEET = "1220x2440mm"
"""The sheet that parts are laid on where none is named."""

_SIZE = re.compile(r"(?i)(?P<length>[\d./ ]+?)\s*x\s*(?P<width>[\d./ ]+?)\s*(?P<unit>mm|cm|in)?")


@dataclass(frozen=True, slots=True)
class SheetReport:
    """What is told of one sheet.

    `inside` and `left` are the deviations each way [mm], `travel` is the rapid travel [mm], `bound`
    what it cannot fall below and `listed` what it would be as listed [mm], `seconds` the time [s].
    """

    name: str
    parts: int
    programs: int
    inside: float
    left: float
    travel: float
    bound: float
    listed: float
    seconds: float
    tabs: int
    skins: int


@dataclass(frozen=True)
class Programs:
    """Programs that were read back: the files, what was found, and a line for each sheet.

    Where a finding stops, there are no files.
    """

    files: dict[str, bytes]
    findings: tuple[Finding, ...]
    sheets: tuple[SheetReport, ...]
    speed: str

    @property
    def stops(self) -> bool:
        """Whether anything forbids cutting."""
        return any(each.severity is Severity.STOP for each in self.findings)


def machine_of(path: Path | None, name: str = "") -> Machine:
    """The machine of a file, or a plain one where there is no file.

    Raises
    ------
    JobFileError
        With every fault in the file.
    """
    from dryfit.jobfile.machine import read_machine
    from dryfit.model.machine import Machine

    return Machine() if path is None else read_machine(path, name)


def cut(rehearsal: Rehearsal, machine: Machine, sheet: str = "") -> Programs:
    """The programs of a job, each read back from its own text and compared with the parts.

    Parameters
    ----------
    rehearsal : Rehearsal
        The job.
    machine : Machine
        What cuts.
    sheet : str
        Size of a sheet, as ``1220x2440mm``; else the sheets that the job states.

    Raises
    ------
    DryfitError
        If the route has no machine, a sheet is too small for a part, or a part cannot be run.
    """
    from dryfit.model.cutter import Route

    route = rehearsal.job.cutter.route
    if route not in {Route.ROUTER, Route.LASER}:
        raise DryfitError(
            f"1 route, {route}, has no machine programs; dryfit writes them for router and laser"
        )
    files: dict[str, bytes] = {}
    findings: list[Finding] = []
    reports: list[SheetReport] = []
    speeds: list[str] = []
    for bed in beds(rehearsal, sheet, machine):
        made = _one(rehearsal, machine, bed)
        findings += made.findings
        reports += made.sheets
        files |= made.files
        speeds.append(made.speed)
    found = by_gravity(findings)
    stops = any(each.severity is Severity.STOP for each in found)
    return Programs({} if stops else files, found, tuple(reports), speeds[0] if speeds else "")


def beds(rehearsal: Rehearsal, sheet: str, machine: Machine) -> Iterator[Bed]:
    """The sheets of a job: its layout where it states some, else parts in rows."""
    from dryfit.cutting.bed import Bed, in_rows

    if not sheet and rehearsal.job.supply is not None:
        yield from _laid_beds(rehearsal)
        return
    length, width = _size(sheet or SHEET)
    size = rehearsal.job.cutter.size
    groups: dict[tuple[str, float], list[Part]] = defaultdict(list)
    for _ in range(rehearsal.job.times):
        for part in rehearsal.parts:
            groups[part.panel.stock.name, part.thickness].append(part)
    margin = max(size + 4.0, machine.dowel + size + 6.0 if _two_sided(rehearsal.parts) else 0.0)
    for (name, thickness), parts in groups.items():
        _check_room(parts, (length, width), margin)
        for number, lying in enumerate(
            in_rows(parts, (length, width), 2 * size + 6.0, margin), start=1
        ):
            yield Bed(f"{name} {number}", length, width, thickness, lying)


def _laid_beds(rehearsal: Rehearsal) -> Iterator[Bed]:
    """The sheets of the job's layout.

    Raises
    ------
    DryfitError
        If a part has no place on them.
    """
    from dryfit.cutting.bed import Bed, Lying
    from dryfit.workflow.sheets import lay

    parts = {part.name: part for part in rehearsal.parts}
    for stock in lay([rehearsal]).plan.stocks:
        unplaced = [item.name for item in stock.layout.unplaced]
        if unplaced or stock.too_large:
            raise DryfitError(
                f"{len(unplaced) or len(stock.too_large)} parts of {stock.stock} have no place on "
                "the sheets that the job states; dryfit sheets says which"
            )
        for laid in stock.layout.sheets:
            lying = []
            for placed in laid.placed:
                part = parts[placed.part]
                matrix, shift = placed.motion(part.profile.bounds)
                lying.append(Lying(part, matrix, shift, placed.up))
            thickness = lying[0].part.thickness
            size = laid.sheet.length, laid.sheet.width
            yield Bed(laid.name, *size, thickness, tuple(lying))


def _two_sided(parts: Sequence[Part]) -> bool:
    from dryfit.parts.part import Purpose

    return any(len({cut.face for cut in part.cuts_for(Purpose.TRENCH)}) > 1 for part in parts)


def _check_room(parts: Sequence[Part], size: tuple[float, float], margin: float) -> None:
    """Stop where a part fits on no sheet."""
    room = sorted(each - 2 * margin for each in size)
    for part in parts:
        x0, y0, x1, y1 = part.as_cut.bounds
        own = sorted((x1 - x0, y1 - y0))
        if own[0] > room[0] or own[1] > room[1]:
            raise DryfitError(
                f"{part.name} is {own[1]:.0f} by {own[0]:.0f} mm and the sheet leaves "
                f"{room[1]:.0f} by {room[0]:.0f} mm; name a larger sheet"
            )


def _size(text: str) -> tuple[float, float]:
    """Length and width of a sheet from its text. [mm]"""
    from dryfit.units import read_length

    found = _SIZE.fullmatch(text.strip().replace("×", "x"))
    if found is None:
        raise DryfitError(f"{text!r} is no size of a sheet; write 2 lengths, such as {SHEET}")
    unit = found["unit"] or "mm"
    return read_length(found["length"], unit), read_length(found["width"], unit)


def _one(rehearsal: Rehearsal, machine: Machine, bed: Bed) -> Programs:
    """One sheet planned, written, read back and judged."""
    from dryfit.checks.machining import check_bed, check_programs
    from dryfit.cutting.laser import plan_laser
    from dryfit.cutting.plan import plan
    from dryfit.cutting.readback import Work, read_back
    from dryfit.model.cutter import Route

    job = rehearsal.job
    flat = job.cutter.route is Route.LASER
    material = bed.lying[0].part.panel.stock.material
    speed = _speed(machine, job.cutter.size, material, flat=flat)
    make = plan_laser if flat else plan
    made = make(bed, machine, job.cutter.size, speed, job.title)
    work = Work(bed, machine, job.cutter.size, made.holds, flat)
    reading = read_back(made.settings, work)
    findings = [] if flat else list(check_bed(bed, machine, job.cutter.size))
    findings += check_programs(reading.troubles, machine)
    files = _files(made, bed, job.cutter.size)
    return Programs(files, tuple(findings), (_report(made, reading, machine),), speed.source)


def _speed(machine: Machine, diameter: float, material: Material, *, flat: bool) -> Speed:
    """Feed and speed to start with."""
    from dryfit.cutting.feeds import Spindle, plain_feed, starting_feed
    from dryfit.cutting.plan import Speed

    if flat and not machine.feed:
        raise DryfitError(
            "0 feeds are stated for the laser, and each tube has its own; write one, such as "
            "feed = 600 in mm/min, in a machine file and name it with --machine"
        )
    if machine.feed:
        feed = min(machine.feed, machine.feed_most)
        return Speed(feed, machine.rpm, "as the machine file states")
    depth = machine.pass_depth or diameter
    spindle = Spindle(machine.rpm, machine.feed_most, production=machine.production)
    if machine.chip:
        feed = plain_feed(machine.rpm, machine.flutes, machine.chip)
        share = min(1.0, machine.feed_most / feed)
        said = f"chip load {machine.chip:g} mm, as the machine file states"
        return Speed(feed * share, machine.rpm * share, said)
    start = starting_feed(material, diameter, machine.flutes, depth, spindle)
    said = f"chip load {start.chip:.3f} mm of {start.low:.3f} to {start.high:.3f}, {start.source}"
    return Speed(start.feed, start.rpm, said)


def _files(made: Plan, bed: Bed, size: float) -> dict[str, bytes]:
    """Programs and drawings of one sheet, by their names."""
    from dryfit.drafting.cutting import sheet_page
    from dryfit.pages.names import file_name
    from dryfit.writers.dxf import write_dxf
    from dryfit.writers.svg import write_svg

    name = file_name(bed.name, "sheet")
    files = {}
    for setting in made.settings:
        files[f"{name}{'-far-side' if setting.far else ''}.nc"] = setting.text.encode("ascii")
    for kind, radius in (("nominal", 0.0), ("compensated", size / 2)):
        page = sheet_page(bed, radius)
        files[f"{name}-{kind}.dxf"] = write_dxf(page)
        files[f"{name}-{kind}.svg"] = write_svg(page)
    return files


def _report(made: Plan, reading: Reading, machine: Machine) -> SheetReport:
    from dryfit.cutting.duration import seconds

    return SheetReport(
        made.bed.name,
        len(made.bed.lying),
        len(made.settings),
        reading.inside,
        reading.left,
        sum(tour.travel for tour in made.tours),
        sum(tour.bound for tour in made.tours),
        sum(tour.listed for tour in made.tours),
        sum(seconds(program, machine) for program in reading.programs),
        len(made.holds.tabs),
        len(made.holds.skins),
    )


@dataclass(frozen=True)
class ReadBack:
    """A program read back: what came out, what was found, and its drawing as SVG."""

    found: tuple[str, ...]
    missing: tuple[str, ...]
    strange: int
    inside: float
    left: float
    seconds: float
    findings: tuple[Finding, ...]
    picture: bytes

    @property
    def stops(self) -> bool:
        """Whether anything forbids cutting."""
        return any(each.severity is Severity.STOP for each in self.findings)


def read_program(path: Path) -> str:
    """The text of a program.

    Raises
    ------
    ProgramError
        If it cannot be opened, or is too large.
    """
    from dryfit.cutting.interpret import LARGEST

    try:
        with path.open("rb") as file:
            data = file.read(LARGEST + 1)
            rest = path.stat().st_size
    except OSError as error:
        raise ProgramError(f"{path} cannot be opened: {error.strerror}; name 1 program") from None
    if rest > LARGEST:
        raise ProgramError(
            f"{path} has {rest / 1e6:.0f} MB, and {LARGEST / 1e6:.0f} MB is the most that is read; "
            "write one program a sheet, arcs as arcs"
        )
    return data.decode("utf-8", "replace")


def readback(text: str, rehearsal: Rehearsal, machine: Machine, stock: str = "") -> ReadBack:
    """What a program would make of a job: its parts recognised and compared.

    Parameters
    ----------
    text : str
        The program.
    rehearsal : Rehearsal
        The job.
    machine : Machine
        Its limits, and where Z is zero.
    stock : str
        Which stock lies on the machine; else that of most parts.

    Raises
    ------
    ProgramError
        If the program cannot be read.
    """
    from dryfit.checks.machining import check_missing, check_programs
    from dryfit.cutting.duration import seconds
    from dryfit.cutting.interpret import interpret
    from dryfit.cutting.match import matched
    from dryfit.cutting.readback import Setting, read_back
    from dryfit.drafting.cutting import reading_page
    from dryfit.model.cutter import Route
    from dryfit.writers.svg import write_svg

    parts = _of_stock(rehearsal, stock)
    cutter = rehearsal.job.cutter
    flat = cutter.route is Route.LASER
    program = interpret(text, (machine.on, machine.off) if flat else None)
    seen = matched(program, parts, machine, cutter.size, parts[0].thickness, flat=flat)
    work = seen.work
    reading = read_back([Setting(text)], work)
    findings = [*check_programs(reading.troubles, machine)]
    findings += check_missing(seen.missing, seen.strange, len(work.bed.lying))
    return ReadBack(
        tuple(lying.name for lying in work.bed.lying),
        seen.missing,
        seen.strange,
        reading.inside,
        reading.left,
        sum(seconds(each, machine) for each in reading.programs),
        by_gravity(findings),
        write_svg(reading_page(work.bed, reading, cutter.size)),
    )


def _of_stock(rehearsal: Rehearsal, stock: str) -> list[Part]:
    """The parts of one stock, as often as they are needed."""
    groups: dict[str, list[Part]] = defaultdict(list)
    for part in rehearsal.parts:
        groups[part.panel.stock.name].append(part)
    if not groups:
        raise DryfitError("the job has 0 parts, and nothing can be compared; state some panels")
    if stock and stock not in groups:
        raise DryfitError(f"no part is of {stock!r}; the {len(groups)} stocks: {', '.join(groups)}")
    chosen = groups[stock] if stock else max(groups.values(), key=len)
    return chosen * rehearsal.job.times
