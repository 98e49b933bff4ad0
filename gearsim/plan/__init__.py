"""The plan file: one TOML with the route, who rides it, on what, with which gears, in what."""
