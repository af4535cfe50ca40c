"""Draw every example job anew into docs/pictures, and a case with shelves, whole and apart."""

from __future__ import annotations

from pathlib import Path

from dryfit.drafting.picture import picture_page
from dryfit.materials.sheets import MATERIALS
from dryfit.model.cutter import Cutter, Relief, Route
from dryfit.model.panel import Frame, Panel
from dryfit.model.piece import Job, Piece, Wish
from dryfit.model.stock import Stock
from dryfit.workflow import Rehearsal, read
from dryfit.writers.svg import write_svg

ROOT = Path(__file__).parents[1]

X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
BACKWARD = (0.0, -1.0, 0.0)


def pictures() -> dict[str, str]:
    """The pictures of every example and of the case, by their file names."""
    jobs = sorted((ROOT / "examples").glob("*.toml"))
    drawn = {f"{job.stem}.svg": read(job).picture() for job in jobs}
    case = paper_shelves()
    for name, apart in (("paper-shelves", 0.0), ("paper-shelves-apart", 0.3)):
        page = picture_page(case.job.title, case.parts, apart)
        drawn[f"{name}.svg"] = write_svg(page).decode()
    return drawn


def paper_shelves() -> Rehearsal:
    """An open case for paper, 320 by 160 by 400 mm: housed shelves, one of them divided."""
    sheet = Stock("birch 12", MATERIALS["birch plywood"], 12.0, spread=0.0)
    thin = Stock("birch 6", MATERIALS["birch plywood"], 6.0, spread=0.0)
    w, d, h, t, let_in = 320.0, 160.0, 400.0, 12.0, 4.0

    def level(name: str, x: float, z: float, depth: float = d) -> Panel:
        return Panel(name, Frame((x, 0.0, z), X, Y, Z), w - 2 * x, depth, sheet, rank=2)

    panels = (
        Panel("left side", Frame((0.0, 0.0, 0.0), Y, Z, X), d, h, sheet),
        Panel("right side", Frame((w - t, 0.0, 0.0), Y, Z, X), d, h, sheet),
        Panel("back", Frame((0.0, d, 0.0), X, Z, BACKWARD), w, h, thin, rank=1),
        level("top", 0.0, h - t),
        level("base", 0.0, 0.0),
        level("shelf 1", t - let_in, 140.0, d - 6.0),
        level("shelf 2", t - let_in, 270.0, d - 6.0),
        Panel("divider", Frame((180.0, 0.0, 148.0), Y, Z, X), d - 6.0, 126.0, thin, rank=4),
    )
    piece = Piece(panels, Wish(flank_gap=0.05, proud=0.0))
    return Rehearsal(Job("Case for paper", piece, Cutter(Route.ROUTER, 3.175, Relief.FLANK)))


def main() -> None:
    """Write the pictures."""
    folder = ROOT / "docs" / "pictures"
    folder.mkdir(exist_ok=True)
    for name, svg in pictures().items():
        (folder / name).write_text(svg, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
