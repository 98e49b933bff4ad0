"""TOML files as people type them: read, or refused with the line and what was meant."""
