"""dryfit: know that it fits before you cut.

>>> import dryfit
>>> rehearsal = dryfit.read("examples/type-tray.toml")
>>> len(rehearsal.parts), rehearsal.report.stops
(5, False)
"""

from __future__ import annotations

from typing import Any

__version__ = "0.1.0"
__all__ = ["Rehearsal", "__version__", "read", "read_text"]


def __getattr__(name: str) -> Any:
    """The public names, loaded when first used so that the command line starts fast."""
    if name in __all__:
        from dryfit import workflow

        return getattr(workflow, name)
    raise AttributeError(f"module 'dryfit' has no attribute {name!r}")
