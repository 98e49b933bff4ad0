"""What to fit, of everything that can be bolted to this bike."""
