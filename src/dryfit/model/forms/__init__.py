"""Ready-made pieces, written as panels."""

from __future__ import annotations

from dryfit.model.forms.box import FORMS, Form, Request

__all__ = ["FORMS", "Form", "Request"]
