"""What was learnt, as tables for a plan, with the evidence beside each number."""

from __future__ import annotations

import json
from collections.abc import Sequence

from gearsim.output.learn.bike_words import (
    alternative_lines,
    bike_lines,
    doubt_words,
    drivetrain_lines,
)
from gearsim.output.learn.words import Line, mass_doubt_words, rider_lines
from gearsim.output.words import clean
from gearsim.studies.learn.learn import Learnt

HEAD = """\
# Learnt from: {names}
# Each interval is meant to hold the truth nine times in ten. A key that is not here keeps the
# plan's default; one behind a # is left out, and why stands beside it. What the recordings cannot
# say stands at the end.
"""


def learnt_plan(learnt: Learnt, route: str) -> str:
    """A plan in TOML: the first recording's route, [rider], [bike], and gears.

    `route` is the path to write.  The gears are the teeth matched where the match is clear, else
    those seen, as ratios, with the likeliest teeth as comments.  Where too few were seen the plan
    lacks a [[drivetrain]], and a comment in its place says so.
    """
    names = ", ".join(clean(recording.source) for recording in learnt.recordings)
    parts = [
        HEAD.format(names=names).rstrip() + "\n" + _cautions(learnt),
        f"route = {json.dumps(route, ensure_ascii=False)}\n",
    ]
    if learnt.given.surface != "tarmac":
        parts.append(f"default_surface = {json.dumps(learnt.given.surface)}\n")
    parts.append(_table("[rider]", rider_lines(learnt)))
    parts.append(_table("[bike]", bike_lines(learnt)))
    gears = drivetrain_lines(learnt)
    parts.append(_table("[[drivetrain]]", gears) if gears else _no_drivetrain())
    parts.append(_alternatives(learnt))
    parts.append(_refusals(learnt))
    return "\n".join(part.rstrip() + "\n" for part in parts if part)


def _table(head: str, lines: Sequence[Line]) -> str:
    return "\n".join([head, *(_row(line) for line in lines)])


def _row(line: Line) -> str:
    if line.left_out:
        why = clean(f"left out: {line.left_out}; found {line.evidence}")
        return f"# {line.key} = {line.value}  # {why}"
    return f"{line.key} = {line.value}  # {clean(line.evidence)}"


def _cautions(learnt: Learnt) -> str:
    said = (mass_doubt_words(learnt), doubt_words(learnt))
    return "".join(f"# Caution: {clean(words)}\n" for words in said if words)


def _no_drivetrain() -> str:
    return (
        "# The gears are not known: put your own here, without the #, before you ride this plan.\n"
        "# [[drivetrain]]\n# chainrings = [46, 30]\n# sprockets = [11, 13, 15, 17, 19, 22, 25, 28]"
    )


def _alternatives(learnt: Learnt) -> str:
    """The pairs that would explain the gears, to be chosen by hand."""
    rows = alternative_lines(learnt)
    if not rows:
        return ""
    head = (
        "# The teeth are not known. Likeliest pairs of the parts list, none of them sure; to use "
        "one,\n# take the first # off its lines:"
    )
    return "\n".join([head, *(f"# {row}" for row in rows)])


def _refusals(learnt: Learnt) -> str:
    if not learnt.refusals:
        return ""
    rows = [f"#   {r.what}: {clean(r.why)}; {clean(r.remedy)}" for r in learnt.refusals]
    return "\n".join(["# Not learnt, and what recording would tell:", *rows])
