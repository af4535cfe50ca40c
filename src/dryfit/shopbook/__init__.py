"""The shop book: what this shop has measured, kept for good, so that the next job uses it."""
