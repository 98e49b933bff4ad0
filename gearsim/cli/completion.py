"""`gearsim completion SHELL`: the script with which a shell completes commands, options and files.

It is made from the parser, so that it knows every command and option there is.
"""

from __future__ import annotations

from argparse import Action, ArgumentParser, Namespace, _SubParsersAction
from collections.abc import Iterator
from typing import Any

from gearsim.cli import console
from gearsim.cli.parser import parser

PLANS = ("*.toml",)
ROUTES = ("*.gpx", "*.gpx.gz")
FOLDERS = "folders"

FILES: dict[str, tuple[str, ...] | str] = {
    "plan": PLANS,
    "what": PLANS,
    "parts": PLANS,
    "route": ROUTES,
    "ride": ROUTES,
    "rides": ROUTES,
    "taught_by": ROUTES,
    "out": FOLDERS,
}
"""What files a shell offers for an argument, by the name under which the parser keeps it."""


def run(arguments: Namespace) -> None:
    """Print the script."""
    console.say(script(arguments.shell).rstrip())


def script(shell: str) -> str:
    """The script for `bash`, `zsh` or `fish`."""
    import shtab

    top = parser()
    kinds = {PLANS: shtab.glob(*PLANS), ROUTES: shtab.glob(*ROUTES), FOLDERS: shtab.DIRECTORY}
    for action in actions(top):
        if action.dest in FILES:
            _offer(action, kinds[FILES[action.dest]])
        if isinstance(action, _SubParsersAction):
            _describe_shortly(action)
    return str(shtab.complete(top, shell))


def actions(top: ArgumentParser) -> Iterator[Action]:
    """Every argument and option of a parser and of its commands."""
    for action in top._actions:
        yield action
        if isinstance(action, _SubParsersAction):
            for command in action.choices.values():
                yield from actions(command)


def _offer(action: Action, files: Any) -> None:
    action.complete = files  # type: ignore[attr-defined]  # where shtab looks for it


def _describe_shortly(commands: _SubParsersAction[Any]) -> None:
    """Describe each command as `gearsim --help` does, in one line."""
    for told in commands._choices_actions:
        commands.choices[told.dest].description = told.help
