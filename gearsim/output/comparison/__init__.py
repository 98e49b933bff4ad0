"""A comparison of drivetrains, shown."""
