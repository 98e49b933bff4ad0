from dataclasses import replace
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_parts import UNTOLD
from made_search import answered, searched

from gearsim.output.drawing.sheet import figure_png
from gearsim.output.search.chart import search_figure
from gearsim.output.search.layout import (
    LEAST_ROW_IN,
    PLOT_HIGH_IN,
    lower_left,
    rank_spots,
    rows_in,
)
from gearsim.output.search.marks import LOOKS, named_builds
from gearsim.output.search.rows import places_told
from gearsim.setup.wishes import Wishes

PNG = b"\x89PNG\r\n\x1a\n"


@pytest.mark.parametrize(
    "wishes", [None, Wishes(internal_gears=True), Wishes(keep_chainset=True, keep_rear_mech=True)]
)
def test_a_search_is_drawn_without_warnings(wishes: Wishes | None) -> None:
    assert figure_png(search_figure(answered(wishes, UNTOLD))).startswith(PNG)


def test_a_single_build_is_drawn_too() -> None:
    found = answered()
    one = replace(found.search.ranking, options=found.search.options[:1], best=(0,), trade_offs=())
    alone = replace(found, search=replace(found.search, ranking=one))
    assert figure_png(search_figure(alone)).startswith(PNG)


def test_the_same_search_gives_the_same_bytes() -> None:
    first, second = (figure_png(search_figure(answered())) for _ in range(2))
    assert first == second


def test_numbers_of_chainrings_differ_in_shape_and_words() -> None:
    for of_look in ("marker", "dots", "words"):
        assert len({getattr(look, of_look) for look in LOOKS.values()}) == len(LOOKS)


def test_all_that_is_told_of_is_named_with_its_number_of_rings() -> None:
    found = searched(frame=UNTOLD)
    named = named_builds(found)
    ranks = {each.mark for each in named}
    assert ranks == {"now", *(str(place + 1) for place in places_told(found))}
    rings = {each.name: each.facts.split(",")[0] for each in named}
    assert rings["what I have"] == "two rings"
    assert {"one ring", "two rings"} >= set(rings.values())
    assert [each.at[1] for each in named] == sorted((each.at[1] for each in named), reverse=True)


@given(st.lists(st.floats(-1.0, 8.0), min_size=1, max_size=13))
def test_names_at_the_right_never_overlap(wanted: list[float]) -> None:
    rows = rows_in(sorted(wanted))
    assert all(b - a >= LEAST_ROW_IN - 1e-9 for a, b in pairwise(rows))
    assert rows[0] >= 0.0
    assert rows[-1] <= PLOT_HIGH_IN + 1e-9


def test_ranks_stand_clear_of_marks_and_of_each_other() -> None:
    marks = [(2.0, 2.0), (2.12, 2.06), (2.0, 1.8), (4.0, 0.2)]
    spots = rank_spots(marks, ["1", "2", "13", "now"], [(2.2, 2.2), (3.9, 0.2)])
    for one, other in combinations(spots, 2):
        assert max(abs(one[0] - other[0]), abs(one[1] - other[1])) >= 0.1
    for spot in spots:
        for mark in marks:
            assert max(abs(spot[0] - mark[0]), abs(spot[1] - mark[1])) >= 0.09


@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), min_size=1, max_size=30))
def test_no_point_lies_below_and_left_of_the_line(drawn: list[tuple[int, int]]) -> None:
    points = np.array(drawn, dtype=float)
    corners = lower_left(points)
    for x, y in points:
        reached = corners[corners[:, 0] <= x]
        assert reached[:, 1].min() <= y
    assert (np.diff(corners[:, 0]) > 0.0).all()
    assert (np.diff(corners[:, 1]) < 0.0).all()
