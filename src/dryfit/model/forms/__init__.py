"""Ready-made pieces, each written in planes and members."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.model.forms.angled import ANGLED, AngledForm
from dryfit.model.forms.boxes import BOXES
from dryfit.model.forms.case import BACKS, CASES
from dryfit.model.forms.chest import CHESTS, LIDS
from dryfit.model.forms.form import NOTHING, Form, Options, Request

if TYPE_CHECKING:
    from collections.abc import Mapping

FORMS: Mapping[str, Form] = MappingProxyType(
    {form.name: form for form in (*BOXES[:2], CASES[0], *BOXES[2:], *CHESTS, *CASES[1:])}
)
"""Every form of planes and members by name."""

ALL: Mapping[str, Form | AngledForm] = MappingProxyType({**FORMS, **ANGLED})
"""Every form there is."""

__all__ = [
    "ANGLED",
    "BACKS",
    "FORMS",
    "LIDS",
    "NOTHING",
    "AngledForm",
    "Form",
    "Options",
    "Request",
]
