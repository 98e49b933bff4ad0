"""Formulas on numbers: air, forces, braking, chain, gears, wheels, walking, reserve, durability.

Pure functions of floats or arrays, by broadcasting; SI units, grade as a fraction, angles in
radians.  They know no type of ours and keep no state.
"""
