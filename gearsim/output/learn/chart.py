"""The picture of what was learnt: gears as piles of held time, the power balance, habits."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from gearsim.course.climbs import total_climb_m
from gearsim.output.drawing.sheet import (
    EDGE_IN,
    FACTS_IN,
    LINE_IN,
    WIDTH_IN,
    axes_at,
    head_in,
    lines_of,
    new_sheet,
    write_at,
)
from gearsim.output.drawing.sheet import TITLE_IN as HEAD_IN
from gearsim.output.drawing.style import (
    FAINT_INK,
    GROUND,
    INK,
    PAPER,
    RULE,
    SMALL_PT,
    TITLE_PT,
    fitted,
    legible,
)
from gearsim.output.learn.names import names_of, some_of
from gearsim.output.learn.words import mass_doubt_words, with_interval
from gearsim.output.words import duration, shorten
from gearsim.studies.learn.cadence import CadenceHabits
from gearsim.studies.learn.estimate import Refusal
from gearsim.studies.learn.gears import SeenGears
from gearsim.studies.learn.learn import Learnt
from gearsim.studies.learn.parts import PartsMatch
from gearsim.studies.learn.resistance import Resistance

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Floats = NDArray[np.float64]

ACCENT = "#2b5c4b"
PALE_ACCENT = "#a9c2b8"
LEFT_IN = 0.95
TITLE_IN, PILES_IN, COMBS_IN, GAP_IN = 0.28, 2.1, 1.15, 0.62
LOWER_IN, FOOT_IN, BETWEEN_IN = 2.9, 0.55, 0.95
PILE_STEP = 0.004  # ln development
MOST_COMBS = 3
PAIR_LETTERS = 60
NEAR_SHARE = 0.10  # the band beside the line of agreement


def learnt_figure(learnt: Learnt) -> Figure:
    """The gears seen, as piles of held time by development, and the parts that have them.

    Below, the recorded power against the power that the forces explain, and time by cadence.
    """
    lines = lines_of(_told(learnt))
    top_in = head_in(lines)
    lower_in = top_in + TITLE_IN + PILES_IN + COMBS_IN + GAP_IN
    figure = new_sheet(lower_in + TITLE_IN + LOWER_IN + FOOT_IN)
    _write_head(figure, learnt, lines)
    write_at(figure, left_in=EDGE_IN, top_in=top_in, text="Time held by development", bold=True)
    along_in = WIDTH_IN - LEFT_IN - EDGE_IN
    piles = axes_at(
        figure, left_in=LEFT_IN, top_in=top_in + TITLE_IN, width_in=along_in, height_in=PILES_IN
    )
    combs = axes_at(
        figure,
        left_in=LEFT_IN,
        top_in=top_in + TITLE_IN + PILES_IN,
        width_in=along_in,
        height_in=COMBS_IN,
    )
    _draw_gears(piles, combs, learnt)
    half_in = (along_in - BETWEEN_IN) / 2.0
    titles = ("Power: recorded against explained, 30 s each", "Pedalling time by cadence")
    for number, (title, draw) in enumerate(
        zip(titles, (_draw_balance, _draw_cadence), strict=True)
    ):
        left_in = LEFT_IN + number * (half_in + BETWEEN_IN)
        write_at(figure, left_in=left_in, top_in=lower_in, text=title, bold=True)
        draw(
            axes_at(
                figure,
                left_in=left_in,
                top_in=lower_in + TITLE_IN,
                width_in=half_in,
                height_in=LOWER_IN,
            ),
            learnt,
        )
    return figure


def _write_head(figure: Figure, learnt: Learnt, lines: list[str]) -> None:
    """Which rides taught, how far they went together, and the lines under them."""
    top = 1.0 - 0.14 / figure.get_figheight()
    title = legible(f"Learnt from {some_of(names_of(learnt.recordings))}")
    figure.text(
        EDGE_IN / WIDTH_IN,
        top,
        fitted(title, WIDTH_IN - 2 * EDGE_IN - FACTS_IN, TITLE_PT, bold=True),
        fontsize=TITLE_PT,
        fontweight="bold",
        color=INK,
        va="top",
        parse_math=False,
    )
    km = sum(recording.course.length_m for recording in learnt.recordings) / 1000.0
    climb_m = sum(total_climb_m(recording.course) for recording in learnt.recordings)
    facts = f"{km:.1f} km, {climb_m:.0f} m up"
    figure.text(
        1.0 - EDGE_IN / WIDTH_IN, top, facts, fontsize=TITLE_PT, color=INK, ha="right", va="top"
    )
    for number, line in enumerate(lines):
        write_at(figure, left_in=EDGE_IN, top_in=HEAD_IN + LINE_IN * number, text=line)


def _told(learnt: Learnt) -> str:
    moving_s = sum(recording.moving_s for recording in learnt.recordings)
    stops = sum(len(recording.stops) for recording in learnt.recordings)
    said = [f"Moving {duration(moving_s)}, {stops} stop{'' if stops == 1 else 's'}."]
    if isinstance(learnt.resistance, Resistance):
        found = learnt.resistance
        drag = with_interval(found.drag_area_m2, "m²", 2)
        rolling = with_interval(found.rolling_coefficient, decimals=4)
        doubted = ": not plausible, left out of the plan" if learnt.doubts else ""
        said.append(f"Drag area {drag}, rolling coefficient {rolling}{doubted}.")
    if not isinstance(learnt.climbing, Refusal):
        power = with_interval(learnt.climbing.power_w, "W")
        said.append(f"On climbs, from weight and forces alone, {power}.")
        said.append(mass_doubt_words(learnt))
    said.append("In brackets: intervals that hold the truth nine times in ten.")
    return " ".join(words for words in said if words)


def _plain(axes: Axes) -> None:
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        axes.spines[side].set_color(RULE)
    axes.tick_params(labelsize=SMALL_PT, labelcolor=FAINT_INK, color=RULE)


def _say_nothing(axes: Axes, why: str) -> None:
    """An empty drawing that says why it is empty."""
    axes.set_axis_off()
    axes.text(
        0.0,
        0.85,
        f"Not learnt: {legible(why)}.",
        transform=axes.transAxes,
        fontsize=SMALL_PT,
        color=FAINT_INK,
        wrap=True,
        parse_math=False,
    )


def _draw_gears(piles: Axes, combs: Axes, learnt: Learnt) -> None:
    if not isinstance(learnt.gears, SeenGears):
        _say_nothing(piles, learnt.gears.why)
        combs.set_axis_off()
        return
    seen = learnt.gears
    log_m = np.log(seen.held_m)
    ends = (float(log_m.min()) - 0.06, float(log_m.max()) + 0.06)
    _draw_piles(piles, seen, log_m, ends)
    _draw_combs(combs, seen, learnt.parts[:MOST_COMBS], ends)


def _draw_piles(axes: Axes, seen: SeenGears, log_m: Floats, ends: tuple[float, float]) -> None:
    """Seconds held at each development; the seen gears dark, named above their piles."""
    edges = np.arange(ends[0], ends[1], PILE_STEP)
    seconds = np.histogram(log_m, bins=edges)[0]
    axes.bar(edges[:-1], seconds, width=PILE_STEP, align="edge", color=PALE_ACCENT, linewidth=0)
    top = float(seconds.max())
    for number, gear in enumerate(seen.gears):
        place = float(np.log(gear.development_m.value))
        raised = 1.07 if number % 2 == 0 else 1.2
        axes.plot([place, place], [0.0, top * (raised - 0.02)], color=ACCENT, linewidth=0.8)
        axes.text(
            place,
            top * raised,
            f"{gear.development_m.value:.2f}" + ("" if gear.sure else " ?"),
            fontsize=SMALL_PT,
            color=INK,
            ha="center",
        )
    axes.set_xlim(ends)
    axes.set_ylim(0.0, 1.32 * top)
    axes.set_xticks([])
    axes.set_ylabel("seconds", fontsize=SMALL_PT, color=FAINT_INK)
    _plain(axes)


def _draw_combs(
    axes: Axes, seen: SeenGears, pairs: tuple[PartsMatch, ...], ends: tuple[float, float]
) -> None:
    """The gears of the likeliest pairs as teeth of combs under the piles, a comb a pair."""
    for gear in seen.gears:
        axes.axvline(float(np.log(gear.development_m.value)), color=PALE_ACCENT, linewidth=0.8)
    for number, match in enumerate(pairs):
        ratios = np.array(match.chainset.chainrings)[:, None] / np.array(match.cassette.sprockets)
        teeth = np.log(match.circumference_m * ratios.ravel())
        teeth = teeth[(teeth > ends[0]) & (teeth < ends[1])]
        axes.vlines(teeth, -number - 0.42, -number - 0.12, color=INK, linewidth=1.2)
        axes.hlines(-number - 0.12, ends[0], ends[1], color=INK, linewidth=0.5)
        rings = "-".join(str(ring) for ring in match.chainset.chainrings)
        rears = ", ".join(str(rear) for rear in match.cassette.sprockets)
        told = f"{rings} × {rears}; wheel {1000 * match.circumference_m:.0f} mm"
        axes.text(
            ends[0],
            -number - 0.5,
            shorten(f"{told}; chance {100 * match.chance:.0f} %", 2 * PAIR_LETTERS),
            fontsize=SMALL_PT,
            color=INK,
            va="top",
            bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.8},
            parse_math=False,
        )
    axes.set_ylim(-max(len(pairs), 1) + 0.1, 0.05)
    axes.set_xlim(ends)
    axes.set_yticks([])
    metres = np.array([1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5, 6, 7, 8, 9, 10])
    metres = metres[(np.log(metres) > ends[0]) & (np.log(metres) < ends[1])]
    axes.set_xticks(np.log(metres), [f"{m:g}" for m in metres])
    axes.set_xlabel("development: metres a turn of the cranks", fontsize=SMALL_PT, color=FAINT_INK)
    _plain(axes)
    axes.spines["left"].set_visible(False)


def _draw_balance(axes: Axes, learnt: Learnt) -> None:
    """A dot a window; on the line the forces explain all that was recorded."""
    if not isinstance(learnt.resistance, Resistance):
        _say_nothing(axes, learnt.resistance.why)
        return
    found = learnt.resistance
    most = 1.05 * float(max(found.explained_w.max(), found.windows.power_w.max()))
    line = np.array([0.0, most])
    axes.fill_between(
        line, (1.0 - NEAR_SHARE) * line, (1.0 + NEAR_SHARE) * line, color=GROUND, linewidth=0
    )
    axes.plot(line, line, color=FAINT_INK, linewidth=0.8)
    speed = found.windows.speed_mps.mean(axis=1)
    fast = speed > np.median(speed)
    for chosen, filling, name in ((~fast, PAPER, "slower half"), (fast, ACCENT, "faster half")):
        axes.plot(
            found.explained_w[chosen],
            found.windows.power_w[chosen],
            linestyle="none",
            marker="o",
            markersize=3.6,
            markerfacecolor=filling,
            markeredgecolor=ACCENT,
            markeredgewidth=0.7,
            label=name,
        )
    axes.set_xlim(0.0, most)
    axes.set_ylim(0.0, most)
    axes.set_xlabel("explained by the forces, W", fontsize=SMALL_PT, color=FAINT_INK)
    axes.set_ylabel("recorded, W", fontsize=SMALL_PT, color=FAINT_INK)
    axes.legend(fontsize=SMALL_PT, frameon=False, loc="upper left", labelcolor=FAINT_INK)
    axes.text(
        0.98,
        0.03,
        "shade: within 10 %",
        transform=axes.transAxes,
        ha="right",
        fontsize=SMALL_PT,
        color=FAINT_INK,
    )
    _plain(axes)


def _draw_cadence(axes: Axes, learnt: Learnt) -> None:
    """Minutes at each cadence, the band shaded under them, the limits and the target ruled."""
    if not isinstance(learnt.cadence, CadenceHabits):
        _say_nothing(axes, learnt.cadence.why)
        return
    habits = learnt.cadence
    limits, target, band = habits.rounded
    edges = np.arange(min(limits[0] - 10, 40), limits[1] + 12, 2.0) - 0.5
    minutes = np.histogram(habits.pedalling_rpm, bins=edges)[0] / 60.0
    axes.axvspan(band[0], band[1], color=GROUND, linewidth=0)
    axes.stairs(minutes, edges, fill=True, color=PALE_ACCENT)
    axes.stairs(minutes, edges, color=ACCENT, linewidth=0.8)
    top = 1.2 * float(minutes.max())
    for place, name in ((limits[0], "limit"), (target, "target"), (limits[1], "limit")):
        axes.plot(
            [place, place], [0.0, 0.93 * top], color=INK, linewidth=0.8, linestyle=(0, (4, 2))
        )
        axes.text(
            place,
            0.95 * top,
            f"{name}\n{place}",
            fontsize=SMALL_PT,
            color=INK,
            ha="center",
            va="bottom",
        )
    axes.set_ylim(0.0, 1.1 * top)
    axes.set_xlim(edges[0], edges[-1])
    axes.set_xlabel("rpm; shaded: the band", fontsize=SMALL_PT, color=FAINT_INK)
    axes.set_ylabel("minutes", fontsize=SMALL_PT, color=FAINT_INK)
    _plain(axes)
