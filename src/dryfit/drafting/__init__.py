"""What to draw, on neutral pages."""
