"""Predicted speeds and finish in a report, with how far they may be off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gearsim.output.places.words import length
from gearsim.output.report.parts import Row, Table
from gearsim.output.words import (
    STATE_PHRASES,
    TROUBLES,
    about,
    at_least_shown,
    clean,
    clock,
    finish_head,
    percent,
)
from gearsim.ride.ride import Ride
from gearsim.studies.finish_band import (
    ERROR_BAND,
    MEAN_ERROR,
    UPHILL_GRADE,
    ClimbBand,
    FinishBand,
    TimeBand,
)
from gearsim.units import KMH_PER_MPS

_GROUND_WORDS = {
    "uphill": f"uphill, over {percent(UPHILL_GRADE)}",
    "level": f"level, within {percent(UPHILL_GRADE)}",
    "downhill": f"downhill, over {percent(UPHILL_GRADE)}",
}
SPEED_HEADS = ("km/h", "lowest", "highest", "h:mm:ss", "shortest", "longest")


@dataclass(frozen=True, kw_only=True)
class Speeds:
    """The finish and what may become of it, and predicted speeds by ground and by climb."""

    sentence: str
    finish: Table
    grounds: Table
    climbs: Table
    left_out: str


def speeds(ride: Ride, band: FinishBand) -> Speeds:
    """The predicted speeds of one ride with their error band."""
    shown, found = len(band.climbs), band.all_climbs
    return Speeds(
        sentence=_sentence(ride, band),
        finish=_finish_table(band),
        grounds=_grounds_table(ride, band),
        climbs=_climbs_table(band.climbs),
        left_out=f"The {shown} largest of {found} climbs." if shown < found else "",
    )


def _sentence(ride: Ride, band: FinishBand) -> str:
    slow, fast = (f"{100.0 * error:+.1f}" for error in ERROR_BAND)
    told = band.likely.stopped_s > 0.0
    stops = "Only the stops told are in it." if told else "It is riding time: no stop is in it."
    return (
        f"Outdoors, climbing power from such a model differed from a power meter by "
        f"{100.0 * MEAN_ERROR:+.2f} % on average, 95 % of the time between {slow} and {fast} % "
        f"(Millet, Tronche and Grappe 2014). Ridden again with the rider's powers changed by as "
        f"much, “{clean(ride.drivetrain.name)}” finishes in {clock(band.fast.finish_s)} to "
        f"{clock(band.slow.finish_s)} h; predicted is {clock(band.likely.finish_s)} h. "
        f"{stops} A puncture or a bad day is not in it."
    )


def _finish_table(band: FinishBand) -> Table:
    scores = (band.slow, band.likely, band.fast)
    troubles = [state for state in TROUBLES if any(score.seconds[state] for score in scores)]
    rows = [
        Row(
            title=f"{finish_head(band.likely.stopped_s)}, h:mm",
            cells=tuple(clock(score.finish_s) for score in scores),
        ),
        Row(title="mismatch", cells=tuple(at_least_shown(score.mismatch, 1) for score in scores)),
    ]
    rows += [
        Row(
            title=STATE_PHRASES[state],
            cells=tuple(about(score.seconds[state]) for score in scores),
        )
        for state in troubles
    ]
    slow, fast = (f"{100.0 * error:+.1f} %" for error in ERROR_BAND)
    return Table(
        caption="The best candidate if the model errs as published",
        corner="power",
        heads=(slow, "as predicted", fast),
        rows=tuple(rows),
    )


def _grounds_table(ride: Ride, band: FinishBand) -> Table:
    whole = TimeBand(
        name="the whole route",
        road_m=float(ride.course.road_length_m.sum()),
        slow_s=band.slow.moving_s,
        likely_s=band.likely.moving_s,
        fast_s=band.fast.moving_s,
    )
    return Table(
        caption="Predicted speeds and riding times by kind of road",
        corner="road",
        heads=SPEED_HEADS,
        rows=tuple(
            Row(
                title=_GROUND_WORDS.get(times.name, times.name),
                note=length(times.road_m),
                cells=_cells(times),
            )
            for times in (whole, *band.grounds)
        ),
        titled=True,
    )


def _climbs_table(found: Sequence[ClimbBand]) -> Table:
    return Table(
        caption="Predicted speeds and riding times on the largest climbs",
        corner="climb",
        heads=SPEED_HEADS,
        rows=tuple(
            Row(
                title=f"km {climb.climb.start_m / 1000.0:.1f}",
                note=(
                    f"{length(climb.climb.length_m)} at {percent(climb.climb.grade)}, "
                    f"{climb.climb.gain_m:.0f} m up"
                ),
                cells=_cells(climb.times),
            )
            for climb in found
        ),
        titled=True,
    )


def _cells(times: TimeBand) -> tuple[str, ...]:
    in_order_s = (times.likely_s, times.slow_s, times.fast_s)
    speed = [f"{times.road_m / seconds * KMH_PER_MPS:.1f}" for seconds in in_order_s]
    likely, slow, fast = (hours_minutes_seconds(seconds) for seconds in in_order_s)
    return (*speed, likely, fast, slow)


def hours_minutes_seconds(seconds: float) -> str:
    """A time as `0:04:45`."""
    minutes, rest = divmod(round(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02d}:{rest:02d}"
