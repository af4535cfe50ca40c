"""The pages of the docs keep up with the program."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from typer.main import get_command

from dryfit.cli.main import app
from dryfit.jobfile.machine import CLAMP, MACHINE
from tools.docs import findings_page, job_page
from tools.figures import figures
from tools.materials_page import materials_page
from tools.pictures import gallery, pictures
from tools.strength_page import STRENGTH, strength_page

DOCS = Path(__file__).parents[2] / "docs"


def test_the_page_of_findings_is_written_from_the_catalogue() -> None:
    assert (DOCS / "findings.md").read_text(encoding="utf-8") == findings_page()


def test_the_tables_of_strength_are_written_from_the_program() -> None:
    assert STRENGTH.read_text(encoding="utf-8") == strength_page()


def test_the_keys_and_the_gallery_are_written_from_the_program() -> None:
    page = (DOCS / "job-file.md").read_text(encoding="utf-8")
    assert page == job_page(page)
    materials = (DOCS / "materials.md").read_text(encoding="utf-8")
    assert materials == materials_page(materials)
    page = (DOCS / "cutting.md").read_text(encoding="utf-8")
    assert page == job_page(page, (MACHINE, CLAMP))
    assert (DOCS / "gallery.md").read_text(encoding="utf-8") == gallery()


def _commands(group: Any, above: str = "") -> dict[str, Any]:
    """Every command by its whole name, those in groups too."""
    found = {}
    for name, command in group.commands.items():
        whole = f"{above}{name}"
        found[whole] = command
        if hasattr(command, "commands"):
            found |= _commands(command, f"{whole} ")
    return found


def test_every_command_and_option_has_its_entry() -> None:
    page = (DOCS / "commands.md").read_text(encoding="utf-8")
    commands = _commands(get_command(app))
    assert {name for name in commands if " " not in name} == {
        "try", "new", "check", "odds", "card", "comb", "make", "picture", "model", "planes",
        "mend", "book", "order", "compare", "sheets", "cut", "readback", "traveller",
    }  # fmt: skip
    assert {name.removeprefix("book ") for name in commands if name.startswith("book ")} == {
        "list", "add", "add comb", "add width", "add machine", "add cutter", "add stock", "add job",
        "correct", "withdraw", "export", "import", "known",
    }  # fmt: skip
    for name, command in commands.items():
        assert command.help, name
        section = page.split(f"## `dryfit {name}")[1].split("\n## ")[0].split("\n### ")[0]
        for option in command.params:
            if option.param_type_name == "option":
                words = [*option.opts, *option.secondary_opts]
                assert all(f"`{word}" in section for word in words), option


def test_the_job_of_the_readme_is_the_example() -> None:
    """Less its comments and how many to make."""
    readme = (DOCS.parent / "README.md").read_text(encoding="utf-8")
    shown = tomllib.loads(readme.split("```toml\n")[1].split("```")[0])
    example = (DOCS.parent / "examples" / "type-tray.toml").read_text(encoding="utf-8")
    assert shown == {key: value for key, value in tomllib.loads(example).items() if key != "times"}


def test_the_pictures_of_the_examples_are_current() -> None:
    drawn = pictures()
    kept = {path.name: path.read_text(encoding="utf-8") for path in (DOCS / "pictures").iterdir()}
    assert kept == drawn


def test_the_figures_of_the_theory_are_current() -> None:
    kept = {path.name: path.read_text(encoding="utf-8") for path in (DOCS / "theory").glob("*.svg")}
    assert kept == figures()
