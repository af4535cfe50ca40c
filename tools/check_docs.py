"""Check that every link between the project's Markdown pages leads somewhere."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import unquote

if TYPE_CHECKING:
    from collections.abc import Iterator

FENCE = re.compile(r"^(```|~~~).*?^\1[^\n]*$", re.MULTILINE | re.DOTALL)
CODE = re.compile(r"`[^`\n]+`")
HEADING = re.compile(r"^#{1,6} +(.+?)(?: +#+)?$", re.MULTILINE)
LINK = re.compile(r"\[[^\]]*\]\(<?([^)\s>]+)>?[^)]*\)")
ABSENT = re.compile(r"[^\w\- ]")
FOLDERS = ("docs", "examples")


def pages(root: Path) -> list[Path]:
    """The Markdown pages at the root and in the folders that readers are sent to."""
    nested = (page for folder in FOLDERS for page in (root / folder).rglob("*.md"))
    return sorted([*root.glob("*.md"), *nested])


def anchors(text: str) -> set[str]:
    """The anchors that a page's headings make, as the common hosts of Git write them."""
    found: set[str] = set()
    for heading in HEADING.findall(FENCE.sub("", text)):
        words = LINK.sub(lambda link: link.group().partition("]")[0][1:], heading)
        anchor = ABSENT.sub("", words.replace("`", "").lower()).replace(" ", "-")
        twins = sum(1 for other in found if re.fullmatch(rf"{re.escape(anchor)}(-\d+)?", other))
        found.add(f"{anchor}-{twins}" if twins else anchor)
    return found


def broken(page: Path) -> Iterator[str]:
    """One sentence for each link of a page that leads nowhere."""
    text = page.read_text(encoding="utf-8")
    for target in LINK.findall(CODE.sub("", FENCE.sub("", text))):
        if re.match(r"[a-z]+:", target):
            continue
        path, _, anchor = unquote(target).partition("#")
        file = page.parent / path if path else page
        if not file.exists():
            yield f"{page}: {target} leads to a file that does not exist"
        elif anchor and anchor not in anchors(file.read_text(encoding="utf-8")):
            yield f"{page}: {target} names a heading that does not exist"


def main() -> int:
    """Print what is broken; 0 when nothing is."""
    found = [line for page in pages(Path()) for line in broken(page)]
    print("\n".join(found) or f"{len(pages(Path()))} pages, every link leads somewhere")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
