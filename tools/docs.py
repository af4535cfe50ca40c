"""Write the page of findings from the catalogue, so that it cannot fall behind."""

from __future__ import annotations

from pathlib import Path

from dryfit.checks.catalogue import CATALOGUE
from dryfit.findings import Question

PAGE = Path(__file__).parents[1] / "docs" / "findings.md"

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


if __name__ == "__main__":
    PAGE.write_text(findings_page(), encoding="utf-8", newline="\n")
