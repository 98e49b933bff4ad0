"""Pages to read on a phone or print."""
