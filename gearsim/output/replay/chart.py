"""The picture of a replay: predicted against recorded, along the course and by kind."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from gearsim.output.drawing.profile import draw_profile, rule_kilometres
from gearsim.output.drawing.sheet import (
    EDGE_IN,
    WIDTH_IN,
    axes_at,
    head_in,
    lines_of,
    new_sheet,
    write_at,
    write_head,
)
from gearsim.output.drawing.style import FAINT_INK, INK, PAPER, RULE, SMALL_PT
from gearsim.output.replay.text import error_words, replay_title
from gearsim.output.words import duration
from gearsim.studies.replay.replay import GRADE_CLASSES, Replay
from gearsim.studies.replay.use import CADENCE_EDGES_RPM, predicted_cadence
from gearsim.units import KMH_PER_MPS, SECONDS_PER_MINUTE

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Floats = NDArray[np.float64]

RECORDED, PACE, POWER = INK, "#b8621b", "#2f6f8f"
LEFT_IN, TITLE_IN = 0.95, 0.28
PROFILE_IN, SPEED_IN, AHEAD_IN, ROW_GAP_IN = 1.3, 1.7, 1.3, 0.42
LOWER_IN, FOOT_IN, BETWEEN_IN = 2.3, 0.75, 0.75
SMOOTHED_OVER_M = 500.0
BAR = 0.26
LEAST_SHOWN = 0.005  # of pedalling time: a gear used less in all rides is left out


def replay_figure(replay: Replay) -> Figure:
    """Profile, speed, and how far the prediction runs ahead or behind, over the kilometres.

    Below, speed by grade, time by cadence, and time by gear.
    """
    lines = lines_of(_told(replay))
    top_in = head_in(lines)
    rows = (("", PROFILE_IN), ("Speed, km/h", SPEED_IN), ("Predicted less recorded, min", AHEAD_IN))
    lower_in = top_in + sum(height + ROW_GAP_IN for _, height in rows)
    figure = new_sheet(lower_in + TITLE_IN + LOWER_IN + FOOT_IN)
    write_head(figure, replace(replay.ride.course, name=replay_title(replay)), lines)
    for title, height_in in rows:
        write_at(figure, left_in=LEFT_IN, top_in=top_in - 0.18, text=title, bold=True)
        axes = axes_at(
            figure,
            left_in=LEFT_IN,
            top_in=top_in,
            width_in=WIDTH_IN - LEFT_IN - EDGE_IN,
            height_in=height_in,
        )
        _draw_row(axes, replay, title)
        top_in += height_in + ROW_GAP_IN
    _draw_lower(figure, replay, lower_in)
    return figure


def _told(replay: Replay) -> str:
    said = (
        f"Recorded (black) {duration(replay.moving_s)} of moving. By learnt pace (orange, dashed) "
        f"{duration(replay.ride.moving_s)}, {error_words(replay.error)}."
    )
    if replay.powered is None:
        return said
    return (
        f"{said} By recorded power (blue, dotted) {duration(replay.powered.moving_s)}, "
        f"{error_words(replay.powered_error)}."
    )


def _draw_row(axes: Axes, replay: Replay, title: str) -> None:
    if not title:
        draw_profile(axes, replay.ride.course)
        return
    rule_kilometres(axes, replay.ride.course.length_m / 1000.0)
    axes.tick_params(labelsize=SMALL_PT, labelcolor=FAINT_INK)
    if title.startswith("Speed"):
        _draw_speed(axes, replay)
    else:
        _draw_ahead(axes, replay)


def _times(replay: Replay) -> list[tuple[Floats, str, str]]:
    """Seconds in each interval with colour and stroke: recorded, by pace, by power."""
    found = [(replay.recorded_s, RECORDED, "-"), (replay.ride.duration_s, PACE, "--")]
    if replay.powered is not None:
        found.append((replay.powered.duration_s, POWER, ":"))
    return found


def _draw_speed(axes: Axes, replay: Replay) -> None:
    course = replay.ride.course
    width = max(1, round(SMOOTHED_OVER_M / course.step_m))
    kernel = np.ones(width)
    length = np.convolve(course.road_length_m, kernel, "same")
    for seconds, colour, stroke in _times(replay):
        smooth_s = np.maximum(np.convolve(seconds, kernel, "same"), 1e-6)
        axes.plot(
            course.distance_m[1:] / 1000.0,
            KMH_PER_MPS * length / smooth_s,
            color=colour,
            linestyle=stroke,
            linewidth=1.1,
        )
    axes.set_ylim(0.0, None)


def _draw_ahead(axes: Axes, replay: Replay) -> None:
    recorded, *predicted = _times(replay)
    axes.axhline(0.0, color=RECORDED, linewidth=0.8)
    for seconds, colour, stroke in predicted:
        axes.plot(
            replay.ride.course.distance_m[1:] / 1000.0,
            np.cumsum(seconds - recorded[0]) / SECONDS_PER_MINUTE,
            color=colour,
            linestyle=stroke,
            linewidth=1.3,
        )


def _draw_lower(figure: Figure, replay: Replay, top_in: float) -> None:
    third_in = (WIDTH_IN - LEFT_IN - EDGE_IN - 2 * BETWEEN_IN) / 3.0
    drawings = (
        ("Speed by grade, km/h", _draw_grades),
        ("Pedalling time by cadence, %", _draw_cadence),
        ("Pedalling time by gear, %", _draw_gears),
    )
    for number, (title, draw) in enumerate(drawings):
        left_in = LEFT_IN + number * (third_in + BETWEEN_IN)
        write_at(figure, left_in=left_in, top_in=top_in, text=title, bold=True)
        axes = axes_at(
            figure, left_in=left_in, top_in=top_in + TITLE_IN, width_in=third_in, height_in=LOWER_IN
        )
        for side in ("top", "right"):
            axes.spines[side].set_visible(False)
        for side in ("left", "bottom"):
            axes.spines[side].set_color(RULE)
        axes.tick_params(labelsize=SMALL_PT, labelcolor=FAINT_INK, color=RULE)
        draw(axes, replay)


def _draw_grades(axes: Axes, replay: Replay) -> None:
    ridden = [one for one in replay.classes if one.length_m > 0.0]
    places = np.arange(len(ridden), dtype=np.float64)
    rows = [
        ([one.recorded_s for one in ridden], RECORDED, None),
        ([one.predicted_s for one in ridden], PACE, "////"),
    ]
    if replay.powered is not None:
        rows.append(([one.powered_s or 0.0 for one in ridden], POWER, "...."))
    for number, (seconds, colour, hatch) in enumerate(rows):
        speed = [KMH_PER_MPS * one.speed_mps(s) for one, s in zip(ridden, seconds, strict=True)]
        axes.bar(
            places + (number - (len(rows) - 1) / 2) * BAR,
            speed,
            width=BAR,
            color=PAPER if hatch else colour,
            edgecolor=colour,
            hatch=hatch,
            linewidth=0.8,
        )
    names = [GRADE_CLASSES[GRADE_CLASSES.index(one.name)].removesuffix(" %") for one in ridden]
    axes.set_xticks(places, [name.replace(" to ", " to\n").replace("r ", "r\n") for name in names])
    axes.set_xlabel("grade %", fontsize=SMALL_PT, color=FAINT_INK)


def _draw_cadence(axes: Axes, replay: Replay) -> None:
    if not replay.gears_found:
        _write_instead(axes, "Not compared: no gears\nwere found.")
        return
    recorded = None if replay.cadence is None else replay.cadence.shares
    powered = None if replay.powered is None else predicted_cadence(replay.powered).shares
    rows = (
        (recorded, RECORDED, "-"),
        (predicted_cadence(replay.ride).shares, PACE, "--"),
        (powered, POWER, ":"),
    )
    for shares, colour, stroke in rows:
        if shares is not None:
            axes.stairs(
                100.0 * shares, CADENCE_EDGES_RPM, color=colour, linestyle=stroke, linewidth=1.3
            )
    axes.set_xlabel("rpm", fontsize=SMALL_PT, color=FAINT_INK)


def _write_instead(axes: Axes, text: str) -> None:
    axes.set_axis_off()
    axes.text(
        0.0, 0.9, text, transform=axes.transAxes, fontsize=SMALL_PT, color=FAINT_INK, va="top"
    )


def _draw_gears(axes: Axes, replay: Replay) -> None:
    use = replay.gear_use
    if use is None:
        _write_instead(axes, "Not compared: no gears were found,\nor no cadence was recorded.")
        return
    rows = [(use.recorded, RECORDED, None), (use.by_pace, PACE, "////")]
    if use.by_power is not None:
        rows.append((use.by_power, POWER, "...."))
    used = np.max([shares for shares, _, _ in rows], axis=0) > LEAST_SHOWN
    places = np.arange(int(used.sum()), dtype=np.float64)
    for number, (shares, colour, hatch) in enumerate(rows):
        axes.barh(
            places + ((len(rows) - 1) / 2 - number) * BAR,
            100.0 * shares[used],
            height=BAR,
            color=PAPER if hatch else colour,
            edgecolor=colour,
            hatch=hatch,
            linewidth=0.8,
        )
    axes.set_yticks(places, [f"{metres:.1f}" for metres in use.development_m[used]])
    axes.set_ylabel("development, m", fontsize=SMALL_PT, color=FAINT_INK)
