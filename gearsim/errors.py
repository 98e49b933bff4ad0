"""What can be wrong with what a user gives us.

InputError                 base of them all: the command line prints it and exits with 2
├── FileError              a file cannot be read or written
├── RouteError             a GPX that cannot become a course
└── PlanError              a plan, or a value in it, that cannot be ridden
"""


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
