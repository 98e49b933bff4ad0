"""How help looks: as it is written, and on a terminal too narrow for that, in shorter lines."""

from __future__ import annotations

import re
import textwrap
from argparse import RawDescriptionHelpFormatter
from itertools import groupby
from typing import Any

WRITTEN_FOR = 80  # columns
HANGING = "  "
QUOTED = re.compile(r'"[^"]*"')
NO_BREAK = "\0"  # stands for a blank inside quotes
WHOLE_WORDS: Any = {"break_long_words": False, "break_on_hyphens": False}


class HelpFormatter(RawDescriptionHelpFormatter):
    """Leaves descriptions and examples as they are written wherever there is room for them."""

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        columns = width + 2  # argparse leaves two free
        return super()._fill_text(refilled(text, columns), width, indent)


def refilled(text: str, columns: int) -> str:
    """The text in lines of at most so many columns: paragraphs filled, examples with margins."""
    if columns >= WRITTEN_FOR:
        return text
    told = []
    for apart, lines in groupby(text.splitlines(), key=_stands_alone):
        if apart:
            told += [_example(line, columns) for line in lines]
        else:
            told.append(textwrap.fill(" ".join(lines), columns, **WHOLE_WORDS))
    return "\n".join(told) + "\n"


def _stands_alone(line: str) -> bool:
    """Whether a line is no part of a paragraph."""
    return not line.strip() or line.startswith(" ")


def _example(line: str, columns: int) -> str:
    """An example in lines that a shell takes as one where it is a command."""
    if len(line) <= columns:
        return line
    margin = line[: len(line) - len(line.lstrip())]
    whole = QUOTED.sub(lambda quoted: quoted[0].replace(" ", NO_BREAK), line)
    command = line.lstrip().startswith("gearsim ") and not re.search(r"\S  ", line)
    lines = textwrap.wrap(
        whole.removesuffix(" \\"),
        columns - 2 * command,
        subsequent_indent=margin + HANGING,
        **WHOLE_WORDS,
    )
    filled = (" \\\n" if command else "\n").join(lines)
    ending = " \\" if line.endswith(" \\") else ""
    return filled.replace(NO_BREAK, " ") + ending
