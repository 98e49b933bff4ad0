"""What was learnt, number by number, in words that text, plan and picture share."""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.setup.bike import Bike
from gearsim.setup.rider import Rider
from gearsim.studies.learn import Learnt, learnt_bike, learnt_drivetrain, learnt_rider
from gearsim.studies.learn_cadence import CadenceHabits
from gearsim.studies.learn_climbing import ClimbingPower
from gearsim.studies.learn_estimate import Estimate
from gearsim.studies.learn_pace import Pace
from gearsim.studies.learn_resistance import Resistance
from gearsim.units import KMH_PER_MPS


@dataclass(frozen=True, kw_only=True)
class Line:
    """A key of a plan, its value as TOML, and the evidence for it.

    `learnt` is false where the value was told, or is the plan's default.
    """

    key: str
    value: str
    evidence: str
    learnt: bool = True


def between(estimate: Estimate, decimals: int = 0, times: float = 1.0) -> str:
    """The interval as `153 to 201`."""
    low, high = (f"{times * end:.{decimals}f}" for end in (estimate.low, estimate.high))
    return f"{low} to {high}"


def with_interval(estimate: Estimate, unit: str = "", decimals: int = 0, times: float = 1.0) -> str:
    """A value and its interval: `177 W (153 to 201)`."""
    value = f"{times * estimate.value:.{decimals}f}"
    unit = f" {unit}" if unit else ""
    return f"{value}{unit} ({between(estimate, decimals, times)})"


def rider_lines(learnt: Learnt) -> tuple[Line, ...]:
    """What a plan's [rider] gets."""
    rider = learnt_rider(learnt)
    told = learnt.given.rider_mass_kg is not None
    mass = Line(
        key="mass_kg",
        value=f"{rider.mass_kg:g}",
        evidence="as told" if told else "not told: the plan's default",
        learnt=False,
    )
    return (mass, *_power_lines(learnt, rider), *_cadence_lines(learnt))


def _power_lines(learnt: Learnt, rider: Rider) -> list[Line]:
    pace, climbing = learnt.pace, learnt.climbing
    lines: list[Line] = []
    if isinstance(pace, Pace):
        power = pace.flat_w
        told = f"on the flat {between(power)} W; {power.evidence}"
        lines.append(Line(key="power_w", value=f"{rider.power_w:g}", evidence=told))
        for key in ("uphill_factor", "downhill_factor"):
            factor = getattr(pace, key)
            if isinstance(factor, Estimate):
                told = f"{between(factor, 2)}; from {100 * rider.full_effect_grade:g} % of grade on"
                lines.append(Line(key=key, value=f"{getattr(rider, key):g}", evidence=told))
        if isinstance(pace.stop_pedalling_mps, Estimate):
            lines.append(_speed_line("stop_pedalling_kmh", pace.stop_pedalling_mps))
        if rider.critical_power_w is not None:
            told = f"at least: {learnt.long_effort_w:.0f} W were held for 20 min, less the reserve"
            lines.append(
                Line(key="critical_power_w", value=f"{rider.critical_power_w:g}", evidence=told)
            )
    elif isinstance(climbing, ClimbingPower):
        told = (
            f"{with_interval(climbing.power_w, 'W')} on climbs, over the default uphill factor "
            f"{rider.uphill_factor:g}; {climbing.power_w.evidence}"
        )
        lines.append(Line(key="power_w", value=f"{rider.power_w:g}", evidence=told))
    if isinstance(learnt.descending_mps, Estimate):
        lines.append(_speed_line("descending_kmh", learnt.descending_mps))
    return lines


def _speed_line(key: str, speed_mps: Estimate) -> Line:
    told = f"{between(speed_mps, times=KMH_PER_MPS)} km/h; {speed_mps.evidence}"
    return Line(key=key, value=f"{KMH_PER_MPS * speed_mps.value:.0f}", evidence=told)


def _cadence_lines(learnt: Learnt) -> list[Line]:
    habits = learnt.cadence
    if not isinstance(habits, CadenceHabits):
        return []
    limits, target, band = habits.rounded
    middle = f"{between(habits.target_rpm)} rpm; the median; {habits.target_rpm.evidence}"
    ends = [f"{between(end)}" for end in (*habits.band_rpm, *habits.limits_rpm)]
    return [
        Line(key="target_cadence_rpm", value=str(target), evidence=middle),
        Line(
            key="band_rpm",
            value=f"[{band[0]}, {band[1]}]",
            evidence=f"{ends[0]} and {ends[1]} rpm; 70 % of steady pedalling lies inside",
        ),
        Line(
            key="limits_rpm",
            value=f"[{limits[0]}, {limits[1]}]",
            evidence=f"used: {habits.limits_rpm[0].value:.0f} to {habits.limits_rpm[1].value:.0f} "
            "rpm in 98 % of steady pedalling; the default where wider, since what was not used may "
            "still be possible",
        ),
    ]


def bike_lines(learnt: Learnt) -> tuple[Line, ...]:
    """What a plan's [bike] gets."""
    bike = learnt_bike(learnt)
    told = learnt.given.bike_mass_kg is not None
    lines = [
        Line(
            key="mass_kg",
            value=f"{bike.mass_kg:g}",
            evidence="as told" if told else "not told: the plan's default",
            learnt=False,
        )
    ]
    if isinstance(learnt.resistance, Resistance):
        lines += _resistance_lines(learnt, learnt.resistance, bike)
    if bike.tyre_mm != Bike().tyre_mm:
        matched = learnt.believed_parts is not None
        circumference = f"a circumference of {1000 * bike.circumference_m:.0f} mm"
        told_by = "goes with the gears matched" if matched else "as told"
        lines.append(
            Line(
                key="tyre_mm",
                value=f"{bike.tyre_mm:g}",
                evidence=f"on the default rim: {circumference}, which {told_by}",
            )
        )
    return tuple(lines)


def _resistance_lines(learnt: Learnt, found: Resistance, bike: Bike) -> list[Line]:
    drag, rolling = found.drag_area_m2, found.rolling_coefficient
    given = learnt.given
    return [
        Line(
            key="drag_area_m2",
            value=f"{bike.drag_area_m2:g}",
            evidence=f"{between(drag, 3)} m²; {drag.evidence}; widened most by {found.widened_by}",
        ),
        Line(
            key="tyre_rolling_factor",
            value=f"{bike.tyre_rolling_factor:g}",
            evidence=f"rolling coefficient {with_interval(rolling, decimals=4)} over "
            f"{given.rolling_coefficient:g} of {given.surface}",
        ),
    ]


def drivetrain_lines(learnt: Learnt) -> tuple[Line, ...]:
    """What a plan's [[drivetrain]] gets; empty where no pair of parts is believed."""
    drivetrain, parts = learnt_drivetrain(learnt), learnt.believed_parts
    if drivetrain is None or parts is None or not hasattr(learnt.gears, "gears"):
        return ()
    seen = len(learnt.gears.gears)
    rings = ", ".join(str(teeth) for teeth in drivetrain.chainrings)
    rears = ", ".join(str(teeth) for teeth in drivetrain.sprockets)
    clear = "the clear choice" if learnt.parts_clear else "one of several that would do"
    return (
        Line(key="name", value='"as learnt"', evidence=clear),
        Line(
            key="chainrings",
            value=f"[{rings}]",
            evidence=f"{parts.found} of {seen} gears seen lie within 1 % of its own",
        ),
        Line(
            key="sprockets",
            value=f"[{rears}]",
            evidence=f"chance among all pairs of the parts list {100 * parts.chance:.0f} %",
        ),
    )
