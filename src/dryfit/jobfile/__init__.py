"""Text of a job file to model and back."""
