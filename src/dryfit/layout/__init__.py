"""Parts on sheets: what fits where, how good that is, and what no layout can beat."""
