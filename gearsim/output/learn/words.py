"""What was learnt of the rider, number by number, in words that text, plan and picture share."""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.output.words import share
from gearsim.setup.rider import Rider
from gearsim.studies.learn.cadence import CadenceHabits
from gearsim.studies.learn.climbing import ClimbingPower
from gearsim.studies.learn.estimate import Estimate
from gearsim.studies.learn.learn import RIDER_SPREAD_KG, Learnt
from gearsim.studies.learn.pace import Pace
from gearsim.studies.learn.setup import learnt_rider
from gearsim.units import KMH_PER_MPS


@dataclass(frozen=True, kw_only=True)
class Line:
    """A key of a plan, its value as TOML, and the evidence for it.

    `learnt` is false where the value was told, or is the plan's default.  `left_out` says why the
    plan does not get the key, empty where it does.
    """

    key: str
    value: str
    evidence: str
    learnt: bool = True
    left_out: str = ""


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
    mass = mass_line(rider.mass_kg, told=told, spread_kg=RIDER_SPREAD_KG)
    return (mass, *_power_lines(learnt, rider), *_cadence_lines(learnt))


def mass_line(mass_kg: float, *, told: bool, spread_kg: float) -> Line:
    """The mass of rider or bike: told, or assumed with its spread."""
    assumed = f"not told: the plan's default, give or take {spread_kg:g} kg"
    return Line(
        key="mass_kg",
        value=f"{mass_kg:g}",
        evidence="as told" if told else assumed,
        learnt=False,
    )


def climb_words(climbing: ClimbingPower) -> str:
    """Power on climbs from the forces, against the recorded, a sentence or two."""
    said = (
        f"On climbs, from weight and forces alone: {with_interval(climbing.power_w, 'W')}, "
        f"{share(climbing.air_share)} of it against the air; {climbing.power_w.evidence}."
    )
    if climbing.asked_kg is None:
        return said
    recorded = f"{said} The power meter says {climbing.recorded_w:.0f} W there"
    if climbing.contradicted:
        return f"{recorded}."
    return f"{recorded}; the forces ask for that at {_asked(climbing.asked_kg)}."


def mass_doubt_words(learnt: Learnt) -> str:
    """What power recorded on climbs says against the mass gone by, a sentence; empty if nothing."""
    climbing = learnt.climbing
    if not isinstance(climbing, ClimbingPower) or climbing.asked_kg is None:
        return ""
    if not climbing.contradicted:
        return ""
    remedy = "check the masses that you told, --surface and the power meter"
    if learnt.given.mass_assumed:
        remedy = "tell --rider-mass and --bike-mass, or --surface"
    return (
        f"The forces ask for the {climbing.recorded_w:.0f} W recorded on climbs only at "
        f"{_asked(climbing.asked_kg)}, not at {climbing.mass_kg:g} kg: {remedy}."
    )


def _asked(asked_kg: Estimate) -> str:
    return f"about {asked_kg.value:.0f} kg in all ({between(asked_kg)})"


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
