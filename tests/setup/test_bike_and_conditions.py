import math

import pytest

from gearsim.errors import PlanError
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("mass_kg", 2.0),
        ("drag_area_m2", 0.0),
        ("rim_mm", 29.0),
        ("tyre_mm", 0.04),
        ("tyre_rolling_factor", 0.0),
        ("wheel_inertia_kgm2", -0.1),
        ("chainstay_mm", 43.0),
        ("bearing_factor", -1.0),
        ("mass_kg", math.nan),
    ],
)
def test_what_no_bike_can_be_is_refused(name: str, value: float) -> None:
    with pytest.raises(PlanError, match=rf"^bike\.{name} is {value:g}; allowed is"):
        Bike(**{name: value})


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("temperature_c", 288.0),
        ("relative_humidity", 50.0),
        ("pressure_pa", 1013.0),
        ("reference_height_m", 9000.0),
        ("wind_mps", -1.0),
        ("wind_from_rad", 270.0),
        ("wind_share", 2.0),
        ("temperature_c", math.nan),
    ],
)
def test_what_no_weather_can_be_is_refused(name: str, value: float) -> None:
    with pytest.raises(PlanError, match=rf"^conditions\.{name} is {value:g}; allowed is"):
        Conditions(**{name: value})


def test_the_default_wheel_rolls_as_far_as_the_tyre_table_says() -> None:
    # 40-622: computed, π·(622 + 2·40) mm.
    assert Bike().circumference_m == pytest.approx(2.20540, abs=5e-6)


def test_the_wind_share_is_that_of_a_logarithmic_profile_over_grass() -> None:
    # ln(1/0.03) / ln(10/0.03): from 10 m down to 1 m over roughness 0.03 m.
    profile = math.log(1.0 / 0.03) / math.log(10.0 / 0.03)
    assert Conditions().wind_share == pytest.approx(profile, abs=0.01)


def test_the_default_drag_area_is_that_of_a_gravel_rider_with_bags() -> None:
    # Judgement: 0.35 to 0.45 m²; more than 0.30, upright on a drop bar (Grappe 1997, from memory).
    assert 0.35 <= Bike().drag_area_m2 <= 0.45
