import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearsim.physics.chain_length import (
    approximate_chain_links,
    chain_links,
    slack_teeth,
    whole_links,
)

rings = st.integers(20, 60)
sprockets = st.integers(9, 52)
chainstays_m = st.floats(0.38, 0.50)


def test_textbook_example() -> None:
    # Bhandari, Design of Machine Elements, example 14.3: z 21 and 63, a 500 mm, p 12.7 mm.
    links = approximate_chain_links(63, 21, 0.5)
    assert links == pytest.approx(121.875097, abs=5e-7)
    assert whole_links(float(links)) == 122


@pytest.mark.parametrize(
    ("front", "rear", "centres_m", "links"),
    [(40, 11, 0.425, 93.066717), (44, 10, 0.430, 95.583213)],
)
def test_taut_loop_with_pitch_circles(
    front: int, rear: int, centres_m: float, links: float
) -> None:
    # Computed from the open-belt form with pitch radii, to the printed digits.
    assert chain_links(front, rear, centres_m) == pytest.approx(links, abs=5e-7)


def test_wheels_of_one_size_need_their_teeth_and_the_way_there_and_back() -> None:
    # 40 pitches there, 40 back, and half of each wheel: exact.
    assert chain_links(20, 20, 40 * 0.0127) == pytest.approx(100.0, rel=1e-12)
    assert approximate_chain_links(20, 20, 40 * 0.0127) == pytest.approx(100.0, rel=1e-12)


@given(rings, sprockets, chainstays_m)
def test_approximation_falls_short_by_less_than_a_fiftieth_of_a_link(
    front: int, rear: int, centres_m: float
) -> None:
    short = chain_links(front, rear, centres_m) - approximate_chain_links(front, rear, centres_m)
    assert -1e-6 < short < 0.02


@given(rings, sprockets, chainstays_m)
def test_it_does_not_matter_which_wheel_is_in_front(
    front: int, rear: int, centres_m: float
) -> None:
    assert chain_links(front, rear, centres_m) == pytest.approx(
        float(chain_links(rear, front, centres_m)), rel=1e-12
    )


@given(rings, sprockets, chainstays_m, st.floats(0.0, 0.05))
def test_a_longer_chainstay_needs_twice_as_much_more_chain_at_most(
    front: int, rear: int, centres_m: float, longer_m: float
) -> None:
    more = chain_links(front, rear, centres_m + longer_m) - chain_links(front, rear, centres_m)
    assert 0.0 <= more <= 2.0 * longer_m / 0.0127 + 1e-9


@given(rings, sprockets, chainstays_m)
def test_a_larger_wheel_needs_more_chain(front: int, rear: int, centres_m: float) -> None:
    links = chain_links(front, rear, centres_m)
    assert chain_links(front + 1, rear, centres_m) > links
    assert chain_links(front, rear + 1, centres_m) > links


@given(rings, sprockets, st.integers(0, 24), st.integers(0, 42), chainstays_m)
def test_two_teeth_of_slack_free_about_a_link(
    front: int, rear: int, front_more: int, rear_more: int, centres_m: float
) -> None:
    # What makes capacity countable in teeth; the lean of the chain does the rest.
    large = min(front + front_more, 60), min(rear + rear_more, 52)
    slack = slack_teeth(front, rear, sum(large))
    freed = chain_links(*large, centres_m) - chain_links(front, rear, centres_m)
    assert freed == pytest.approx(slack / 2.0, abs=2.0)


@pytest.mark.parametrize(
    ("links", "whole"), [(120.0, 120), (120.0001, 122), (121.0, 122), (121.999, 122), (0.5, 2)]
)
def test_a_chain_closes_in_whole_pairs_and_is_never_cut_short(links: float, whole: int) -> None:
    assert whole_links(links) == whole
