"""A handbook of materials: knows no joints."""
