"""What the maker has and wants, before any joint is cut."""
