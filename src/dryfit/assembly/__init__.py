"""In what order the parts go together, and why there is none where there is none."""
