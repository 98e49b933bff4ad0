"""Pace, power on climbs and cadence habits, from rides whose rider is known."""

from dataclasses import replace

import numpy as np
import pytest
from made_recordings import USUAL, Faults, loop, recorded, ride_of, without_cadence, without_power
from made_rides import HUB
from scipy.stats import binom

from gearsim.course.course import course_from_grades
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.rider import Rider
from gearsim.studies.learn.cadence import CadenceHabits, learn_cadence
from gearsim.studies.learn.climbing import (
    DRAG_AREA_M2,
    DRAG_DEVIATION_M2,
    GRADE_DEVIATION,
    MODEL_DEVIATION,
    ROLLING_SPREAD,
    ClimbingPower,
    learn_climbing,
)
from gearsim.studies.learn.estimate import BELIEF, Estimate, Refusal
from gearsim.studies.learn.pace import Pace, learn_pace
from gearsim.studies.learn.resistance import MASS_DEVIATION, WIND_DEVIATION_MPS

STATED_KG = 85.0
TARMAC = 0.005


def climb_and_back() -> list[float]:
    return [0.05] * 500 + [-0.05] * 100 + [0.06] * 400


def test_power_on_climbs_without_a_meter_holds_the_truth_at_its_rate() -> None:
    course = course_from_grades(climb_and_back(), bearing_rad=0.7)
    held, rides = 0, 30
    for seed in range(rides):
        rng = np.random.default_rng(seed)
        mass_kg = STATED_KG * rng.normal(1.0, MASS_DEVIATION)
        log_spread = np.log(ROLLING_SPREAD) / 1.645
        north, east = rng.normal(0.0, WIND_DEVIATION_MPS, 2)
        ride = ride_of(
            Rider(mass_kg=mass_kg - 10.0, power_w=200.0, uphill_factor=1.0),
            Bike(
                drag_area_m2=max(rng.normal(DRAG_AREA_M2, DRAG_DEVIATION_M2), 0.15),
                tyre_rolling_factor=float(np.exp(rng.normal(0.0, log_spread))),
            ),
            Conditions(
                wind_mps=float(np.hypot(north, east)),
                wind_from_rad=float(np.arctan2(east, north)),
                wind_share=1.0,
            ),
            course=course,
        )
        recording = without_power(recorded(ride, seed, replace(USUAL, gust_mps=0.0)))
        found = learn_climbing((recording,), STATED_KG, TARMAC)
        assert isinstance(found, ClimbingPower)
        # A power meter and the model differ by so much more (Millet et al. 2014).
        held += found.power_w.holds(200.0 * rng.normal(1.0, MODEL_DEVIATION))
    assert held >= binom.ppf(0.01, rides, BELIEF)


def test_spreads_of_climb_and_model_are_the_published_ones() -> None:
    # Menaspà P et al. (2016), J Sci Cycling 5(1):10-12: barometric climb totals are good to about
    # 2 % dry (in the wet up to 25 % low: a recording does not tell the weather).  Millet GP,
    # Tronche C, Grappe F (2014), IJSPP 9:777-782: 95 % of -10.4 to +8.5 %, 1.96 s.d. either way.
    assert GRADE_DEVIATION == 0.02
    assert pytest.approx((0.104 + 0.085) / 2.0 / 1.96, abs=5e-4) == MODEL_DEVIATION


def test_power_on_climbs_is_known_within_20_percent() -> None:
    ride = ride_of(Rider(power_w=200.0), course=course_from_grades(climb_and_back()))
    found = learn_climbing((recorded(ride),), STATED_KG, TARMAC)
    assert isinstance(found, ClimbingPower)
    assert found.power_w.half_width < 0.20 * found.power_w.value
    assert found.air_share < 0.12


def test_flat_ride_tells_no_power_on_climbs() -> None:
    ride = ride_of(course=course_from_grades([0.0] * 1000))
    refused = learn_climbing((without_power(recorded(ride)),), STATED_KG, TARMAC)
    assert isinstance(refused, Refusal)
    assert refused.what == "power on climbs"
    assert refused.remedy == "record a ride with long steady climbs, or power"


def test_flat_ride_with_a_meter_lacks_no_power_but_a_test_of_the_mass() -> None:
    ride = ride_of(course=course_from_grades([0.0] * 1000))
    refused = learn_climbing((recorded(ride),), STATED_KG, TARMAC)
    assert isinstance(refused, Refusal)
    assert refused.what == "whether the recorded power fits the mass"
    assert refused.remedy == "record a ride with long steady climbs and power"


@pytest.fixture(scope="module")
def pace() -> Pace:
    rider = Rider(power_w=190.0, uphill_factor=1.3, downhill_factor=0.6, stop_pedalling_mps=11.0)
    found = learn_pace((recorded(ride_of(rider, course=loop(40_000.0))),))
    assert isinstance(found, Pace)
    return found


def test_power_on_the_flat_is_found(pace: Pace) -> None:
    assert pace.flat_w.holds(190.0)


def test_factor_uphill_is_found(pace: Pace) -> None:
    assert isinstance(pace.uphill_factor, Estimate)
    assert pace.uphill_factor.value == pytest.approx(1.3, abs=0.1)


def test_speed_from_which_the_rider_freewheels_is_found(pace: Pace) -> None:
    assert isinstance(pace.stop_pedalling_mps, Estimate)
    assert pace.stop_pedalling_mps.holds(11.0)


def test_no_power_no_pace() -> None:
    refused = learn_pace((without_power(recorded(ride_of())),))
    assert isinstance(refused, Refusal)
    assert refused.why == "no power was recorded"


def test_flat_ride_tells_no_factors() -> None:
    ride = ride_of(course=course_from_grades([0.0] * 1500))
    found = learn_pace((recorded(ride),))
    assert isinstance(found, Pace)
    assert isinstance(found.uphill_factor, Refusal)
    assert isinstance(found.downhill_factor, Refusal)


FINE = Drivetrain(ratios=tuple(float(r) for r in np.geomspace(0.7, 5.0, 80)))
"""So many gears that the rider always turns the cranks as wished."""


def test_target_cadence_is_found_where_gears_allow_any() -> None:
    rider = Rider(target_cadence_rpm=80.0, band_rpm=(72.0, 90.0))
    habits = learn_cadence((recorded(ride_of(rider, drivetrain=FINE), 0, Faults()),))
    assert isinstance(habits, CadenceHabits)
    assert habits.target_rpm.value == pytest.approx(80.0, abs=1.5)


def test_few_gears_spread_cadence_wider() -> None:
    rows = [learn_cadence((recorded(ride_of(drivetrain=gears)),)) for gears in (FINE, HUB)]
    widths = []
    for habits in rows:
        assert isinstance(habits, CadenceHabits)
        widths.append(habits.band_rpm[1].value - habits.band_rpm[0].value)
    assert widths[1] > 1.3 * widths[0]


def test_cadences_for_a_plan_rise_strictly() -> None:
    habits = learn_cadence((recorded(ride_of(drivetrain=FINE), 0, Faults()),))
    assert isinstance(habits, CadenceHabits)
    limits, target, band = habits.rounded
    assert limits[0] < band[0] < target < band[1] < limits[1]


def test_cadence_that_was_not_used_is_not_taken_for_impossible() -> None:
    habits = learn_cadence((recorded(ride_of(drivetrain=FINE), 0, Faults()),))
    assert isinstance(habits, CadenceHabits)
    assert habits.limits_rpm[0].value > Rider().limits_rpm[0]
    assert habits.rounded[0] == Rider().limits_rpm


def test_no_cadence_no_habits() -> None:
    refused = learn_cadence((without_cadence(recorded(ride_of())),))
    assert isinstance(refused, Refusal)
    assert refused.why == "no cadence was recorded"
