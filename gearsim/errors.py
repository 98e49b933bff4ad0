"""What can be wrong with what a user gives us, and how a message shows it.

InputError                 base of them all: the command line prints it and exits with 2
├── FileError              a file cannot be read or written
├── RouteError             a GPX that cannot become a course
└── PlanError              a plan, or a value in it, that cannot be ridden
"""

from collections.abc import Sequence


class InputError(ValueError):
    """Something the user gave cannot be used.

    The message is one line: the file, the place in it, the value, what is allowed, what to do.
    """


class FileError(InputError):
    """A file or folder that cannot be read, or must not be written."""


class RouteError(InputError):
    """A GPX file that cannot become a course."""


class PlanError(InputError):
    """A value of the plan, or an argument of the same meaning, outside what is possible."""


def printable(text: str) -> str:
    """The text on one line: what would act on a terminal is written out, as Python would."""
    return "".join(letter if letter.isprintable() else ascii(letter)[1:-1] for letter in text)


def as_given(number: float) -> str:
    """A number as it was given, up to twelve digits: fewer could hide why it was refused."""
    return f"{number:.12g}"


def all_at_once(faults: Sequence[str]) -> PlanError:
    """An error whose message is the first fault and whose notes are the others."""
    first, *others = faults
    error = PlanError(first)
    for other in others:
        error.add_note(other)
    return error
