"""Spreads and the odds of a fit; knows no joinery."""
