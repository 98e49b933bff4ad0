"""Which bike of a fleet for which guest."""
