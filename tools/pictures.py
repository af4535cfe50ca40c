"""Draw every example job anew into docs/pictures."""

from __future__ import annotations

from pathlib import Path

from dryfit.workflow import read

ROOT = Path(__file__).parents[1]


def pictures() -> dict[str, str]:
    """The picture of every example, by its file name."""
    jobs = sorted((ROOT / "examples").glob("*.toml"))
    return {f"{job.stem}.svg": read(job).picture() for job in jobs}


def main() -> None:
    """Write the pictures."""
    folder = ROOT / "docs" / "pictures"
    folder.mkdir(exist_ok=True)
    for name, svg in pictures().items():
        (folder / name).write_text(svg, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
