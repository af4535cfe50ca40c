"""From checked tables to a job: what the tables mean together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.errors import SizeError
from dryfit.jobfile.angled import read_angled
from dryfit.jobfile.chances import read_scatter, read_wanted
from dryfit.jobfile.glue import read_glue
from dryfit.jobfile.layout import read_layout
from dryfit.jobfile.loads import read_service
from dryfit.jobfile.seasons import read_seasons
from dryfit.jobfile.shop import read_cutter, read_stocks
from dryfit.jobfile.stated import written
from dryfit.jobfile.supply import read_supply
from dryfit.jobfile.wishes import check_gaps, check_pairs, general_wish
from dryfit.model.forms import ANGLED
from dryfit.model.forms.boxes import WALLS
from dryfit.model.panel import Grain
from dryfit.model.piece import Job, Piece
from dryfit.model.reach import reach
from dryfit.model.season import Drawer

if TYPE_CHECKING:
    from dryfit.jobfile.faults import Faults
    from dryfit.jobfile.tables import Tables
    from dryfit.model.planes import Layout
    from dryfit.model.reach import Reached
    from dryfit.model.season import Seasons


def build_job(tables: Tables, title: str, faults: Faults) -> Job:
    """The job the tables describe.

    Raises
    ------
    JobFileError
        With what `faults` holds already and what is wrong between the tables.
    """
    stocks = read_stocks(tables, faults)
    cutter = read_cutter(tables.cutter, faults)
    general = general_wish(tables, cutter, faults)
    seasons = read_seasons(tables, faults)
    angled = ANGLED.get(tables.piece.text("form") or "")
    if angled is not None:
        reached = read_angled(tables, angled, stocks, general, cutter, faults)
    else:
        reached = _reached(
            read_layout(tables, stocks, general, cutter, faults, seasons), tables, faults
        )
    if reached is None:
        raise faults.error()
    piece = Piece(reached.panels, general, reached.wishes)
    check_pairs(tables, reached, faults)
    check_gaps(tables, piece, reached, faults)
    service = read_service(tables, [panel.name for panel in piece.panels], faults)
    supply = read_supply(tables, stocks, cutter, [panel.name for panel in piece.panels], faults)
    if faults or cutter is None:
        raise faults.error()
    return Job(
        title=tables.root.text("title") or title,
        piece=piece,
        cutter=cutter,
        form=tables.piece.text("form") or "panels",
        times=tables.root.count("times") or 1,
        unit=tables.unit,
        sixty_fourths=tables.root.flag("sixty_fourths"),
        scatter=read_scatter(tables.scatter, cutter),
        wanted=read_wanted(tables.odds),
        auto=tables.fingers.text("flank_gap") == "auto",
        glue=read_glue(tables.glue),
        seasons=seasons,
        drawer=_drawer(tables, piece, seasons),
        service=service,
        supply=supply,
    )


def _drawer(tables: Tables, piece: Piece, seasons: Seasons) -> Drawer | None:
    """What there is over a drawer in its opening; None where there is no opening."""
    opening = tables.piece.triple("opening")
    if opening is None:
        return None
    walls = [panel for panel in piece.panels if panel.name in WALLS]
    air = opening[2] - max(wall.frame.origin[2] + wall.height for wall in walls)
    swell = max(
        wall.stock.strain(seasons.making, seasons.wettest, across=wall.grain is not Grain.V)
        for wall in walls
    )
    solid = any(wall.stock.material.solid for wall in walls)
    coats = 2 * (tables.piece.length("coat") or 0.0)
    tallest = max(wall.height for wall in walls)
    return Drawer(air - coats, swell * tallest, reckoned=solid and "season" not in tables.piece)


def layout_of(tables: Tables, faults: Faults) -> Layout:
    """The piece of a file as planes and members.

    Raises
    ------
    JobFileError
        With what is wrong in the file.
    """
    cutter = read_cutter(tables.cutter, faults)
    general = general_wish(tables, cutter, faults)
    stocks, seasons = read_stocks(tables, faults), read_seasons(tables, faults)
    layout = read_layout(tables, stocks, general, cutter, faults, seasons)
    if layout is None or faults:
        raise faults.error()
    return layout


def _reached(layout: Layout | None, tables: Tables, faults: Faults) -> Reached | None:
    """The panels in place; None where the sizes forbid it."""
    if layout is None:
        return None
    try:
        return reach(layout)
    except SizeError as error:
        faults.add(written(error.path, tables), str(error))
        return None
