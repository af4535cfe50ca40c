"""The use cases: the only place where the stages are joined.

`read` turns a job file into a job, `rehearse` takes a job through meetings, joints, parts and dry
fit to the answers, `files` draws and writes what goes to the machine. The heavy stages are imported
inside, so that a front end which only prints its help loads none of them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from dryfit.findings import Severity
from dryfit.workflow.chances import (
    CHANCES,
    WhatIf,
    odds_curve,
    odds_data,
    odds_picture,
    what_if,
)
from dryfit.workflow.compare import AS_IT_IS, Change, Side, changes, compare, compare_data
from dryfit.workflow.order import (
    ORDER,
    glue_sentences,
    order_data,
    order_pictures,
    order_sentences,
)
from dryfit.workflow.rehearsal import Rehearsal, Shop, ShownPart, read, read_text
from dryfit.workflow.sheets import (
    Laid,
    Request,
    keep,
    lay,
    sheet_files,
    sheets_data,
    sheets_record,
    shopping,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from dryfit.findings import Finding, Mend

__all__ = [
    "AS_IT_IS", "CHANCES", "ORDER", "Change", "Laid", "Rehearsal", "Request", "Shop",
    "ShownPart", "Side", "WhatIf", "as_data", "cautions", "changes", "codes", "compare",
    "compare_data", "files", "forget", "glue_sentences", "keep", "lay", "make_together",
    "mend_all", "mended", "models", "new_text", "odds_curve", "odds_data", "odds_picture",
    "order_data", "order_pictures", "order_sentences", "planes_text", "read", "read_text",
    "save", "say_sheets", "sheet_files", "sheets_data", "sheets_record", "shopping",
    "step_bytes", "what_if",
]  # fmt: skip


def mended(text: str, mend: Mend) -> str:
    """The text of a job file with a mend applied, comments and order kept."""
    from dryfit.jobfile.write import apply_edits

    return apply_edits(text, mend.edits)


def codes() -> tuple[str, ...]:
    """Every code that a finding may carry."""
    from dryfit.checks.catalogue import CATALOGUE

    return tuple(CATALOGUE)


def new_text(form: str) -> str:
    """The text of a new job file for a form, ready to be changed.

    Raises
    ------
    JobFileError
        If there is no such form.
    """
    from dryfit.jobfile.template import new_job

    return new_job(form)


def planes_text(path: Path) -> str:
    """The text of a job of a form, written as planes and panels; the file is not changed.

    Raises
    ------
    JobFileError
        If the file cannot be used, or has no form that can be written so.
    """
    from dryfit.jobfile.read import read_unfolded
    from dryfit.jobfile.sources import read_source

    return read_unfolded(read_source(path), str(path))


def cautions(rehearsal: Rehearsal) -> tuple[str, ...]:
    """What to mind where the work can hurt someone."""
    from dryfit.checks.cautions import cautions as of_job

    return of_job(rehearsal.job)


def mend_all(path: Path, code: str = "", shop: Shop | None = None) -> tuple[str, tuple[str, ...]]:
    """The text of a job file with the mends applied that need no caliper.

    One finding is mended after the other, and the job rehearsed anew each time, since a mend may
    settle others too. Each code is mended once for each place.

    Parameters
    ----------
    path : Path
        The job file; it is not changed.
    code : str
        Only findings of this code. When empty, all but notes, which tell of a choice.
    shop : Shop, optional
        Whose book says how it scatters.

    Returns
    -------
    str
        The text.
    tuple of str
        What was done, one sentence a mend.
    """
    from dryfit.jobfile.sources import read_source

    text = read_source(path)
    done: list[str] = []
    tried: set[tuple[str, str]] = set()
    while True:
        findings = read_text(text, str(path), shop).findings
        due = next((f for f in findings if _is_due(f, code, tried)), None)
        if due is None or due.mend is None:
            return text, tuple(done)
        tried.add((due.code, due.place))
        text = mended(text, due.mend)
        done.append(f"{due.sentence} {due.mend.sentence}")


def _is_due(finding: Finding, code: str, tried: set[tuple[str, str]]) -> bool:
    """Whether a finding can be mended from here and has not been tried."""
    asked = finding.code == code if code else finding.severity is not Severity.NOTE
    wanted = asked and (finding.code, finding.place) not in tried
    return wanted and finding.mend is not None and bool(finding.mend.edits)


def forget() -> None:
    """Forget every table, shape and wish that is remembered between rehearsals.

    What is remembered is bounded and changes no answer, only how soon it comes.
    """
    from dryfit.checks.sag import remembered_bend
    from dryfit.cutting.stack import remembered_best
    from dryfit.jobfile.chunks import remembered_chunk
    from dryfit.jobfile.lines import remembered_name
    from dryfit.jobfile.tables import CHECKED
    from dryfit.jobfile.wishes import remembered_edge
    from dryfit.joints.odds import remembered_seams
    from dryfit.joints.pose import remembered_pose
    from dryfit.materials.plates import deflection
    from dryfit.materials.strength import strength
    from dryfit.materials.thickness import limits
    from dryfit.model.piece import remembered_wish
    from dryfit.model.reach import remembered_let
    from dryfit.model.season import remembered_midway
    from dryfit.parts.layers import standing
    from dryfit.parts.making import remembered_shapes
    from dryfit.parts.touch import TOUCHES
    from dryfit.parts.trench import remembered_trench
    from dryfit.shapes.convex import convex_pieces
    from dryfit.shapes.squares import rectangles, squared
    from dryfit.tolerance.normal import remembered_points

    limits.cache_clear()
    remembered_midway.cache_clear()
    remembered_wish.cache_clear()
    remembered_bend.cache_clear()
    deflection.cache_clear()
    strength.cache_clear()
    remembered_let.cache_clear()
    remembered_pose.cache_clear()
    remembered_seams.cache_clear()
    remembered_points.cache_clear()
    remembered_chunk.cache_clear()
    remembered_name.cache_clear()
    remembered_edge.cache_clear()
    remembered_best.cache_clear()
    for shapes in (rectangles, squared, convex_pieces):
        shapes.cache_clear()
    for memory in (remembered_trench, remembered_shapes, standing, TOUCHES, CHECKED):
        memory.cache_clear()


def save(files: Mapping[str, bytes], folder: Path, *, force: bool = False) -> tuple[Path, ...]:
    """Write files into a folder, all or none; see :func:`dryfit.writers.files.save`."""
    from dryfit.writers.files import save as save_files

    return save_files(files, folder, force=force)


def make_together(laid: Laid, names: Sequence[str]) -> dict[str, bytes]:
    """Every file of jobs that were laid together, and one DXF and one SVG of each sheet.

    Parameters
    ----------
    laid : Laid
        The jobs on their sheets.
    names : sequence of str
        What the files of each job are named after, where there are several.
    """
    from dataclasses import replace

    from dryfit.pages.names import file_names

    made: dict[str, bytes] = {}
    several = len(laid.rehearsals) > 1
    heads = file_names(names) if several else ("",)
    for head, each, order in zip(heads, laid.rehearsals, laid.orders, strict=True):
        own = replace(each, job=replace(each.job, times=order.times))
        made |= {f"{head}-{name}" if several else name: data for name, data in files(own).items()}
    return made | sheet_files(laid)


def say_sheets(laid: Laid) -> tuple[str, tuple[Finding, ...]]:
    """The verdict on *Is there enough stock?* for jobs laid together, and its findings."""
    from dataclasses import replace

    from dryfit.checks.stock import check_stock, say_stock
    from dryfit.findings import by_gravity

    subject = replace(laid.rehearsals[0].subject, sheets=laid.sheets)
    findings = by_gravity(check_stock(subject))
    return say_stock(subject, findings), findings


def files(rehearsal: Rehearsal) -> dict[str, bytes]:
    """Every file of a job, by its name in the folder.

    One DXF and one SVG for each part, the cut list, the picture of the piece and the traveller.
    """
    from dryfit.drafting.cutlist import cut_list
    from dryfit.drafting.parts import part_page
    from dryfit.pages.names import file_names
    from dryfit.workflow.traveller import NAME, make_traveller
    from dryfit.writers.csv import write_csv
    from dryfit.writers.dxf import write_dxf
    from dryfit.writers.svg import write_svg

    made: dict[str, bytes] = {
        "piece.svg": rehearsal.picture().encode(),
        "cut-list.csv": write_csv(cut_list(rehearsal.job, rehearsal.parts)),
    }
    made[NAME] = make_traveller(rehearsal).data
    reserved = [name.partition(".")[0] for name in made]
    names = file_names([part.name for part in rehearsal.parts], reserved=reserved)
    for name, part in zip(names, rehearsal.parts, strict=True):
        page = part_page(part, rehearsal.job.unit)
        made[f"{name}.dxf"] = write_dxf(page)
        made[f"{name}.svg"] = write_svg(page)
    return made


def models(rehearsal: Rehearsal) -> dict[str, bytes]:
    """The piece put together as bodies for those who draw on, as ``piece.glb`` and ``piece.3mf``.

    Every part is a body of its own, as cut and in its place.

    Raises
    ------
    ShapeError
        If the piece has no parts.
    """
    from dryfit.drafting.bodies import bodies_of
    from dryfit.shapes.tolerances import MODEL_CHORD
    from dryfit.writers.glb import write_glb
    from dryfit.writers.threemf import write_3mf

    bodies = bodies_of(rehearsal.parts, MODEL_CHORD)
    return {"piece.glb": write_glb(bodies), "piece.3mf": write_3mf(bodies)}


def step_bytes(rehearsal: Rehearsal) -> bytes:
    """The same piece as STEP, an assembly of named parts with true arcs.

    Raises
    ------
    OutputError
        If the library of the extra ``step`` is not installed.
    ShapeError
        If the piece has no parts.
    """
    from dryfit.parts.solids import stack_of
    from dryfit.writers.step import write_step

    named = [(part.name, stack_of(part)) for part in rehearsal.parts]
    return write_step(rehearsal.job.title, named)


def as_data(rehearsal: Rehearsal) -> dict[str, Any]:
    """The whole rehearsal as plain data, described by ``docs/check.schema.json``."""
    from dryfit.checks.record import record

    return record(rehearsal.subject, rehearsal.report)
