import numpy as np
import pytest
from ambiance import Atmosphere
from CoolProp.CoolProp import HAPropsSI
from fluids import ATMOSPHERE_1976

from gearsim.physics.air import (
    air_density_kgm3,
    humid_density_kgm3,
    standard_density_kgm3,
    standard_pressure_pa,
    standard_temperature_k,
)

HEIGHTS_M = np.array([-400.0, 0.0, 500.0, 1000.0, 2000.0, 3000.0, 5500.0, 10_900.0])


def test_standard_density_is_that_of_the_printed_table():
    # ISO 2533:1975, geometric height, to the printed digits.
    density = standard_density_kgm3(np.array([0.0, 500.0, 1000.0, 2000.0, 3000.0]))
    assert density == pytest.approx([1.22500, 1.16727, 1.11166, 1.00655, 0.90925], abs=5e-6)


def test_standard_atmosphere_agrees_with_ambiance():
    other = Atmosphere(HEIGHTS_M)
    assert standard_temperature_k(HEIGHTS_M) == pytest.approx(other.temperature, rel=1e-6)
    assert standard_pressure_pa(HEIGHTS_M) == pytest.approx(other.pressure, rel=1e-5)
    assert standard_density_kgm3(HEIGHTS_M) == pytest.approx(other.density, rel=1e-5)


@pytest.mark.parametrize("height_m", HEIGHTS_M)
def test_standard_atmosphere_agrees_with_fluids(height_m):
    other = ATMOSPHERE_1976(height_m)
    assert standard_temperature_k(height_m) == pytest.approx(other.T, rel=1e-6)
    assert standard_pressure_pa(height_m) == pytest.approx(other.P, rel=1e-5)
    assert standard_density_kgm3(height_m) == pytest.approx(other.rho, rel=1e-5)


def test_humid_air_at_room_conditions_is_that_of_cipm_2007():
    # Picard et al. 2008, Metrologia 45:149-155; value computed from its equation elsewhere.
    assert humid_density_kgm3(293.15, 101_325.0, 0.5) == pytest.approx(1.199314, abs=1e-6)


def test_warm_saturated_air_is_near_the_real_gas_value():
    # 1.146398 is CoolProp's value; CIPM-2007 itself is 0.004 % lower.
    assert humid_density_kgm3(303.15, 101_325.0, 1.0) == pytest.approx(1.146398, rel=5e-5)


@pytest.mark.parametrize("celsius", [-20.0, 0.0, 20.0, 45.0])
@pytest.mark.parametrize("pressure_pa", [60_000.0, 108_000.0])
@pytest.mark.parametrize("humidity", [0.0, 0.5, 1.0])
def test_humid_air_agrees_with_coolprop(celsius, pressure_pa, humidity):
    kelvin = celsius + 273.15
    volume = HAPropsSI("Vha", "T", kelvin, "P", pressure_pa, "R", humidity)
    assert humid_density_kgm3(kelvin, pressure_pa, humidity) == pytest.approx(1 / volume, rel=2e-4)


def test_damp_air_is_lighter_than_dry_air():
    assert humid_density_kgm3(303.15, 1e5, 1.0) < humid_density_kgm3(303.15, 1e5, 0.0)


def test_a_dry_standard_day_has_the_standard_density_at_every_height():
    # 0.05 %: CIPM-2007 is for a real gas, with more CO₂ than ISO 2533's air.
    day = air_density_kgm3(
        HEIGHTS_M,
        temperature_c=15.0,
        relative_humidity=0.0,
        pressure_pa=None,
        reference_height_m=0.0,
    )
    assert day == pytest.approx(standard_density_kgm3(HEIGHTS_M), rel=5e-4)


@pytest.mark.parametrize("measured_m", [0.0, 800.0, 2400.0])
def test_a_standard_day_is_the_same_wherever_its_weather_is_measured(measured_m):
    day = air_density_kgm3(
        1500.0,
        temperature_c=standard_temperature_k(measured_m) - 273.15,
        relative_humidity=0.0,
        pressure_pa=standard_pressure_pa(measured_m),
        reference_height_m=measured_m,
    )
    assert day == pytest.approx(standard_density_kgm3(1500.0), rel=5e-4)


def test_at_the_reference_height_the_weather_given_is_used_as_it_is():
    day = air_density_kgm3(
        700.0,
        temperature_c=22.0,
        relative_humidity=0.4,
        pressure_pa=93_000.0,
        reference_height_m=700.0,
    )
    assert day == pytest.approx(humid_density_kgm3(295.15, 93_000.0, 0.4), rel=1e-12)


def test_missing_pressure_means_the_standard_pressure_at_the_reference_height():
    weather = {"temperature_c": 22.0, "relative_humidity": 0.4, "reference_height_m": 700.0}
    guessed = air_density_kgm3(900.0, pressure_pa=None, **weather)
    given = air_density_kgm3(900.0, pressure_pa=standard_pressure_pa(700.0), **weather)
    assert guessed == given
