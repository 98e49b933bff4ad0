"""What one athlete takes away, as page data: a block for each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from gearsim.output.report.parts import Row, Table
from gearsim.output.squad.cells import athlete_cells
from gearsim.output.squad.offers import own_best
from gearsim.output.squad.words import break_even_shown, has_letter
from gearsim.output.words import (
    at_least_shown,
    clean,
    clock,
    finish_head,
    letter,
    minute_decimals,
    minutes,
)
from gearsim.ride.score import Score
from gearsim.ride.states import State
from gearsim.studies.squad.squad import Squad
from gearsim.studies.squad.standing import Standing

STATE_HEADS = {
    State.ON_TARGET: "on tar\u00adget min",
    State.UNDER_BAND: "under band min",
    State.OVER_BAND: "over band min",
    State.BELOW_LOWEST_GEAR: "below lowest min",
    State.WALKING: "walk\u00ading min",
    State.SPUN_OUT: "spun out min",
    State.COASTING: "coast\u00ading min",
}
HAS, BEST, OF_THE_FEW, OWN, ALL = "has", "best", "best of the few", "best of all", "one for all"


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """An athlete: what they were ridden with, the drivetrains that matter, what to change."""

    name: str
    ridden: str
    told: str
    rides: Table


def sheets_of(squad: Squad) -> tuple[Sheet, ...]:
    """A block for each athlete, in the list's order."""
    longest_s = max(score.finish_s for each in squad.standings for score in each.scores)
    decimals = minute_decimals(longest_s)
    return tuple(_sheet(squad, each, decimals) for each in squad.standings)


def _sheet(squad: Squad, standing: Standing, decimals: int) -> Sheet:
    stopped_s = standing.scores[0].stopped_s
    best = own_best(squad, standing)
    return Sheet(
        name=clean(standing.athlete.name),
        ridden=_ridden(standing),
        told=f"Best of all that fits: {best}" if best else "",
        rides=Table(
            caption=f"{clean(standing.athlete.name)}: minutes in each state",
            corner="gears",
            heads=("mis\u00admatch", f"{finish_head(stopped_s)} h:mm", *STATE_HEADS.values()),
            rows=tuple(_rows(squad, standing, decimals)),
            titled=True,
        ),
    )


def _ridden(standing: Standing) -> str:
    mass, power, critical, reserve, target, band, limits, drag, bike = athlete_cells(standing)
    needs = break_even_shown(standing.break_even)
    asked = f"; what they have asks for {needs} W" if standing.break_even else ""
    return (
        f"{mass} kg, {power} W{asked}. Critical power {critical} W, reserve {reserve} kJ; target "
        f"{target} rpm, band {band}, limits {limits}; drag area {drag} m², bike {bike} kg."
    )


def _rows(squad: Squad, standing: Standing, decimals: int) -> Iterator[Row]:
    """What the athlete has, the best, and the choice for all, each once."""
    has, fitting = standing.athlete.drivetrain, standing.fitting
    if has is not None and standing.now is not None and standing.has not in (standing.best, 0):
        note = f"{has_letter(squad, standing)} {clean(has.name)}"
        yield Row(title=HAS, note=note, cells=_cells(standing.now, decimals))
    names = [each.name for each in squad.drivetrains]
    if fitting is not None and fitting.best.prospect and fitting.best.name not in names:
        cells = _cells(fitting.best.score, decimals)
        yield Row(title=OWN, note=clean(fitting.best.name), cells=cells)
    for place in dict.fromkeys([standing.best, 0]):
        roles = _roles(standing, place, sought=fitting is not None)
        note = f"{letter(place)} {clean(names[place])}"
        yield Row(title=roles, note=note, cells=_cells(standing.scores[place], decimals))


def _roles(standing: Standing, place: int, sought: bool) -> str:
    told = {
        HAS: place == standing.has,
        (OF_THE_FEW if sought else BEST): place == standing.best,
        ALL: place == 0,
    }
    return ", ".join(role for role, holds in told.items() if holds)


def _cells(counted: Score, decimals: int) -> tuple[str, ...]:
    return (
        at_least_shown(counted.mismatch, 1),
        clock(counted.finish_s),
        *(minutes(counted.seconds[state], decimals) for state in STATE_HEADS),
    )
