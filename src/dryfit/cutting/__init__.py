"""From parts on their sheets to machine programs that were proved, and back."""
