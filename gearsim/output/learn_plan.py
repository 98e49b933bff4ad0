"""What was learnt, as tables for a plan, with the evidence beside each number."""

from __future__ import annotations

import json
from collections.abc import Sequence

from gearsim.output.learn_words import Line, bike_lines, drivetrain_lines, rider_lines
from gearsim.output.words import clean
from gearsim.studies.learn import Learnt

HEAD = """\
# Learnt from: {names}
# Each interval is meant to hold the truth nine times in ten. A key that is not here keeps the
# plan's default. What the recordings cannot say stands at the end.
"""


def learnt_plan(learnt: Learnt, route: str) -> str:
    """A plan in TOML: the first recording's route, [rider], [bike], and the gears where matched.

    `route` is the path to write.  Where no gears were matched the plan lacks a [[drivetrain]], and
    a comment in its place says so.
    """
    names = ", ".join(clean(recording.source) for recording in learnt.recordings)
    parts = [HEAD.format(names=names), f"route = {json.dumps(route, ensure_ascii=False)}\n"]
    if learnt.given.surface != "tarmac":
        parts.append(f"default_surface = {json.dumps(learnt.given.surface)}\n")
    parts.append(_table("[rider]", rider_lines(learnt)))
    parts.append(_table("[bike]", bike_lines(learnt)))
    gears = drivetrain_lines(learnt)
    parts.append(_table("[[drivetrain]]", gears) if gears else _no_drivetrain())
    parts.append(_also(learnt))
    parts.append(_refusals(learnt))
    return "\n".join(part.rstrip() + "\n" for part in parts if part)


def _table(head: str, lines: Sequence[Line]) -> str:
    return "\n".join([head, *(f"{n.key} = {n.value}  # {clean(n.evidence)}" for n in lines)])


def _no_drivetrain() -> str:
    return (
        "# The gears were not matched: put your own here before you ride this plan.\n"
        "# [[drivetrain]]\n# chainrings = [46, 30]\n# sprockets = [11, 13, 15, 17, 19, 22, 25, 28]"
    )


def _also(learnt: Learnt) -> str:
    """The other pairs that would explain the gears."""
    if not learnt.parts or learnt.parts_clear:
        return ""
    rows = [
        f"#   {clean(m.chainset.name)} with {clean(m.cassette.name)}, wheel "
        f"{1000 * m.circumference_m:.0f} mm: {100 * m.chance:.0f} %"
        for m in learnt.parts
    ]
    return "\n".join(["# Pairs of the parts list by chance, not clear-cut:", *rows])


def _refusals(learnt: Learnt) -> str:
    if not learnt.refusals:
        return ""
    rows = [f"#   {r.what}: {clean(r.why)}; {clean(r.remedy)}" for r in learnt.refusals]
    return "\n".join(["# Not learnt, and what recording would tell:", *rows])
