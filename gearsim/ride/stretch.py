"""One interval ridden, compiled: what limits the rider on it, and what comes of it.

The pace, the high limit in the gear, what the rider dares, the low limit in the lowest gear: then
harder on the reserve, and on foot where reserve or strength do not suffice.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from gearsim.physics import reserve, walking
from gearsim.ride.compiler import inlined, part
from gearsim.ride.interval import (
    SLOWEST_MPS,
    Interval,
    duration_s,
    end_speed_mps,
    end_weight,
    needed_wheel_w,
    resisting_n,
    rest_factor,
)

PEDALLING, BELOW_LOWEST_GEAR, WALKING, SPUN_OUT, COASTING = range(5)
"""The modes: what limits the rider on an interval, as the kernel tells it."""

SPENT_J = 1.0  # a reserve that drains to less is empty
SHIFTING_FROM_MPS = 1.5  # slower, the rider shifts without easing off
SHARE_OF_INTERVAL_FOR_SHIFTING = 0.5
reserve_after_j = part(reserve.reserve_after_j)
tobler_speed_mps: Any = part(walking.tobler_speed_mps)


class Body(NamedTuple):
    """Rider and bike as numbers."""

    mass_kg: float  # with the wheels' inertia
    bearing_factor: float
    power_w: float
    critical_w: float
    largest_w: float
    reserve_j: float
    low_rpm: float  # limits of cadence, and edges of the band between them
    low_edge_rpm: float
    high_edge_rpm: float
    high_rpm: float
    stop_pedalling_mps: float
    slowest_riding_mps: float
    pushing_factor: float  # speed with the bike over that of a walker without (judgement)
    remount_s: float
    remount_intervals: int  # rideable intervals ahead before the rider gets on again
    rear_shift_s: float
    front_shift_s: float


class Stretch(NamedTuple):
    """One interval of the road, and how it is entered."""

    length_m: float
    resistance_n: float
    head_wind_mps: float
    air_factor_kgpm: float
    wanted_w: float
    grade: float
    bound_mps: float  # at its end
    start_mps: float
    guess_mps: float  # of the speed at its end
    reserve_j: float
    shift_left_s: float
    on_foot: bool


class Gear(NamedTuple):
    """One gear as numbers."""

    share: float  # of pedalling power that is not lost in proportion to it
    drag_n: float
    bound_mps: float  # speed at the high limit of cadence
    highest: bool


class Outcome(NamedTuple):
    """What came of one interval."""

    mode: int
    interval: Interval
    end_mps: float
    power_w: float  # mean at the cranks
    shift_left_s: float
    carried_m: float  # of a walked one: ridden before the rider gets off
    carried_s: float
    carried_j: float  # of the reserve, spent on that


@inlined
def from_end_to_end(
    mode: int, interval: Interval, end_mps: float, power_w: float, shift_left_s: float
) -> Outcome:
    """What came of an interval that was all ridden, or all walked."""
    return Outcome(mode, interval, end_mps, power_w, shift_left_s, 0.0, 0.0, 0.0)


@inlined
def ending_interval_of(stretch: Stretch, drag_n: float, body: Body) -> Interval:
    """The stretch as an interval with its whole weight on the end."""
    return Interval(
        stretch.length_m,
        stretch.resistance_n + drag_n,
        stretch.head_wind_mps,
        stretch.air_factor_kgpm,
        body.mass_kg,
        body.bearing_factor,
        stretch.start_mps,
        stretch.guess_mps,
        1.0,
        1.0,
    )


@inlined
def interval_of(stretch: Stretch, drive_w: float, drag_n: float, body: Body) -> Interval:
    """The stretch as an interval weighted for power D at the wheel."""
    plain = ending_interval_of(stretch, drag_n, body)
    if stretch.start_mps < SLOWEST_MPS:
        return with_weight(plain, 1.0, rest_factor(plain, drive_w))
    weight = end_weight(plain, drive_w)
    if drive_w <= 0.0:
        weight = max(weight, rolling_weight(plain))
    return with_weight(plain, weight, 1.0)


@inlined
def with_weight(given: Interval, weight: float, rest_factor: float) -> Interval:
    """The interval with another weight of its end, and another time from rest."""
    length, steady_n, wind = given.length_m, given.steady_n, given.head_wind_mps
    air, mass, bearing = given.air_factor_kgpm, given.mass_kg, given.bearing_factor
    start, guess = given.start_mps, given.guess_mps
    return Interval(length, steady_n, wind, air, mass, bearing, start, guess, weight, rest_factor)


@part
def rolling_weight(interval: Interval) -> float:
    """Weight of the end that gives the time of constant acceleration without drive.

    0 where nothing pulls: then the weight of the energy equation serves.
    """
    pull_n = -resisting_n(interval, interval.start_mps)
    if pull_n <= 0.0:
        return 0.0
    gained = 2.0 * interval.length_m * pull_n / interval.mass_kg
    reached_mps: float = (interval.start_mps**2 + gained) ** 0.5
    return reached_mps / (interval.start_mps + reached_mps)


@part
def holding_power_w(stretch: Stretch, speed_mps: float, low: Gear, body: Body) -> float:
    """Power at the cranks that holds a speed in the lowest gear, W."""
    interval = ending_interval_of(stretch, low.drag_n, body)
    return resisting_n(interval, speed_mps) * speed_mps / low.share


@inlined
def wanted_now_w(stretch: Stretch, body: Body) -> float:
    """Power wanted, W: the pace's, above critical power no more than the reserve has in it."""
    wanted, critical = stretch.wanted_w, body.critical_w
    if wanted <= critical:
        return wanted
    # On the safe side: as long as at the slower of its ends, so that nothing is spent on credit.
    slower_mps = min(max(stretch.start_mps, 1.0), stretch.guess_mps)
    return min(wanted, critical + stretch.reserve_j * slower_mps / stretch.length_m)


@inlined
def pedal(stretch: Stretch, gear: Gear, body: Body) -> Outcome:
    """The stretch at wanted power, less where speed or cadence is at a bound."""
    wanted, left = wanted_now_w(stretch, body), stretch.shift_left_s
    if wanted <= 0.0:
        return coast(stretch, gear, body)
    drive = wanted * gear.share
    interval = interval_of(stretch, drive, gear.drag_n, body)
    shifting = 0.0
    if left > 0.0 and stretch.start_mps > SHIFTING_FROM_MPS:
        longest = SHARE_OF_INTERVAL_FOR_SHIFTING * interval.length_m / stretch.start_mps
        shifting = min(left, longest)
    end = end_speed_mps(interval, drive, drive * shifting)
    # From rest the rider is through several gears; what holds is the mean cadence of the interval.
    turning_mps = gear.bound_mps * interval.rest_factor
    bound = min(body.stop_pedalling_mps, turning_mps, stretch.bound_mps)
    if not end > bound:
        power = wanted
        if shifting > 0.0:
            power -= wanted * shifting / duration_s(interval, end)
        return from_end_to_end(PEDALLING, interval, end, power, left - shifting)
    needed = needed_wheel_w(interval, bound) / gear.share
    if needed > 0.0:
        mode = SPUN_OUT if gear.highest and bound == turning_mps else PEDALLING
        return from_end_to_end(mode, interval, bound, min(needed, wanted), left)
    return coast(stretch, gear, body)


@part
def coast(stretch: Stretch, gear: Gear, body: Body) -> Outcome:
    """The stretch without power: braking, none wanted, spun out, or in too low a gear."""
    interval = interval_of(stretch, 0.0, 0.0, body)
    end = end_speed_mps(interval, 0.0, 0.0)
    left = max(0.0, stretch.shift_left_s - interval.length_m / max(interval.start_mps, 1.0))
    if end >= stretch.bound_mps:
        return from_end_to_end(COASTING, interval, stretch.bound_mps, 0.0, left)
    if end >= body.stop_pedalling_mps or stretch.wanted_w <= 0.0:
        return from_end_to_end(COASTING, interval, end, 0.0, left)
    mode = SPUN_OUT if gear.highest else PEDALLING
    return from_end_to_end(mode, interval, end, 0.0, left)


@part
def push_harder(
    stretch: Stretch, slow: Outcome, gear: Gear, low: Gear, lowest_mps: float, body: Body
) -> Outcome:
    """The stretch where wanted power ends under the lowest speed that can be ridden.

    As it was where wanted power would hold that speed: the rider is only starting up.  Else down to
    the low limit and no further, and up to it with no more power than holds it, on the reserve; or
    on foot when reserve or strength do not suffice.
    """
    holding = holding_power_w(stretch, lowest_mps, low, body)
    wanted = wanted_now_w(stretch, body)
    if holding <= wanted:
        return slow
    mode = BELOW_LOWEST_GEAR if holding > max(wanted, body.power_w) else PEDALLING
    # Where it is no hardship, such as after none was wanted, the gear is whichever is planned.
    taken = low if mode == BELOW_LOWEST_GEAR else gear
    interval = interval_of(stretch, holding * taken.share, taken.drag_n, body)
    end = min(lowest_mps, stretch.bound_mps)
    power = needed_wheel_w(interval, end) / taken.share
    if power > holding:
        power, end = holding, end_speed_mps(interval, holding * taken.share, 0.0)
    strong = end > 0.0 and holding <= body.largest_w
    if strong and power > body.critical_w:
        drained_j = (power - body.critical_w) * duration_s(interval, end)
        strong = drained_j <= stretch.reserve_j
    if not strong:
        return get_off(stretch, low, lowest_mps, holding, body)
    return from_end_to_end(mode, interval, end, power, 0.0)


@inlined
def lasting_s_of(stretch: Stretch, outcome: Outcome, body: Body) -> float:
    """Time for the stretch; getting off and on again counts where a walk begins."""
    if outcome.mode != WALKING:
        return duration_s(outcome.interval, outcome.end_mps)
    changing_s = 0.0 if stretch.on_foot else body.remount_s
    walked_m = stretch.length_m - outcome.carried_m
    return outcome.carried_s + changing_s + walked_m / outcome.end_mps


@part
def get_off(
    stretch: Stretch, low: Gear, lowest_mps: float, holding_w: float, body: Body
) -> Outcome:
    """The stretch begun in the saddle and ended on foot.

    Momentum carries down to the lowest speed, at wanted power and a constant force, and what is
    left of the reserve holds it as long as the legs are strong enough.  Time and reserve tell of
    that; power, state and the books are those of a walk, which nearly all of it is.
    """
    walked = walk(stretch, body)
    if stretch.on_foot:
        return walked
    length, wanted = stretch.length_m, wanted_now_w(stretch, body)
    carried_m = carried_s = spent_j = 0.0
    if stretch.start_mps > lowest_mps:
        mean_mps = 0.5 * (stretch.start_mps + lowest_mps)
        slowing_n = resisting_n(walked.interval, mean_mps) - wanted * low.share / mean_mps
        lost_j = 0.5 * body.mass_kg * (stretch.start_mps**2 - lowest_mps**2)
        carried_m = length if lost_j > slowing_n * length else lost_j / slowing_n
        carried_s = carried_m / mean_mps
        spent_j = min(max(wanted - body.critical_w, 0.0) * carried_s, stretch.reserve_j)
    beyond_w = holding_w - body.critical_w
    if holding_w <= body.largest_w and beyond_w > 0.0:
        held_s = (stretch.reserve_j - spent_j) / beyond_w
        held_s = min(held_s, (length - carried_m) / lowest_mps)
        carried_m += held_s * lowest_mps
        carried_s += held_s
        spent_j += held_s * beyond_w
    interval, end = walked.interval, walked.end_mps
    return Outcome(WALKING, interval, end, 0.0, 0.0, carried_m, carried_s, spent_j)


@part
def walk(stretch: Stretch, body: Body) -> Outcome:
    """The stretch on foot, its whole weight on the end: there is no speeding up to follow."""
    speed = min(body.pushing_factor * tobler_speed_mps(stretch.grade), stretch.bound_mps)
    return from_end_to_end(WALKING, ending_interval_of(stretch, 0.0, body), speed, 0.0, 0.0)


@inlined
def ride_stretch(stretch: Stretch, gear: Gear, low: Gear, lowest_mps: float, body: Body) -> Outcome:
    """The stretch in the saddle as far as legs and gears allow, else on foot."""
    outcome = pedal(stretch, gear, body)
    if outcome.end_mps < min(lowest_mps, stretch.bound_mps):
        return push_harder(stretch, outcome, gear, low, lowest_mps, body)
    return outcome


@inlined
def reserve_left_j(stretch: Stretch, outcome: Outcome, lasting_s: float, body: Body) -> float:
    """Reserve at the end of the stretch, J."""
    effort_w, now_j, critical = outcome.power_w, stretch.reserve_j, body.critical_w
    if outcome.mode == WALKING:
        effort_w = max(resisting_n(outcome.interval, outcome.end_mps) * outcome.end_mps, 0.0)
        now_j -= outcome.carried_j
        lasting_s -= outcome.carried_s
    elif effort_w <= critical and now_j >= body.reserve_j:
        return now_j
    left_j = reserve_after_j(now_j, body.reserve_j, critical, effort_w, lasting_s)
    if effort_w > critical and left_j < SPENT_J:
        return 0.0
    return max(left_j, 0.0)
