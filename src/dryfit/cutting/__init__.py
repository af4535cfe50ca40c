"""How each route makes the parts: settings, marks, feeds and paths."""
