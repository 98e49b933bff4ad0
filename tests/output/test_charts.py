from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from made_comparison import FIVE, HIGH, LOW, TWELVE, hills, ridden
from matplotlib.colors import to_rgb

from gearsim.course.course import course_from_grades
from gearsim.course.surface import SURFACES
from gearsim.output.comparison.chart import comparison_figure
from gearsim.output.comparison.verdict import verdict
from gearsim.output.drawing.lanes import MOST_COLUMNS, bars
from gearsim.output.drawing.profile import draw_profile, place_labels, thinned
from gearsim.output.drawing.sheet import figure_png, new_sheet
from gearsim.output.drawing.style import BODY_PT, MARKS, fitted, width_of_in, wrapped
from gearsim.output.route.chart import FILLINGS, route_figure
from gearsim.output.words import stretch
from gearsim.ride.states import STATES, State
from gearsim.studies.hard_places import HARD, MOST_PLACES, hardest_places

PNG = b"\x89PNG\r\n\x1a\n"


@pytest.mark.parametrize("drivetrains", [(LOW,), FIVE, TWELVE], ids=["one", "five", "twelve"])
@pytest.mark.parametrize("length_km", [5.0, 100.0])
def test_a_comparison_is_drawn_without_warnings(drivetrains: tuple, length_km: float) -> None:
    assert figure_png(comparison_figure(ridden(drivetrains, length_km))).startswith(PNG)


@pytest.mark.parametrize("length_km", [0.5, 6.0, 600.0])
def test_a_route_is_drawn_without_warnings(length_km: float) -> None:
    assert figure_png(route_figure(hills(length_km, name="$\\bad_ {1} 名"))).startswith(PNG)


def test_a_flat_route_across_the_date_line_on_every_surface_is_drawn() -> None:
    count = 13 * 20
    course = course_from_grades(np.zeros(count), bearing_rad=np.pi / 2.0)
    course = replace(
        course,
        longitude_deg=(course.longitude_deg + 179.99 + 180.0) % 360.0 - 180.0,
        surfaces=tuple(SURFACES.values()),
        surface_index=np.repeat(np.arange(13), 20),
    )
    assert figure_png(route_figure(course)).startswith(PNG)


def test_the_same_comparison_gives_the_same_bytes() -> None:
    first, second = (figure_png(comparison_figure(ridden(FIVE))) for _ in range(2))
    assert first == second
    assert b"tEXt" not in first


def test_states_differ_by_more_than_colour() -> None:
    for one, other in combinations(MARKS.values(), 2):
        same_way = (one.reach > 0.0) == (other.reach > 0.0)
        assert not (same_way and one.reach == other.reach)


def test_states_that_point_the_same_way_differ_in_grey_or_hatch() -> None:
    def grey(colour: str) -> float:
        return float(np.dot(to_rgb(colour), (0.299, 0.587, 0.114)))

    for one, other in combinations(MARKS.values(), 2):
        if (one.reach > 0.0) == (other.reach > 0.0):
            apart = abs(grey(one.colour) - grey(other.colour)) > 0.25
            assert apart
            assert (one.mild != other.mild) or (one.hatch != other.hatch)


def test_every_surface_has_a_filling_of_its_own() -> None:
    assert len(set(FILLINGS)) == len(FILLINGS) >= len(SURFACES)


def test_the_shortest_stretch_has_a_bar_wide_and_tall_enough_to_see() -> None:
    ride = ridden((HIGH,), 100.0).candidates[0].ride
    state = np.full(ride.course.intervals, STATES.index(State.ON_TARGET))
    state[1234] = STATES.index(State.WALKING)
    (bar,) = bars(replace(ride, state=state), State.WALKING, MARKS[State.WALKING], rail=0.0)
    left, bottom, right, top = bar
    assert left <= 12.34 < right
    assert right - left == pytest.approx(100.0 / MOST_COLUMNS)
    assert top == 0.0
    assert bottom < -0.15


def test_a_bar_is_taller_where_more_time_is_spent() -> None:
    ride = ridden((HIGH,), 100.0).candidates[0].ride
    state = np.full(ride.course.intervals, STATES.index(State.ON_TARGET))
    state[1000] = state[5000:5020] = STATES.index(State.OVER_BAND)
    mark = MARKS[State.OVER_BAND]
    tops = bars(replace(ride, state=state), State.OVER_BAND, mark, rail=-2.0)[:, 3]
    assert -2.0 < tops[0] < tops.max() <= -2.0 + 0.5 * mark.reach


def test_bars_of_a_state_that_never_was_are_none() -> None:
    ride = ridden((LOW,)).candidates[0].ride
    state = np.full(ride.course.intervals, STATES.index(State.ON_TARGET))
    assert len(bars(replace(ride, state=state), State.WALKING, MARKS[State.WALKING], rail=0.0)) == 0


def test_the_hardest_places_stand_apart() -> None:
    places = hardest_places(ridden(TWELVE, 100.0).candidates)
    assert 0 < len(places) <= MOST_PLACES
    middles = [place.middle_m for place in places]
    assert all(abs(a - b) >= 5000.0 for a, b in combinations(middles, 2))


def test_a_hard_place_is_told_by_the_stretch_of_the_best_that_has_it() -> None:
    compared = ridden(FIVE)
    best = compared.candidates[0].worst
    told = [place.told for place in hardest_places(compared.candidates)]
    wall = next(place for place in best if place.grade > 0.15)
    assert wall in told
    assert stretch(wall.length_m, wall.grade) in verdict(compared)


def test_who_fares_worst_at_a_hard_place_has_most_hard_seconds_there_of_all() -> None:
    # Not only of those that count it among their five worst places.
    candidates = ridden(TWELVE, 100.0).candidates
    for place in hardest_places(candidates):
        first = round(place.start_m / 10.0)
        span = slice(first, first + round(place.length_m / 10.0))
        hard = [
            each.ride.duration_s[span][
                np.isin(each.ride.state[span], [STATES.index(state) for state in HARD])
            ].sum()
            for each in candidates
        ]
        assert place.seconds == pytest.approx(max(hard))
        assert candidates[int(np.argmax(hard))] is place.sufferer
        assert place.start_m <= place.told.start_m
        assert place.told.length_m <= place.length_m


def test_a_thinned_line_keeps_its_highest_and_lowest_point() -> None:
    x = np.arange(100_000.0)
    y = np.sin(x / 700.0)
    y[54_321], y[12_345] = 9.0, -9.0
    few_x, few_y = thinned(x, y)
    assert len(few_x) <= 1402
    assert (few_y.max(), few_y.min()) == (9.0, -9.0)
    assert (few_x[0], few_x[-1]) == (x[0], x[-1])
    assert (np.diff(few_x) > 0.0).all()


@pytest.mark.parametrize(
    ("grade", "told"), [(-0.003, "level"), (0.003, "level"), (0.16, "16 %"), (-0.07, "-7 %")]
)
def test_mean_grade_of_a_hard_place_is_told_without_the_sign_of_almost_nothing(
    grade: float, told: str
) -> None:
    comparison = ridden(FIVE)
    place = replace(comparison.candidates[0].worst[0], grade=grade)
    axes = draw_profile(new_sheet(4.0).add_axes((0, 0, 1, 1)), hills(), [place])
    assert [text.get_text() for text in axes.texts][-1] == told


def test_place_names_never_run_into_each_other() -> None:
    width_in = 5.5
    labels = place_labels(hills(20.0), width_in)
    assert len(labels) >= 3
    spans = []
    for label in labels:
        pole_in = label.at_m / 20_000.0 * width_in
        text_in = width_of_in(label.text, 7.5)
        start_in = pole_in - text_in if label.leftwards else pole_in
        assert start_in >= -0.2
        assert start_in + text_in <= width_in
        spans.append((label.row, start_in, start_in + text_in))
    for (row, start, end), (other_row, other_start, other_end) in combinations(spans, 2):
        assert row != other_row or end <= other_start or other_end <= start


def test_places_of_trouble_are_named_first() -> None:
    course = hills(20.0)
    wall_m = course.places[1].distance_m
    crowd = tuple(
        replace(course.places[0], name=f"A rather long name {n}", distance_m=wall_m - 1000.0 - n)
        for n in range(4)
    )
    crowded = replace(course, places=(*crowd, *course.places))
    assert "The wall" not in [label.text for label in place_labels(crowded, 2.0)]
    assert "The wall" in [label.text for label in place_labels(crowded, 2.0, first_m=[wall_m])]


def test_text_is_cut_to_the_room_it_has() -> None:
    assert fitted("fits", 5.0, BODY_PT) == "fits"
    for text in ("W" * 300, "a name that is far too long", "i" * 300):
        cut = fitted(text, 0.8, BODY_PT, bold=True)
        assert cut.endswith("…")
        assert width_of_in(cut, BODY_PT, bold=True) <= 0.8


def test_text_is_wrapped_to_the_room_it_has() -> None:
    text = "some words that make a paragraph of several lines when the room is narrow " + "W" * 90
    lines = wrapped(text, 2.0, BODY_PT, 3)
    assert len(lines) == 3
    assert max(width_of_in(line, BODY_PT) for line in lines) <= 2.0
    assert wrapped("", 2.0, BODY_PT, 3) == []
