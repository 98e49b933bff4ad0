import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearsim.output.words import (
    about,
    at_least_shown,
    clean,
    clock,
    duration,
    gear_name,
    listed,
    percent,
    share,
    shorten,
    what_happens,
)
from gearsim.ride.states import Cause, State
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.gears import gears_of


@given(st.floats(min_value=1e-300, max_value=1e6), st.integers(min_value=0, max_value=2))
def test_a_number_that_is_not_zero_never_reads_as_zero(value: float, decimals: int) -> None:
    shown = at_least_shown(value, decimals)
    assert shown.startswith("<") or float(shown) > 0.0


def test_a_true_zero_reads_as_zero() -> None:
    assert at_least_shown(0.0) == "0"
    assert at_least_shown(0.0, 1) == "0"


@pytest.mark.parametrize(
    ("value", "decimals", "shown"),
    [(0.2, 0, "<1"), (0.99, 0, "<1"), (1.0, 0, "1"), (0.04, 1, "<0.1"), (0.14, 1, "0.1")],
)
def test_small_numbers_say_what_they_are_below(value: float, decimals: int, shown: str) -> None:
    assert at_least_shown(value, decimals) == shown


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [
        (0.0, "0 s"),
        (0.3, "<1 s"),
        (45.2, "45 s"),
        (59.7, "1 min"),
        (87.0, "1 min 27 s"),
        (599.7, "10 min"),
        (750.0, "12 min"),
        (3599.0, "1 h 00 min"),
        (15_360.0, "4 h 16 min"),
    ],
)
def test_durations_are_told_as_people_do(seconds: float, shown: str) -> None:
    assert duration(seconds) == shown


def test_sums_of_time_are_told_in_whole_minutes() -> None:
    assert [about(s) for s in (20.0, 400.0, 8000.0)] == ["<1 min", "7 min", "2 h 13 min"]


def test_a_finish_time_is_hours_and_minutes() -> None:
    assert [clock(s) for s in (59.0, 3599.0, 37_500.0)] == ["0:01", "1:00", "10:25"]


def test_a_slope_never_reads_as_level() -> None:
    assert [percent(g) for g in (0.16, 0.0, 0.003, -0.003, -0.07)] == [
        "16 %",
        "0 %",
        "<1 %",
        ">-1 %",
        "-7 %",
    ]


def test_only_all_is_a_hundred_percent_and_only_none_is_zero() -> None:
    assert [share(part) for part in (0.0, 0.002, 0.5, 0.998, 1.0)] == [
        "0 %",
        "<1 %",
        "50 %",
        ">99 %",
        "100 %",
    ]


def test_a_name_keeps_to_one_line_and_sends_no_commands() -> None:
    assert clean("  a\x1b[31m\r\n b\u202e\tc ") == "a [31m b c"


def test_a_long_name_is_cut_with_an_ellipsis() -> None:
    assert shorten("short", 5) == "short"
    assert shorten("somewhat longer", 10) == "somewhat…"


def test_words_are_listed_with_an_and() -> None:
    assert [listed(words) for words in ([], ["a"], ["a", "b"], ["a", "b", "c"])] == [
        "",
        "a",
        "a and b",
        "a, b and c",
    ]


def test_gears_are_named_by_their_teeth_or_ratio() -> None:
    chain = gears_of(Drivetrain(chainrings=(46, 30), sprockets=(11, 34)), Bike())
    assert gear_name(chain, chain.lowest) == "30×34"
    hub = gears_of(Drivetrain(ratios=(0.85, 2.0)), Bike())
    assert gear_name(hub, hub.lowest) == "ratio 0.85"


def test_a_cause_is_told_only_of_cadence_outside_the_band() -> None:
    assert what_happens(State.UNDER_BAND, Cause.END_OF_RANGE) == "under band, end of range"
    assert what_happens(State.SPUN_OUT, Cause.END_OF_RANGE) == "spun out"
