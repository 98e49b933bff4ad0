from typing import Any

import pytest

from gearsim.errors import PlanError
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.driver_body import SMALLEST_ON_BODY, WITH_A_SPACER
from gearsim.setup.frame import Frame
from gearsim.setup.parts.kinds import DRIVER_BODIES
from gearsim.setup.parts.parts_list import load_parts


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


def test_every_class_of_body_is_told_what_it_has_room_for() -> None:
    assert SMALLEST_ON_BODY.keys() == DRIVER_BODIES.keys()
    assert all({cassette, hub} <= DRIVER_BODIES.keys() for cassette, hub in WITH_A_SPACER)


def test_every_cassette_of_the_parts_list_has_room_on_its_own_body() -> None:
    for cassette in load_parts().cassettes:
        assert cassette.sprockets[0] >= SMALLEST_ON_BODY[cassette.driver_body], cassette.name
