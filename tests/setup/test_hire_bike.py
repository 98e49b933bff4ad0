"""Bikes of a fleet: how many there are, and whom they fit."""

import pytest

from gearsim.errors import PlanError
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.guest import Guest
from gearsim.setup.hire_bike import HireBike
from gearsim.setup.outing_limits import OutingLimits
from gearsim.setup.rider import Rider

GEARS = Drivetrain(chainrings=(40,), sprockets=(11, 42))


def bike(**given: float) -> HireBike:
    return HireBike(bike=Bike(), drivetrain=GEARS, **given)  # type: ignore[arg-type]


def guest(height_cm: float | None) -> Guest:
    return Guest(rider=Rider(), height_cm=height_cm)


@pytest.mark.parametrize(
    ("height_cm", "fits"), [(164.9, False), (165.0, True), (180.0, True), (180.1, False)]
)
def test_a_bike_is_for_those_as_tall_as_its_ends_and_between(height_cm: float, fits: bool) -> None:
    medium = bike(rider_from_cm=165.0, rider_to_cm=180.0)
    assert medium.is_of_size_for(guest(height_cm)) == fits


def test_size_speaks_against_nobody_where_it_is_not_told() -> None:
    assert bike().is_of_size_for(guest(140.0))
    assert bike(rider_from_cm=165.0).is_of_size_for(guest(230.0))
    assert bike(rider_to_cm=165.0).is_of_size_for(guest(90.0))
    assert bike(rider_from_cm=165.0, rider_to_cm=180.0).is_of_size_for(guest(None))


def test_a_bike_may_be_for_one_height() -> None:
    assert bike(rider_from_cm=170.0, rider_to_cm=170.0).is_of_size_for(guest(170.0))


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({"count": -1}, "count is -1; allowed is 0 to 10000"),
        ({"rider_from_cm": 1.7}, r"rider_from_cm is 1\.7; allowed is 80 to 250"),
        ({"rider_to_cm": 300.0}, "rider_to_cm is 300; allowed is 80 to 250"),
        (
            {"rider_from_cm": 180.0, "rider_to_cm": 165.0},
            "rider_from_cm is 180 with rider_to_cm 165; allowed is the lower one first",
        ),
    ],
)
def test_what_no_fleet_can_be_is_refused(given: dict[str, float], told: str) -> None:
    with pytest.raises(PlanError, match=f"^{told}$"):
        bike(**given)


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({"most_walked_m": -1.0}, "most_walked_m is -1; allowed is 0 to 100000"),
        ({"most_below_s": 1e6}, "most_below_s is 1000000; allowed is 0 to 86400"),
        ({"longest_ride_s": 0.0}, "longest_ride_s is 0; allowed is 360 to 360000"),
    ],
)
def test_what_nobody_can_be_asked_is_refused(given: dict[str, float], told: str) -> None:
    with pytest.raises(PlanError, match=rf"^fleet\.{told}$"):
        OutingLimits(**given)
