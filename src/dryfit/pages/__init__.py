"""A neutral page of strokes with a role."""
