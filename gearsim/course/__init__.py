"""From a route as it came to a course that can be ridden."""
