from typing import Any

import pytest

from gearsim.errors import PlanError
from gearsim.setup.driver_body import DRIVER_BODIES, WITH_A_SPACER
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.frame import Frame


@pytest.mark.parametrize(
    ("given", "why"),
    [
        ({"largest_ring_alone": 5}, r"frame\.largest_ring_alone is 5; allowed is 16 to 80"),
        ({"largest_ring_of_two": 99}, r"frame\.largest_ring_of_two is 99; allowed is 16 to 80"),
        ({"largest_tyre_mm": 0.0}, r"frame\.largest_tyre_mm is 0; allowed is 10 to 130"),
        ({"shifter_sprockets": 20}, r"frame\.shifter_sprockets is 20; allowed is 1 to 14"),
        ({"shifter_chainrings": 4}, r"frame\.shifter_chainrings is 4; allowed is 1 to 3"),
        ({"driver_body": "splined, lnog"}, r"frame\.driver_body .* mean 'splined, long'\?"),
        ({"driver_body": "zzz"}, r"frame\.driver_body is 'zzz'; allowed are 'screw-on', "),
    ],
)
def test_frame_that_cannot_be_is_refused(given: dict[str, Any], why: str) -> None:
    with pytest.raises(PlanError, match=why):
        Frame(**given)


@pytest.mark.parametrize(
    ("given", "why"),
    [
        ({"chain_links": 10}, r"^drivetrain 'mine': chain_links is 10; allowed is 40 to 400"),
        ({"driver_body": "zzz"}, r"^drivetrain 'mine': driver_body is 'zzz'; allowed are"),
    ],
)
def test_drivetrain_that_cannot_be_fitted_is_refused(given: dict[str, Any], why: str) -> None:
    with pytest.raises(PlanError, match=why):
        Drivetrain(name="mine", chainrings=(40,), sprockets=(11,), **given)


def test_a_spacer_goes_between_bodies_that_there_are() -> None:
    assert all({cassette, hub} <= DRIVER_BODIES.keys() for cassette, hub in WITH_A_SPACER)
