"""Writes the golden files anew: ``python -m tests.golden.make`` from the project's folder.

Run it only after a change that was meant to change the files, and read the difference.
"""

from __future__ import annotations

from pathlib import Path

from dryfit.drafting.cutlist import cut_list
from dryfit.drafting.parts import part_page
from dryfit.workflow import read
from dryfit.workflow.card import make_cards
from dryfit.workflow.comb import make_comb
from dryfit.writers.csv import write_csv
from dryfit.writers.dxf import write_dxf
from dryfit.writers.svg import write_svg
from tests.unit.drafting.samples import job, ring

FOLDER = Path(__file__).parent
EXAMPLES = FOLDER.parents[1] / "examples"
TRAY = EXAMPLES / "type-tray.toml"


def golden() -> dict[str, bytes]:
    """Every golden file as the program writes it now, under its name."""
    parts = ring()
    page = part_page(parts[3])
    comb = make_comb(read(TRAY)).files
    cards = (make_cards(read(EXAMPLES / f"{n}.toml")) for n in ("tool-chest-ring", "crate-corner"))
    setting, marks = (each.files for each in cards)
    return {
        "right.svg": write_svg(page),
        "right.dxf": write_dxf(page),
        "cut-list.csv": write_csv(cut_list(job(parts), parts)),
        "comb.svg": comb["comb.svg"],
        "comb-card.svg": comb["card.svg"],
        **setting,
        **marks,
    }


if __name__ == "__main__":
    for name, data in golden().items():
        (FOLDER / name).write_bytes(data)
