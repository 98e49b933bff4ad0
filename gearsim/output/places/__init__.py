"""Places on the route, for people and head units."""
