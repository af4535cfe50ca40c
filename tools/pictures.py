"""Draw every example job anew into docs/pictures and docs/gallery.md, one of them apart too."""

from __future__ import annotations

from itertools import takewhile
from pathlib import Path

from dryfit.drafting.picture import picture_page
from dryfit.workflow import read
from dryfit.writers.svg import write_svg

ROOT = Path(__file__).parents[1]

GALLERY = ROOT / "docs" / "gallery.md"

_HEAD = """# Gallery

Every example job, put together and drawn by the program. `dryfit check` on any of them gives the
answers, `dryfit make` the files to cut from.
"""


def pictures() -> dict[str, str]:
    """The pictures of every example, by their file names."""
    jobs = sorted((ROOT / "examples").glob("*.toml"))
    drawn = {f"{job.stem}.svg": read(job).picture() for job in jobs}
    shelves = read(ROOT / "examples" / "paper-shelves.toml")
    page = picture_page(shelves.job.title, shelves.parts, 0.3)
    drawn["paper-shelves-apart.svg"] = write_svg(page).decode()
    return drawn


def gallery() -> str:
    """The page on which every example is shown."""
    parts = [_HEAD]
    for job in sorted((ROOT / "examples").glob("*.toml")):
        text = job.read_text(encoding="utf-8")
        lines = text.splitlines()
        said = [line.removeprefix("# ") for line in takewhile(lambda x: x.startswith("#"), lines)]
        title = read(job).job.title
        parts.append(
            f"## {title}\n\n{' '.join(said)}\n[`examples/{job.name}`](../examples/{job.name})\n\n"
            f"![{title}](pictures/{job.stem}.svg)\n"
        )
    return "\n".join(parts)


def main() -> None:
    """Write the pictures."""
    folder = ROOT / "docs" / "pictures"
    folder.mkdir(exist_ok=True)
    for name, svg in pictures().items():
        (folder / name).write_text(svg, encoding="utf-8", newline="\n")
    GALLERY.write_text(gallery(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
