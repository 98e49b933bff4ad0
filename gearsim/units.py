"""Exact constants and the conversions used at the edges (plan files, tables, charts)."""

GRAVITY_MPS2 = 9.80665  # standard gravity, exact (3rd CGPM, 1901)
KELVIN_AT_0_C = 273.15  # exact
MPS_PER_KMH = 1.0 / 3.6  # exact: 1000 m in 3600 s
KMH_PER_MPS = 3.6
SECONDS_PER_MINUTE = 60.0
SECONDS_PER_HOUR = 3600.0
METRES_PER_INCH = 0.0254  # exact (international inch)
CHAIN_PITCH_M = 0.0127  # exact: half an inch
