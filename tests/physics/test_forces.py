import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numba import njit
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from gearsim.physics.forces import (
    air_force_n,
    bearing_force_n,
    effective_mass_kg,
    gravity_force_n,
    head_wind_mps,
    road_power_w,
    rolling_force_n,
    steady_speed_mps,
)

RIG = {"mass_kg": 85.0, "rolling_coefficient": 0.010, "air_factor_kgpm": 0.5 * 1.225 * 0.36}

powers = st.floats(0.0, 1500.0)
grades = st.floats(-0.4, 0.4)
masses = st.floats(40.0, 200.0)
rollings = st.floats(0.001, 0.05)
air_factors = st.floats(0.05, 0.8)
winds = st.floats(-20.0, 20.0)


@pytest.fixture(scope="module")
def martin():
    """The worked example of Martin et al. 1998, J Appl Biomech 14(3):276-291, from memory."""
    mass = effective_mass_kg(90.0, 0.14, 0.311)
    return road_power_w(
        471.8 / 56.42,
        0.003,
        mass_kg=90.0,
        rolling_coefficient=0.0032,
        air_factor_kgpm=0.5 * 1.2234 * (0.2565 + 0.0044),
        head_wind_mps=head_wind_mps(2.94, math.radians(310.0), math.radians(340.0)),
        effective_mass_kg=mass,
        acceleration_mps2=(8.45 - 8.28) / 56.42,
        efficiency=0.976,
    )


@pytest.mark.parametrize(
    ("part", "watts"),
    [
        ("aero_w", 158.80),
        ("rolling_w", 23.63),
        ("bearing_w", 1.37),
        ("gravity_w", 22.15),
        ("kinetic_w", 2.30),
        ("total_w", 208.25),
        ("pedal_w", 213.4),
    ],
)
def test_road_power_is_that_of_the_worked_example(martin, part, watts):
    # ±0.5 W: inputs and results from memory.
    assert getattr(martin, part) == pytest.approx(watts, abs=0.5)


def test_wheel_inertia_adds_the_worked_example_mass():
    # Martin et al. 1998, from memory: 0.14 kg·m² at 0.311 m is 1.4475 kg.
    assert effective_mass_kg(90.0, 0.14, 0.311) == pytest.approx(91.4475, abs=5e-5)


@pytest.mark.parametrize(
    ("power_w", "grade", "speed_mps"),
    [
        (200.0, 0.0, 8.276478),
        (200.0, 0.05, 3.666235),
        (200.0, 0.10, 2.103823),
        (200.0, 0.20, 1.128365),
        (100.0, -0.01, 7.605382),
        (100.0, -0.03, 10.786798),
        (200.0, -0.08, 17.705192),
        (0.0, -0.05, 12.289222),
    ],
)
def test_steady_speed_is_the_exact_root(power_w, grade, speed_mps):
    # Computed elsewhere from the closed form of the cubic; efficiency 0.97.
    speed = steady_speed_mps(power_w, grade, efficiency=0.97, **RIG)
    assert speed == pytest.approx(speed_mps, abs=5e-7)


def test_steady_speed_where_gravity_just_balances_rolling():
    # Rolling 1/64 on a grade of -1/64 (both exact in binary): a·v³ = P alone remains.
    speed = steady_speed_mps(
        150.0, -1 / 64, mass_kg=80.0, rolling_coefficient=1 / 64, air_factor_kgpm=0.2
    )
    assert speed == pytest.approx((150.0 / 0.2) ** (1 / 3), rel=1e-12)


def test_no_power_on_the_flat_stands_still():
    assert steady_speed_mps(0.0, 0.0, **RIG) == 0.0


def test_steady_speed_of_arrays_is_that_of_their_numbers():
    power, grade = np.array([[0.0], [180.0]]), np.array([-0.08, -0.01, 0.0, 0.12])
    together = steady_speed_mps(power, grade, **RIG)
    one_by_one = [[steady_speed_mps(p, g, **RIG) for g in grade] for p in power[:, 0]]
    assert together.tolist() == one_by_one


@given(power_w=powers, grade=grades, mass_kg=masses, rolling=rollings, air=air_factors)
def test_steady_speed_needs_just_the_power_given(power_w, grade, mass_kg, rolling, air):
    road = {"mass_kg": mass_kg, "rolling_coefficient": rolling, "air_factor_kgpm": air}
    speed = steady_speed_mps(power_w, grade, **road)
    needed = road_power_w(speed, grade, bearing_factor=0.0, **road)
    largest = max(needed.aero_w, power_w, abs(needed.gravity_w))
    assert needed.total_w == pytest.approx(power_w, abs=1e-9 * largest + 1e-12)


@given(power_w=powers, more_w=powers, grade=grades)
def test_more_power_is_never_slower(power_w, more_w, grade):
    slow = steady_speed_mps(power_w, grade, **RIG)
    assert steady_speed_mps(power_w + more_w, grade, **RIG) >= slow * (1 - 1e-12)


@given(power_w=powers, grade=st.floats(0.0, 0.4), mass_kg=masses, more_kg=st.floats(0.0, 50.0))
def test_more_mass_is_never_faster_uphill(power_w, grade, mass_kg, more_kg):
    road = {"rolling_coefficient": 0.01, "air_factor_kgpm": 0.2}
    light = steady_speed_mps(power_w, grade, mass_kg=mass_kg, **road)
    heavy = steady_speed_mps(power_w, grade, mass_kg=mass_kg + more_kg, **road)
    assert heavy <= light * (1 + 1e-12)


@given(power_w=powers, grade=grades, steeper=st.floats(0.0, 0.3))
def test_steeper_grade_is_slower_until_cosine_wins(power_w, grade, steeper):
    # Crr 0.01 acts through cos θ, so resistance rises with grade up to tan θ = 100.
    gentle = steady_speed_mps(power_w, grade, **RIG)
    assert steady_speed_mps(power_w, grade + steeper, **RIG) <= gentle * (1 + 1e-12)


@given(power_w=powers, grade=grades, scale=st.floats(0.2, 5.0))
def test_scaling_power_mass_and_drag_area_together_leaves_speed_unchanged(power_w, grade, scale):
    larger = {
        "mass_kg": scale * RIG["mass_kg"],
        "rolling_coefficient": RIG["rolling_coefficient"],
        "air_factor_kgpm": scale * RIG["air_factor_kgpm"],
    }
    speed = steady_speed_mps(power_w, grade, **RIG)
    assert steady_speed_mps(scale * power_w, grade, **larger) == pytest.approx(speed, rel=1e-10)


def _coast(seconds, stop_m=math.inf):
    """Speed and distance from rest on -8 %, by an integrator of general use."""

    def rates(_, state):
        speed = state[0]
        against = air_force_n(speed, 0.0, RIG["air_factor_kgpm"])
        against += gravity_force_n(85.0, -0.08) + rolling_force_n(85.0, -0.08, 0.010)
        return [-against / 85.0, speed]

    def arrived(_, state):
        return state[1] - stop_m

    arrived.terminal = True
    events = arrived if math.isfinite(stop_m) else None
    path = solve_ivp(rates, (0.0, seconds), [0.0, 0.0], events=events, rtol=1e-10, atol=1e-10)
    return path.y[:, -1]


def test_coasting_from_rest_for_20_s():
    # Exact solution computed elsewhere: tanh and ln cosh.
    assert _coast(20.0) == pytest.approx([11.16112, 123.18873], abs=1e-5)


def test_coasting_from_rest_over_200_m():
    assert _coast(60.0, stop_m=200.0)[0] == pytest.approx(13.05093, abs=1e-5)


def test_coasting_settles_at_the_steady_speed_without_power():
    terminal = steady_speed_mps(0.0, -0.08, **RIG)
    assert terminal == pytest.approx(16.24134, abs=1e-5)
    assert _coast(200.0)[0] == pytest.approx(terminal, abs=1e-5)


def test_varied_power_on_the_hilly_course_saves_the_published_time():
    # Atkinson, Peacock, Passfield 2007, J Sports Sci 25(9):1001-1009: 126 s for power 10 % up
    # uphill and 10 % down downhill on 5 km at +10 % and 5 km at -10 %, 289 W, 80 kg, g 9.81.
    road = {
        "mass_kg": 80.0 * 9.81 / 9.80665,
        "rolling_coefficient": 0.0032,
        "air_factor_kgpm": 0.5 * 1.2234 * 0.269,
        "efficiency": 0.976,
    }
    grade = np.array([0.10, -0.10])
    constant_s = np.sum(5000.0 / steady_speed_mps(289.0, grade, **road))
    varied_s = np.sum(5000.0 / steady_speed_mps(289.0 * np.array([1.1, 0.9]), grade, **road))
    assert constant_s - varied_s == pytest.approx(126.0, abs=2.0)


def test_constant_speed_climbs_faster_than_constant_power_at_equal_mean_power():
    # Bos, Slawinski, Slawinski, Stanoev 2024, arXiv:2403.03363; the times are computed, with
    # g 9.81 (found by recomputing), which a heavier rider stands for here.
    road = {
        "mass_kg": 80.0 * 9.81 / 9.80665,
        "rolling_coefficient": 0.005,
        "air_factor_kgpm": 0.5 * 1.225 * 0.30,
    }
    grade = np.array([0.05, 0.10])

    def missing_w(speed):
        needed = road_power_w(speed, grade, bearing_factor=0.0, efficiency=0.97, **road)
        return np.mean(needed.pedal_w) - 300.0

    constant_power_s = np.sum(1000.0 / steady_speed_mps(300.0, grade, efficiency=0.97, **road))
    constant_speed_s = 2000.0 / brentq(missing_w, 1.0, 10.0)
    assert constant_power_s == pytest.approx(459.31, abs=0.005)
    assert constant_speed_s == pytest.approx(454.38, abs=0.005)


def test_bearings_hold_back_as_the_source_says():
    # Martin et al. 1998, from memory: (91 + 8.7·v)·10⁻³ N.
    assert bearing_force_n(np.array([0.0, 10.0]), 1.0) == pytest.approx([0.091, 0.178], rel=1e-12)
    assert bearing_force_n(10.0, 2.5) == pytest.approx(2.5 * 0.178)


def test_a_tail_wind_faster_than_the_rider_pushes():
    assert air_force_n(5.0, -8.0, 0.2) == pytest.approx(-0.2 * 9.0)


@given(speed=st.floats(0.0, 30.0), wind=winds, more=st.floats(0.0, 10.0))
def test_more_head_wind_never_resists_less(speed, wind, more):
    assert air_force_n(speed, wind + more, 0.2) >= air_force_n(speed, wind, 0.2)


@given(wind=st.floats(0.1, 20.0), bearing=st.floats(-7.0, 7.0))
def test_wind_from_ahead_is_all_head_wind_and_from_behind_all_tail_wind(wind, bearing):
    assert head_wind_mps(wind, bearing, bearing) == pytest.approx(wind)
    assert head_wind_mps(wind, bearing + math.pi, bearing) == pytest.approx(-wind)
    assert head_wind_mps(wind, bearing + math.pi / 2, bearing) == pytest.approx(0.0, abs=1e-12)


@given(mass_kg=masses, grade=grades)
def test_gravity_uphill_is_gravity_downhill_turned_round(mass_kg, grade):
    assert gravity_force_n(mass_kg, grade) == -gravity_force_n(mass_kg, -grade)


@given(mass_kg=masses, grade=grades)
def test_gravity_and_the_load_on_the_road_make_up_the_weight(mass_kg, grade):
    weight = math.hypot(gravity_force_n(mass_kg, grade), rolling_force_n(mass_kg, grade, 1.0))
    assert weight == pytest.approx(mass_kg * 9.80665)


@pytest.mark.parametrize(
    ("function", "arguments"),
    [
        (air_force_n, (8.3, 2.5, 0.21)),
        (air_force_n, (3.0, -5.5, 0.21)),
        (bearing_force_n, (8.3, 1.5)),
    ],
)
def test_compiled_force_is_the_interpreted_one(function, arguments):
    assert njit(function)(*arguments) == function(*arguments)
