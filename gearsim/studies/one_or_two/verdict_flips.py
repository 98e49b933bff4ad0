"""What would change the verdict between one ring and two, and by how much, found by riding it.

For each of a few inputs the best drivetrain with one ring and the best with two are looked for
again at values on both sides of the plan's own, and where the other begins to win, bisection finds
the value.  Both sides may change their gears: it is the choice that is weighed, not one pair.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from gearsim.errors import PlanError
from gearsim.setup.athlete import at_power
from gearsim.setup.possible import RIDING_W
from gearsim.studies.one_or_two.contender import RINGS, Contender, Setting, best_first
from gearsim.studies.one_or_two.lever_curve import Lever, LeverCurve, Standing, Turn
from gearsim.studies.over_cores import over_cores

Floats = NDArray[np.float64]
Done = Callable[[], None]

STEPS = 5  # values looked at on either side of the plan's own
SHORTLIST = 12  # drivetrains of either side that are ridden at each value, and the roomiest

POWER_FACTORS = (0.5, 2.0)
CADENCE_RPM = 20.0  # to both sides, as far as the limits leave room for the band
INSIDE_LIMITS_RPM = 1.0
LOAD_KG = (-5.0, 30.0)
TYRE_MM = (25.0, 60.0)
LIGHTEST_BIKE_KG = 3.0
"""How far is searched: judgement."""


KNOWN_TO = {Lever.CADENCE: 0.5, Lever.LOAD: 0.25, Lever.TYRE: 0.5}
POWER_KNOWN_TO = 0.01
"""How exactly a value is found: rpm, kg, mm; of power, a share of the rider's own."""


def changed(setting: Setting, lever: Lever, value: float) -> Setting:
    """The setting with one thing changed.

    All the rider's powers go in proportion; the band moves along with the target cadence, the
    limits do not; load is added to the bike; another tyre changes the wheel's size, not how it
    rolls.
    """
    rider, bike = setting.rider, setting.bike
    if lever is Lever.POWER:
        return replace(setting, rider=at_power(rider, value))
    if lever is Lever.CADENCE:
        low, high = (edge + value - rider.target_cadence_rpm for edge in rider.band_rpm)
        moved = replace(rider, target_cadence_rpm=value, band_rpm=(low, high))
        return replace(setting, rider=moved)
    if lever is Lever.LOAD:
        return replace(setting, bike=replace(bike, mass_kg=bike.mass_kg + value))
    return replace(setting, bike=replace(bike, tyre_mm=value))


def span(setting: Setting, lever: Lever, contenders: Sequence[Contender]) -> tuple[float, ...]:
    """The least value looked at, the plan's own, and the largest."""
    rider, bike = setting.rider, setting.bike
    if lever is Lever.POWER:
        low, high = (times * rider.power_w for times in POWER_FACTORS)
        return max(low, RIDING_W[0]), rider.power_w, min(high, RIDING_W[1])
    if lever is Lever.CADENCE:
        own, (low_limit, high_limit) = rider.target_cadence_rpm, rider.limits_rpm
        down = min(CADENCE_RPM, rider.band_rpm[0] - low_limit - INSIDE_LIMITS_RPM)
        up = min(CADENCE_RPM, high_limit - rider.band_rpm[1] - INSIDE_LIMITS_RPM)
        return own - max(down, 0.0), own, own + max(up, 0.0)
    if lever is Lever.LOAD:
        lightest = min(0.0, LIGHTEST_BIKE_KG - bike.mass_kg)
        return max(LOAD_KG[0], lightest), 0.0, LOAD_KG[1]
    rooms = [each.room.widest_mm for each in contenders]
    widest = TYRE_MM[1] if None in rooms else max(room or 0.0 for room in rooms)
    return min(TYRE_MM[0], bike.tyre_mm), bike.tyre_mm, max(widest, bike.tyre_mm)


def shortlist(contenders: Sequence[Contender], rings: int) -> tuple[Contender, ...]:
    """Drivetrains with so many chainrings that may be the best elsewhere, the best now first.

    Another rider, load or wheel wants the gears shifted up or down.  So those are kept that no
    other with less mismatch reaches as low as and as high as; of many, some that are spread evenly
    from low to high gears, both ends and the best among them.  And the best of those with the most
    room for a tyre.
    """
    ranked = best_first(contenders, rings)
    kept: list[Contender] = []
    for each in ranked:
        if not any(_reaches_as_far(better, each) for better in kept):
            kept.append(each)
    low_to_high = sorted(kept, key=_middle)
    spread = np.linspace(0, len(kept) - 1, min(SHORTLIST, len(kept))).round().astype(int)
    roomiest = max(ranked, key=lambda each: each.room.widest_mm or math.inf)
    stays = [ranked[0], roomiest, *(low_to_high[place] for place in spread.tolist())]
    return tuple(each for each in ranked if any(each is other for other in stays))


def _reaches_as_far(contender: Contender, other: Contender) -> bool:
    """Whether its gears go as low and as high as the other's."""
    ours, theirs = contender.drivetrain.gear_ratios, other.drivetrain.gear_ratios
    return ours[0] >= theirs[0] and ours[-1] <= theirs[-1]


def _middle(contender: Contender) -> float:
    ratios = contender.drivetrain.gear_ratios
    return 0.5 * math.log(ratios[0] * ratios[-1])


def flips(
    setting: Setting,
    contenders: Sequence[Contender],
    *,
    workers: int | None = None,
    done: Done | None = None,
) -> tuple[LeverCurve, ...]:
    """How the two sides stand as each lever is changed, and where the other begins to win.

    `done` is called after each of the `values_of` looked at; the bisections come after them.
    """
    listed = {rings: shortlist(contenders, rings) for rings in RINGS}
    tried = [*listed[1], *listed[2]]
    own = _standing([(each, each.mismatch) for each in tried], math.nan)
    jobs = values_of(setting, contenders)

    def at(job: tuple[Lever, float]) -> Standing:
        return standing_at(setting, tried, *job)

    found = dict(zip(jobs, over_cores(at, jobs, workers=workers, done=done), strict=True))
    curves = [
        _curve(setting, contenders, lever, own, [s for (of, _), s in found.items() if of is lever])
        for lever in Lever
    ]

    def solved(job: tuple[LeverCurve, bool]) -> Turn | None:
        curve, upwards = job
        return _turn(setting, tried, curve, upwards=upwards)

    both = [(curve, upwards) for curve in curves for upwards in (False, True)]
    turns = over_cores(solved, both, workers=workers)
    return tuple(
        replace(curve, down=turns[2 * n], up=turns[2 * n + 1]) for n, curve in enumerate(curves)
    )


def values_of(setting: Setting, contenders: Sequence[Contender]) -> list[tuple[Lever, float]]:
    """Every lever with every value that is looked at, but for the plan's own."""
    found = []
    for lever in Lever:
        low, own, high = span(setting, lever, contenders)
        spaced = np.geomspace if lever is Lever.POWER else np.linspace
        for end in (low, high):
            if end != own:
                found += [(lever, float(each)) for each in spaced(own, end, STEPS + 1)[1:]]
    return found


def standing_at(
    setting: Setting, tried: Sequence[Contender], lever: Lever, value: float
) -> Standing:
    """How the two sides stand with one thing changed: every drivetrain with room for it ridden."""
    there = changed(setting, lever, value)
    roomy = [each for each in tried if lever is not Lever.TYRE or _has_room(each, value)]
    return _standing([(each, _mismatch(there, each)) for each in roomy], value)


def _has_room(contender: Contender, tyre_mm: float) -> bool:
    widest_mm = contender.room.widest_mm
    return widest_mm is None or tyre_mm <= widest_mm


def _mismatch(setting: Setting, contender: Contender) -> float:
    try:
        return setting.outcome(contender.drivetrain).score.mismatch
    except PlanError:  # no such ride: no help to the side that it is on
        return math.inf


def _standing(scored: Sequence[tuple[Contender, float]], value: float) -> Standing:
    best: dict[int, tuple[float, Contender | None]] = {}
    for rings in RINGS:
        of_these = [
            (mismatch, n) for n, (each, mismatch) in enumerate(scored) if each.rings == rings
        ]
        least, place = min(of_these, default=(math.inf, -1))
        best[rings] = least, scored[place][0] if math.isfinite(least) else None
    return Standing(
        value=value, one=best[1][0], two=best[2][0], one_best=best[1][1], two_best=best[2][1]
    )


def _curve(
    setting: Setting,
    contenders: Sequence[Contender],
    lever: Lever,
    own: Standing,
    found: Sequence[Standing],
) -> LeverCurve:
    value = span(setting, lever, contenders)[1]
    standings = sorted([replace(own, value=value), *found], key=lambda each: each.value)
    return LeverCurve(lever=lever, own=value, standings=tuple(standings), down=None, up=None)


def _turn(
    setting: Setting, tried: Sequence[Contender], curve: LeverCurve, *, upwards: bool
) -> Turn | None:
    """The first turn on one side, bisected between the last value without and the first with it."""
    two_wins = curve.own_standing.two_wins
    side = [
        each
        for each in (curve.standings if upwards else reversed(curve.standings))
        if (each.value - curve.own) * (1.0 if upwards else -1.0) >= 0.0
    ]
    turned = next((n for n, each in enumerate(side) if _turned(each, two_wins)), None)
    if turned is None:
        return None
    near, far = side[turned - 1], side[turned]
    known_to = KNOWN_TO.get(curve.lever, POWER_KNOWN_TO * curve.own)
    while abs(far.value - near.value) > known_to:
        middle = standing_at(setting, tried, curve.lever, 0.5 * (near.value + far.value))
        near, far = (near, middle) if _turned(middle, two_wins) else (middle, far)
    loser, rings = (far.two, 2) if two_wins else (far.one, 1)
    if curve.lever is Lever.TYRE and math.isinf(loser):
        rooms = [each.room.widest_mm or 0.0 for each in tried if each.rings == rings]
        return Turn(standing=replace(far, value=max(rooms)), by_room=True)
    return Turn(standing=far, by_room=False)


def _turned(standing: Standing, two_win_now: bool) -> bool:
    return standing.one < standing.two if two_win_now else standing.two < standing.one
