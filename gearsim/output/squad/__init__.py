"""A squad of athletes, shown."""
