"""Materials of the maker's own: from tables of the job, or from a file beside it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from dryfit.jobfile.faults import Faults, nearest, shown
from dryfit.jobfile.sources import parsed, read_source
from dryfit.jobfile.tables import check_materials
from dryfit.materials.movement import Follows
from dryfit.materials.sheets import KNOWN, find_material
from dryfit.materials.species import FIBRE_BASE, Shrinkage

if TYPE_CHECKING:
    from collections.abc import Mapping

    from dryfit.jobfile.tables import Tables
    from dryfit.jobfile.values import Checked
    from dryfit.materials.movement import Motion
    from dryfit.materials.sheets import Material

OWN = "stated by the maker"
"""The status of a value that the maker states."""


def own_materials(tables: Tables, faults: Faults) -> dict[str, Material]:
    """The maker's own materials by name; those of the job come before those of the file.

    Parameters
    ----------
    tables : Tables
        The job file.
    faults : Faults
        Where faults of the job file go.

    Raises
    ------
    JobFileError
        With every fault in the file of materials that the job names.
    """
    name = tables.root.text("materials")
    found = _of_file(name, faults) if name else {}
    return found | _made(tables.material, faults)


def _of_file(name: str, faults: Faults) -> dict[str, Material]:
    """Materials of a file beside the job; a name that leads elsewhere is refused."""
    if Path(name).name != name or "\\" in name or name in (".", ".."):
        faults.add(
            ("materials",),
            f"{shown(name)} is more than 1 name; put the file beside the job and write its name",
        )
        return {}
    path = Path(faults.source).parent / name
    text = read_source(path)
    own = Faults(str(path), text.replace("\r\n", "\n"))
    made = _made(check_materials(parsed(text, str(path)), own), own)
    if own:
        raise own.error()
    return made


def _made(tables: Mapping[str, Checked], faults: Faults) -> dict[str, Material]:
    made = {name: _material(name, table, faults) for name, table in tables.items()}
    return {_word(name): material for name, material in made.items() if material is not None}


def _word(name: str) -> str:
    return " ".join(name.split()).casefold()


def find(word: str, own: Mapping[str, Material]) -> Material | None:
    """The material of a word: the maker's own, else one that is known."""
    return own.get(_word(word)) or find_material(word)


def _material(name: str, table: Checked, faults: Faults) -> Material | None:
    path = ("material", name)
    if find_material(name) is not None:
        faults.add(path, f"{shown(name)} is known already; give yours 1 name of its own")
        return None
    word = table.text("like")
    like = find_material(word) if word else None
    if word and like is None:
        faults.add(
            (*path, "like"), f"the material {shown(word)} is not known; {nearest(word, KNOWN)}"
        )
    if like is None:
        return None
    said: dict[str, Any] = {}
    pinch, within = table.length("pinch"), table.length("within")
    if pinch is not None:
        said["pinch"] = pinch
    if within is not None:
        said |= {"within_sheet": within, "source": table.text("source") or OWN}
    motion = _motion(path, table, like, faults)
    return replace(like, name=name, own=True, kin=False, motion=motion, **said)


def _motion(path: tuple[str, str], table: Checked, like: Material, faults: Faults) -> Motion:
    """How it moves: by coefficients or by shrinkage, else as what it is like."""
    tangential, radial = table.number("tangential"), table.number("radial")
    shrinks = table.lengths("shrinks")
    motion = like.motion
    if shrinks and (tangential is not None or radial is not None):
        faults.add(
            (*path, "shrinks"),
            "movement is stated 2 ways; keep shrinks, or tangential and radial, but not both",
        )
    if not like.solid and (shrinks or radial is not None):
        key = "shrinks" if shrinks else "radial"
        faults.add((*path, key), f"a sheet has no {key}; state its 1 movement as tangential")
    if shrinks:
        made = Shrinkage(shrinks[1], shrinks[0], FIBRE_BASE, OWN)
        one, other = made.coefficients
        return replace(motion, across=other, radial=one, most=other, status=OWN, source=OWN)
    if tangential is None and radial is None:
        return motion
    across = motion.across if tangential is None else tangential / 100
    flat = across if not like.solid else motion.radial
    own = {"across": across, "most": across, "radial": flat if radial is None else radial / 100}
    if not like.solid:
        own["along"] = across
    # A figure for each percent of moisture makes even plywood follow its moisture.
    follows = motion.follows if like.solid else Follows.PANEL
    source = table.text("source") or OWN
    return replace(motion, **own, follows=follows, status=OWN, source=source)
