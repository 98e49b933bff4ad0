"""Who rides, on what, with which gears, in what conditions."""
