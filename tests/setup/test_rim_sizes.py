import re

import pytest

from gearsim.errors import PlanError
from gearsim.setup.bike import Bike
from gearsim.setup.rim_sizes import BEAD_SEATS_MM, NAMED_MM


@pytest.mark.parametrize("named", NAMED_MM)
def test_a_name_of_a_size_is_refused_with_the_bead_seat_that_is_meant(named: float) -> None:
    with pytest.raises(PlanError, match=rf"is called {named:g} is {NAMED_MM[named][:3]}"):
        Bike(rim_mm=named)


@pytest.mark.parametrize("bead_seat", BEAD_SEATS_MM)
def test_every_bead_seat_makes_a_bike(bead_seat: int) -> None:
    assert Bike(rim_mm=float(bead_seat)).rim_mm == bead_seat


def test_what_a_name_is_said_to_mean_is_a_bead_seat() -> None:
    meant = {
        int(number) for words in NAMED_MM.values() for number in re.findall(r"\b\d{3}\b", words)
    }
    assert meant <= set(BEAD_SEATS_MM)


@pytest.mark.parametrize(("named", "bead_seat"), [(29.0, 622), (27.5, 584), (26.0, 559)])
def test_sizes_of_wheels_in_inches_mean_the_bead_seats_of_iso_5775(
    named: float, bead_seat: int
) -> None:
    # 622, 584, 571, 559 mm: ISO 5775.  Which name is whose: common practice.
    assert NAMED_MM[named] == str(bead_seat)


# ISO 5775 writes a tyre as 40-622: 700 and 29 inches are two names for one bead seat.
@pytest.mark.parametrize(("one", "other"), [(700.0, 29.0), (700.0, 28.0)])
def test_names_for_one_bead_seat_agree(one: float, other: float) -> None:
    assert NAMED_MM[one] == NAMED_MM[other] == "622"
