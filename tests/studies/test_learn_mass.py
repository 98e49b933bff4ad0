"""A mass that was assumed is not taken for certain, and power on climbs speaks against it."""

import math

import pytest
from made_recordings import loop, recorded, ride_of, without_power

from gearsim.course.course import course_from_grades
from gearsim.course.recorded.recording import Recording
from gearsim.setup.rider import Rider
from gearsim.studies.learn.climbing import ClimbingPower, learn_climbing
from gearsim.studies.learn.learn import Given
from gearsim.studies.learn.resistance import MASS_DEVIATION, Resistance, learn_resistance
from gearsim.studies.learn.windows import steady_windows

TARMAC = 0.005
TRUE_KG, ASSUMED_KG = 115.0, 85.0


@pytest.fixture(scope="module")
def heavy() -> Recording:
    """A rider of 105 kg on a bike of 10 kg, up a long climb with a power meter."""
    course = course_from_grades([0.05] * 500 + [-0.05] * 100 + [0.06] * 400)
    return recorded(ride_of(Rider(mass_kg=TRUE_KG - 10.0, power_w=250.0), course=course))


def climbing(recording: Recording, mass_kg: float) -> ClimbingPower:
    found = learn_climbing((recording,), mass_kg, TARMAC)
    assert isinstance(found, ClimbingPower)
    return found


def test_recorded_power_on_climbs_asks_for_the_true_mass(heavy: Recording) -> None:
    asked = climbing(heavy, ASSUMED_KG).asked_kg
    assert asked is not None
    assert asked.value == pytest.approx(TRUE_KG, rel=0.04)
    assert asked.holds(TRUE_KG)


def test_wrong_mass_is_contradicted_and_the_true_one_is_not(heavy: Recording) -> None:
    assert climbing(heavy, ASSUMED_KG).contradicted
    assert not climbing(heavy, TRUE_KG).contradicted


def test_mass_asked_for_does_not_hang_on_the_mass_gone_by(heavy: Recording) -> None:
    values = [climbing(heavy, mass_kg).asked_kg for mass_kg in (ASSUMED_KG, TRUE_KG)]
    assert values[0] is not None
    assert values[1] is not None
    assert values[0].value == pytest.approx(values[1].value, rel=1e-9)


def test_without_recorded_power_no_mass_is_asked_for(heavy: Recording) -> None:
    found = climbing(without_power(heavy), ASSUMED_KG)
    assert found.asked_kg is None
    assert not found.contradicted


def test_told_masses_are_out_by_the_stated_share() -> None:
    told = Given(rider_mass_kg=75.0, bike_mass_kg=10.0)
    assert told.mass_deviation == pytest.approx(MASS_DEVIATION)
    assert not told.mass_assumed


def test_assumed_masses_are_out_by_their_stated_spread() -> None:
    """20 kg and 4 kg nine times in ten (1.645 deviations), and 3 % of 85 kg."""
    expected_kg = math.hypot(20.0 / 1.645, 4.0 / 1.645, 0.03 * 85.0)
    assert Given().mass_deviation == pytest.approx(expected_kg / 85.0)
    assert Given(rider_mass_kg=75.0).mass_deviation < Given().mass_deviation


def test_assumed_mass_widens_the_interval_of_climbing_power(heavy: Recording) -> None:
    told, assumed = (
        learn_climbing((heavy,), ASSUMED_KG, TARMAC, deviation)
        for deviation in (MASS_DEVIATION, Given().mass_deviation)
    )
    assert isinstance(told, ClimbingPower)
    assert isinstance(assumed, ClimbingPower)
    assert assumed.power_w.half_width > 1.5 * told.power_w.half_width


def test_assumed_mass_widens_the_interval_of_rolling() -> None:
    windows = steady_windows((recorded(ride_of(Rider(power_w=200.0), course=loop(40_000.0))),))
    told, assumed = (
        learn_resistance(windows, ASSUMED_KG, TARMAC, deviation)
        for deviation in (MASS_DEVIATION, 2.0 * MASS_DEVIATION)
    )
    assert isinstance(told, Resistance)
    assert isinstance(assumed, Resistance)
    assert assumed.rolling_coefficient.value == pytest.approx(told.rolling_coefficient.value)
    assert assumed.rolling_coefficient.half_width > told.rolling_coefficient.half_width
