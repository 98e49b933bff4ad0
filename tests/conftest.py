"""Puts this folder on the path, so that all tests can import `made_roads`, `made_rides` and so on.

Property tests draw the same examples on every run and every machine.  To look for new
counterexamples: `pytest --hypothesis-profile=thorough tests/ride`.
"""

from hypothesis import settings

settings.register_profile("same every time", deadline=None, derandomize=True, max_examples=50)
settings.register_profile("thorough", deadline=None, max_examples=2000)
settings.load_profile("same every time")
