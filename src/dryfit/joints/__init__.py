"""How one meeting is shared between two panels."""
