"""A route to know before the ride, shown."""
