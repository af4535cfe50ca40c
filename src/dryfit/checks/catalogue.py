"""Every finding by its code: which question it belongs to, what it means, where its rule is from.

"common practice" marks a rule of the trade without a published source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.checks.close_rules import CLOSE_RULES
from dryfit.checks.cut_rules import CUT_RULES
from dryfit.checks.hold_rules import HOLD_RULES
from dryfit.checks.last_rules import LAST_RULES
from dryfit.checks.machine_rules import MACHINING
from dryfit.checks.stock_rules import STOCK_RULES
from dryfit.findings import Finding

if TYPE_CHECKING:
    from collections.abc import Mapping

    from dryfit.checks.rule import Rule
    from dryfit.findings import Mend, Severity

CATALOGUE: Mapping[str, Rule] = {
    **CLOSE_RULES, **HOLD_RULES, **LAST_RULES, **CUT_RULES, **MACHINING, **STOCK_RULES,
}  # fmt: skip
"""Every code that a finding may carry."""


def finding(
    code: str,
    severity: Severity,
    place: str,
    sentence: str,
    *,
    numbers: Mapping[str, float] | None = None,
    mend: Mend | None = None,
) -> Finding:
    """A finding of a code in the catalogue, with the source of its rule."""
    rounded = {name: round(value, 6) + 0.0 for name, value in (numbers or {}).items()}
    return Finding(code, severity, place, sentence, CATALOGUE[code].source, rounded, mend)
