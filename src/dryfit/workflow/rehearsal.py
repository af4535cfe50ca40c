"""A job, rehearsed: from meetings and joints to parts, dry fit, odds and answers.

The heavy stages are imported inside, so that a front end which only prints its help loads none of
them.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from dryfit.parts.part import Part  # the bare record: it loads nothing heavy

if TYPE_CHECKING:
    from datetime import date

    from dryfit.assembly.gluing import GlueUp
    from dryfit.assembly.steps import Assembly
    from dryfit.checks.subject import Sheets as LaidSheets
    from dryfit.checks.subject import Subject
    from dryfit.findings import Edit, Finding, Report
    from dryfit.joints.joint import Joint
    from dryfit.joints.odds import Odds
    from dryfit.joints.planning import Plans
    from dryfit.model.piece import Job, Piece
    from dryfit.parts.touch import Touch

_MOST_CRUSH = 1.0
"""Parts that overlap deeper than this would be called locked where they are only too tight. [mm]"""

_MOST_TRIALS = 4
"""How often a flank gap is found anew because the divisions changed with it. [-]"""


@dataclass(frozen=True, slots=True)
class ShownPart(Part):
    """A part that shows itself as its drawing in a notebook, lengths in `unit`."""

    unit: str = "mm"

    def svg(self) -> str:
        """The drawing at full size as SVG text, as the cutter follows it."""
        from dryfit.drafting.parts import part_page
        from dryfit.writers.svg import write_svg

        return write_svg(part_page(self, self.unit)).decode()

    def _repr_svg_(self) -> str:
        return self.svg()


@dataclass(frozen=True, slots=True)
class Origin:
    """The text that a job was read from, what it is called, and for which shop."""

    text: str
    source: str
    title: str
    shop: Shop | None
    accepted: str = ""


@dataclass(frozen=True)
class Rehearsal:
    """A job, rehearsed: everything that follows from it, worked out when first asked for.

    In a notebook it shows itself as the picture of the piece.
    """

    job: Job
    origin: Origin | None = field(default=None, repr=False, compare=False)

    @property
    def text(self) -> str:
        """The text that it was read from, on which mends are tried; empty where there is none."""
        return self.origin.text if self.origin else ""

    @property
    def accepted(self) -> str:
        """The layout that was accepted for it; empty where there is none."""
        return self.origin.accepted if self.origin else ""

    def tried(self, edits: tuple[Edit, ...]) -> Rehearsal | None:
        """The same job with its text edited; None where it came from no text, or none is left."""
        from dryfit.errors import DryfitError
        from dryfit.jobfile.write import apply_edits

        if self.origin is None:
            return None
        try:
            text = apply_edits(self.origin.text, edits)
            return _rehearsed(replace(self.origin, text=text, accepted=""))
        except DryfitError:
            return None

    @property
    def piece(self) -> Piece:
        """The panels and the wishes."""
        return self.job.piece

    @cached_property
    def plans(self) -> Plans:
        """Meetings, joints and owners."""
        from dryfit.joints.planning import plan_joints
        from dryfit.model.meeting import find_meetings

        return plan_joints(
            self.piece, find_meetings(self.piece.panels, self.piece.captive), self.job.cutter
        )

    @property
    def joints(self) -> tuple[Joint, ...]:
        """Every joint."""
        return self.plans.joints

    @cached_property
    def parts(self) -> tuple[ShownPart, ...]:
        """Every part, in the order of the panels; each shows itself as its drawing."""
        from dryfit.parts.making import make_parts

        return tuple(
            ShownPart(part.panel, part.cuts, part.as_cut, part.label, part.zones, self.job.unit)
            for part in make_parts(self.piece, self.plans, self.job.cutter)
        )

    @cached_property
    def touches(self) -> tuple[Touch, ...]:
        """How the parts touch when they are put together."""
        from dryfit.parts.making import own_spans
        from dryfit.parts.touch import dry_fit

        plans, spans = self.plans, own_spans(self.piece, self.plans)
        touches = dry_fit(self.parts, plans.meetings.lattices, spans)
        if not plans.meetings.angled:
            return touches
        from dryfit.parts.askew import fit_angled

        return touches + fit_angled(self.piece, plans, self.parts)

    @cached_property
    def subject(self) -> Subject:
        """What the checks look at."""
        from dryfit.checks.subject import Subject

        return Subject(
            self.job, self.plans, self.parts, self.touches, self.odds,
            self.assembly, self.glue_up, self.tried if self.origin else None, self.sheets,
        )  # fmt: skip

    @cached_property
    def assembly(self) -> Assembly | None:
        """In what order the parts go together; None where it cannot be told yet."""
        from dryfit.assembly.blocking import SLACK
        from dryfit.assembly.steps import assemble
        from dryfit.model.meeting import MeetingKind

        deepest = max((touch.penetration for touch in self.touches), default=0.0)
        open_ = any(m.kind is MeetingKind.OTHER for m in self.plans.meetings.meetings)
        if open_ or self.plans.shut or self.plans.tangles or deepest > _MOST_CRUSH:
            return None
        return assemble(self.parts, self.plans, SLACK + deepest)

    @cached_property
    def glue_up(self) -> GlueUp | None:
        """How the piece is glued; None where it does not go together."""
        from dryfit.assembly.gluing import glue_up

        if self.assembly is None or self.assembly.locked is not None:
            return None
        return glue_up(self.assembly, self.plans, self.piece.panels, self.job.glue)

    @cached_property
    def sheets(self) -> LaidSheets | None:
        """The parts on their sheets, as known at once; None where no sheets are stated."""
        from dryfit.workflow.sheets import sheets_of

        return sheets_of(self)

    @cached_property
    def odds(self) -> Odds:
        """The odds that joints and the piece go together."""
        from dryfit.joints.odds import Odds
        from dryfit.model.scatter import USUAL

        job = self.job
        scatter = job.scatter or USUAL[job.cutter.route]
        return Odds(self.piece, self.plans, scatter, job.cutter.route, job.wanted)

    @cached_property
    def report(self) -> Report:
        """The answers to the questions."""
        from dryfit.checks.answers import answer_all

        return answer_all(self.subject)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Every finding, question by question."""
        return self.report.findings

    def picture(self, apart: float = 0.0) -> str:
        """The assembled piece as SVG text, hidden lines removed.

        Parameters
        ----------
        apart : float
            How far parts are drawn apart, as a share of the piece's longest side; 0 is not. [-]
        """
        from dryfit.drafting.picture import picture_page
        from dryfit.writers.svg import write_svg

        return write_svg(picture_page(self.job.title, self.parts, apart)).decode()

    def _repr_svg_(self) -> str:
        return self.picture()

    def drawing(self, name: str) -> ShownPart:
        """The part of that name, which shows itself as its drawing in a notebook.

        Raises
        ------
        KeyError
            If no part has that name.
        """
        return {part.name: part for part in self.parts}[name]


@dataclass(frozen=True, slots=True)
class Shop:
    """The shop that a job is rehearsed for: its book, and the day on which it is asked."""

    book: Path
    on: date


def read(path: str | Path, shop: Shop | None = None) -> Rehearsal:
    """Read a job file.

    Parameters
    ----------
    path : str or Path
        The file.
    shop : Shop, optional
        Whose book says how it scatters; without one, what is usual is taken.

    Raises
    ------
    JobFileError
        If the file cannot be used, with every fault in it.
    BookError
        If the shop's book cannot be used.
    """
    from dryfit.jobfile.sources import read_source

    path = Path(path)
    rehearsal = _rehearsed(Origin(read_source(path), str(path), path.stem, shop))
    if rehearsal.job.supply is None or rehearsal.origin is None:
        return rehearsal
    from dryfit.workflow.accepted import read_accepted

    return replace(rehearsal, origin=replace(rehearsal.origin, accepted=read_accepted(path)))


def read_text(text: str, source: str = "job", shop: Shop | None = None) -> Rehearsal:
    """Read the text of a job file; `source` is what to call it in messages.

    Raises
    ------
    JobFileError
        If the text cannot be used, with every fault in it.
    BookError
        If the shop's book cannot be used.
    """
    return _rehearsed(Origin(text, source, "Job", shop))


def _rehearsed(origin: Origin) -> Rehearsal:
    from dryfit.jobfile.read import read_text as read_job_text

    job = read_job_text(origin.text, origin.source, origin.title)
    return _settled(_measured(job, origin.shop), origin)


def _measured(job: Job, shop: Shop | None) -> Job:
    """The job with the scatter that the shop's book knows, unless it states its own."""
    if shop is None or job.scatter is not None:
        return job
    from dryfit.workflow.book import scatter_by_book

    return replace(job, scatter=scatter_by_book(job, shop.book, shop.on))


def _settled(job: Job, origin: Origin) -> Rehearsal:
    """The rehearsal of a job, its flank gap found where it is left to the odds.

    Another gap may ask for other divisions, and these for a wider gap, so it is found again until
    it does. Where none reaches the odds, the last one stays; a finding says so.
    """
    rehearsal = Rehearsal(job, origin)
    for _ in range(_MOST_TRIALS if job.auto else 0):
        gap = rehearsal.odds.least_gap(job.wanted.odds)
        if gap is None:
            break
        widest = gap if rehearsal.job is job else max(gap, rehearsal.odds.gap)
        rehearsal = Rehearsal(job.with_gap(widest), origin)
        if rehearsal.odds.whole >= job.wanted.odds:
            break
    return rehearsal
