"""Write what the docs say of findings and keys, so that it cannot fall behind."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from dryfit.checks.catalogue import CATALOGUE
from dryfit.findings import Question
from dryfit.jobfile.key import Key, Kind
from dryfit.jobfile.machine import CLAMP, MACHINE
from dryfit.jobfile.schema import TABLES
from tools.materials_page import MATERIALS, materials_page
from tools.strength_page import STRENGTH, strength_page

if TYPE_CHECKING:
    from collections.abc import Iterable

    from dryfit.jobfile.key import Table

PAGE = Path(__file__).parents[1] / "docs" / "findings.md"
JOB = Path(__file__).parents[1] / "docs" / "job-file.md"
CUTTING = Path(__file__).parents[1] / "docs" / "cutting.md"

_KEYS_HEAD = (
    "| key | what it takes | unit | default | example | meaning |",
    "|---|---|---|---|---|---|",
)
_UNITS = {
    Kind.LENGTH: "the job's, or its own",
    Kind.SIZES: "the job's, or their own",
    Kind.PAIR: "the job's, or their own",
    Kind.ENDS: "the job's, or their own",
    Kind.READINGS: "the job's, or their own",
    Kind.OWNED: "the job's, or their own",
    Kind.RECTANGLES: "the job's, or their own",
}

_HEAD = """# The findings

What the rehearsal may notice, by the question it bears on. A finding has a severity: `stop` forbids
cutting, `look` wants your eye first, `note` is good to know. Where it can be mended, it says how,
with the value worked out; `dryfit mend` writes that into the job file.

"Common practice, no source" marks a rule of the trade without a published source; "from memory" a
value that was not looked up again.
"""


def findings_page() -> str:
    """The page as Markdown."""
    parts = [_HEAD]
    for question in Question:
        rules = {code: rule for code, rule in CATALOGUE.items() if rule.question is question}
        if not rules:
            continue
        parts.append(f"## {question.words}\n")
        for code, rule in rules.items():
            severities = " or ".join(severity.value for severity in rule.severities)
            mend = f" Mend: {rule.mend}." if rule.mend else " Nothing to mend."
            meaning = rule.meaning[0].upper() + rule.meaning[1:]
            parts.append(
                f"**`{code}`** ({severities})  \n{meaning}.{mend}  \nSource: {rule.source}.\n"
            )
    return "\n".join(parts)


def key_row(key: Key) -> str:
    """The line of the job file's page that describes a key."""
    words = ", ".join(f'`"{word}"`' for word in key.words)
    if key.kind is Kind.WORD:
        takes = words
    else:
        takes = f"{key.kind}, or {words}" if words else str(key.kind)
    default = key.default or "must be given"
    unit = _UNITS.get(key.kind, "-")
    return f"| `{key.name}` | {takes} | {unit} | {default} | `{key.example}` | {key.meaning} |"


def job_page(text: str, tables: Iterable[Table] = tuple(TABLES.values())) -> str:
    """The page of the job file with the table of keys of every section renewed."""
    sections = text.split("\n## ")
    for table in tables:
        if not table.keys:
            continue
        heading = f"`{table.header}`" if table.name else "The top of the file"
        rows = "\n".join((*_KEYS_HEAD, *map(key_row, table.keys)))
        for number, section in enumerate(sections):
            if section.startswith(f"{heading}\n"):
                head, _, rest = section.partition("\n| key |")
                after = rest.partition("\n\n")[2]
                sections[number] = f"{head}\n{rows}\n\n{after}" if after else f"{head}\n{rows}\n"
    return "\n## ".join(sections)


if __name__ == "__main__":
    PAGE.write_text(findings_page(), encoding="utf-8", newline="\n")
    STRENGTH.write_text(strength_page(), encoding="utf-8", newline="\n")
    own = job_page(CUTTING.read_text(encoding="utf-8"), (MACHINE, CLAMP))
    CUTTING.write_text(own, encoding="utf-8", newline="\n")
    JOB.write_text(job_page(JOB.read_text(encoding="utf-8")), encoding="utf-8", newline="\n")
    MATERIALS.write_text(
        materials_page(MATERIALS.read_text(encoding="utf-8")), encoding="utf-8", newline="\n"
    )
