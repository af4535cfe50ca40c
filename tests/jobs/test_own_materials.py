"""Materials of the maker's own, in the job and in a file beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from dryfit.errors import JobFileError
from dryfit.materials.movement import Follows
from dryfit.materials.sheets import MATERIALS
from dryfit.workflow import read, read_text

if TYPE_CHECKING:
    from pathlib import Path

    from dryfit.materials.sheets import Material

JOB = """\
format = 1
{top}
[piece]
form = "ring"
outside = [330, 220, 70]

[stock.walls]
material = "{word}"
nominal = 12
readings = [11.9, 12.0, 12.1]

[cutter]
kind = "hand"

{tables}
"""

PEAR = """
[material.pear]
like = "black cherry"
shrinks = [9.4, 4.1]
source = "my own boards, three winters"
"""


def material(text: str) -> Material:
    return read_text(text).piece.panels[0].stock.material


def test_a_wood_of_ones_own_is_like_another_but_for_what_it_says() -> None:
    pear, cherry = material(JOB.format(top="", word="Pear", tables=PEAR)), MATERIALS["black cherry"]
    assert (pear.name, pear.entry, pear.own) == ("pear", "black cherry", True)
    # (S / 30) / (100 - S 20 / 30), by hand.
    assert pear.motion.across == pytest.approx(0.0033428, abs=1e-7)
    assert pear.motion.radial == pytest.approx(0.0014051, abs=1e-7)
    assert pear.motion.status == "stated by the maker"
    assert (pear.pinch, pear.within_sheet) == (cherry.pinch, cherry.within_sheet)


def test_coefficients_are_stated_in_percent() -> None:
    own = '[material.elder]\nlike = "alder"\ntangential = 0.3\nradial = 0.2\npinch = 0.02\n'
    elder = material(JOB.format(top="", word="elder", tables=own))
    assert (elder.motion.across, elder.motion.radial) == (0.003, 0.002)
    assert elder.pinch == 0.02


def test_a_sheet_of_ones_own_follows_its_moisture() -> None:
    own = '[material.slab]\nlike = "plywood"\ntangential = 0.02\nwithin = 0.3\n'
    slab = material(JOB.format(top="", word="slab", tables=own))
    assert slab.motion.follows is Follows.PANEL
    assert slab.motion.across == slab.motion.along == slab.motion.most == 0.0002
    assert not slab.solid
    assert slab.within_sheet == 0.3


def test_what_a_sheet_of_ones_own_varies_beats_the_standard() -> None:
    own = '[material.slab]\nlike = "plywood"\nwithin = 0.3\n'
    text = JOB.format(top="", word="slab", tables=own).replace("11.9, 12.0, 12.1", "12.0")
    assert read_text(text).piece.panels[0].stock.scatter == pytest.approx(0.05)


def test_a_file_beside_the_job_holds_materials(tmp_path: Path) -> None:
    (tmp_path / "woods.toml").write_text(f"format = 1\n{PEAR}", encoding="utf-8")
    job = tmp_path / "ring.toml"
    job.write_text(
        JOB.format(top='materials = "woods.toml"', word="pear", tables=""), encoding="utf-8"
    )
    assert read(job).piece.panels[0].stock.material.name == "pear"


@pytest.mark.parametrize(
    ("written", "said"),
    [
        (f"format = 1\n{PEAR}pitch = 3\n", "line 7, material.pear.pitch: there is no key pitch"),
        ("[material.x]\nlike = 'oak'\n", "format is missing"),
        ('format = 1\n[stock.x]\nmaterial = "oak"\n', "a file of materials has no stock"),
        ("format = 1\n[material.x]\nlike = ", "this is not TOML"),
        ("format = 1\n[material.x]\nlike = 'okk'\n", 'the material "okk" is not known'),
        ("format = 1\n[material.oak]\nlike = 'ash'\n", '"oak" is known already'),
    ],
)
def test_the_file_is_checked_as_strictly_as_a_job(tmp_path: Path, written: str, said: str) -> None:
    (tmp_path / "woods.toml").write_text(written, encoding="utf-8")
    job = tmp_path / "ring.toml"
    job.write_text(
        JOB.format(top='materials = "woods.toml"', word="pear", tables=""), encoding="utf-8"
    )
    with pytest.raises(JobFileError) as refused:
        read(job)
    assert said in str(refused.value)
    assert "woods.toml" in str(refused.value)


@pytest.mark.parametrize("name", ["../woods.toml", "/etc/passwd", "a/b.toml", "..", "c:\\\\x.toml"])
def test_a_file_elsewhere_is_not_opened(name: str) -> None:
    with pytest.raises(JobFileError, match="is more than 1 name"):
        read_text(JOB.format(top=f'materials = "{name}"', word="oak", tables=""))


def test_a_file_that_is_missing_is_told() -> None:
    with pytest.raises(JobFileError, match="no such file"):
        read_text(JOB.format(top='materials = "none.toml"', word="oak", tables=""))


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ("[material.x]\ntangential = 0.3\n", "like is missing"),
        ("[material.x]\nlike = 'oak'\nshrinks = [9]\n", "expected 2 numbers"),
        ("[material.x]\nlike = 'oak'\nshrinks = [9, 4]\nradial = 0.2\n", "stated 2 ways"),
        ("[material.x]\nlike = 'MDF'\nshrinks = [9, 4]\n", "a sheet has no shrinks"),
        ("[material.x]\nlike = 'oak'\ntangential = 30\n", "write a number from 0 to 1"),
        ("[material]\nlike = 'oak'\n", "like needs a table with a name"),
    ],
)
def test_what_is_wrong_with_ones_own_material_is_told(table: str, said: str) -> None:
    with pytest.raises(JobFileError) as refused:
        read_text(JOB.format(top="", word="oak", tables=table))
    (fault,) = refused.value.faults
    assert said in fault.sentence
    assert fault.line > 0
