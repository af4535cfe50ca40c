"""Panels with their joints cut: nominal, as drawn and as cut."""
