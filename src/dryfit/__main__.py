"""Run the command line as ``python -m dryfit``."""

from __future__ import annotations

import sys

from dryfit.cli.main import main

sys.exit(main())
