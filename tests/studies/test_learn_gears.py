"""Gears seen in speed and cadence: those of the simulated bike, within 1 %."""

from dataclasses import replace

import numpy as np
import pytest
from made_recordings import loop, recorded, ride_of, without_cadence
from made_rides import DOUBLE, SINGLE
from scipy.stats import binom

from gearsim.course.recorded.recording import Recording
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.gears import gears_of
from gearsim.setup.parts.kinds import Cassette, Chainset
from gearsim.setup.rider import Rider
from gearsim.studies.learn.estimate import BELIEF, Refusal
from gearsim.studies.learn.gears import SeenGears, learn_gears
from gearsim.studies.learn.parts import match_parts

WITHIN = 0.01  # the project's reach: teeth × wheel within 1 %

CASSETTES = tuple(
    Cassette(name=name, sprockets=teeth, driver_body="splined, long", mass_g=300.0)
    for name, teeth in (
        ("11-42", SINGLE.sprockets),
        ("11-34", DOUBLE.sprockets),
        ("11-28", (11, 12, 13, 14, 15, 17, 19, 21, 23, 25, 28)),
        ("10-51", (10, 12, 14, 16, 18, 21, 24, 28, 33, 39, 45)),
    )
)
CHAINSETS = tuple(
    Chainset(name=str(rings), chainrings=rings, chain_sprockets=(11, 12), mass_g=700.0)
    for rings in ((40,), (44,), (46, 30), (48, 31), (50, 34))
)


def recording_with(drivetrain: Drivetrain, seed: int = 0) -> Recording:
    return recorded(ride_of(Rider(power_w=200.0), drivetrain=drivetrain, course=loop(40_000)), seed)


def found(recording: Recording) -> SeenGears:
    seen = learn_gears((recording,))
    assert isinstance(seen, SeenGears)
    return seen


def off_by(seen: SeenGears, drivetrain: Drivetrain) -> np.ndarray:
    truth = gears_of(drivetrain, Bike()).development_m
    return np.abs(np.log(seen.developments_m)[:, None] - np.log(truth)).min(axis=1)


@pytest.mark.parametrize("drivetrain", [SINGLE, DOUBLE])
def test_every_gear_seen_is_one_of_the_bikes_within_1_percent(drivetrain: Drivetrain) -> None:
    seen = found(recording_with(drivetrain))
    assert len(seen.gears) >= 6
    assert (off_by(seen, drivetrain) < WITHIN).all()


def test_single_ring_gears_that_were_used_long_are_all_seen() -> None:
    ride = ride_of(Rider(power_w=200.0), drivetrain=SINGLE, course=loop(40_000))
    seen = found(recorded(ride))
    held_s = np.bincount(ride.gear, weights=ride.duration_s * (ride.power_w > 0))
    long = ride.gears.development_m[np.flatnonzero(held_s > 240.0)]
    off = np.abs(np.log(long)[:, None] - np.log(seen.developments_m)).min(axis=1)
    assert (off < WITHIN).all()


def test_intervals_of_developments_hold_the_truth_at_their_rate() -> None:
    truth = gears_of(SINGLE, Bike()).development_m
    held, total = 0, 0
    for seed in range(6):
        for gear in found(recording_with(SINGLE, seed)).gears:
            nearest = truth[np.argmin(np.abs(truth - gear.development_m.value))]
            held += gear.development_m.holds(float(nearest))
            total += 1
    assert held >= binom.ppf(0.01, total, BELIEF)


def test_wheel_set_a_percent_too_large_shifts_every_gear_by_a_percent() -> None:
    plain = recording_with(SINGLE)
    large = replace(plain, speed_mps=1.01 * plain.speed_mps)
    ratio = found(large).developments_m / found(plain).developments_m
    assert ratio == pytest.approx(1.01, abs=0.003)


@pytest.mark.parametrize(
    ("drivetrain", "chainset", "cassette"),
    [(SINGLE, "(40,)", "11-42"), (DOUBLE, "(46, 30)", "11-34")],
)
def test_parts_of_the_bike_come_first(drivetrain: Drivetrain, chainset: str, cassette: str) -> None:
    matches = match_parts(
        found(recording_with(drivetrain)), CHAINSETS, CASSETTES, Bike().circumference_m
    )
    assert matches[0].chainset.name == chainset
    assert matches[0].cassette.name == cassette
    assert matches[0].circumference_m == pytest.approx(Bike().circumference_m, rel=WITHIN)


def test_chances_of_all_pairs_are_one_in_sum() -> None:
    matches = match_parts(found(recording_with(SINGLE)), CHAINSETS[:1], CASSETTES)
    assert sum(match.chance for match in matches) == pytest.approx(1.0)


def test_wheel_unknown_leaves_rings_of_one_cassette_open() -> None:
    """40 on a larger wheel is 44 on a smaller one: only the circumference tells."""
    seen = found(recording_with(SINGLE))
    unknown = match_parts(seen, CHAINSETS[:2], CASSETTES[:1])
    told = match_parts(seen, CHAINSETS[:2], CASSETTES[:1], Bike().circumference_m)
    assert told[0].chance > unknown[0].chance
    assert told[0].chance > 0.95


def test_no_cadence_no_gears() -> None:
    refused = learn_gears((without_cadence(recording_with(SINGLE)),))
    assert isinstance(refused, Refusal)
    assert refused.why == "no cadence was recorded"


def test_cadence_at_random_shows_no_gears() -> None:
    plain = recording_with(SINGLE)
    rng = np.random.default_rng(1)
    noise = replace(plain, cadence_rpm=rng.integers(50, 110, len(plain.time_s)).astype(float))
    assert isinstance(learn_gears((noise,)), Refusal)
