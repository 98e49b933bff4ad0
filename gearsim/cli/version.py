"""`gearsim --version`: which gearsim this is."""

from __future__ import annotations

from argparse import Namespace
from importlib.metadata import version

from gearsim.cli import console


def run(_arguments: Namespace) -> None:
    """Print it."""
    console.say(f"gearsim {version('gearsim')}")
