"""Puts this folder on the path, so that all tests can import `made_roads`."""
