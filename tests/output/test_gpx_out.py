"""GPX out: valid, read back the same, and of use on a head unit.

The schema beside this file is ours: the part of GPX 1.1 that is written, after the published one.
"""

from pathlib import Path

import gpxpy
import numpy as np
import pytest
from lxml import etree
from made_comparison import FIVE, ridden
from made_report import EVIL, hostile

from gearsim.course.climbs import total_climb_m
from gearsim.course.course import Course
from gearsim.course.loading import load_course
from gearsim.output.places.gpx_out import places_gpx
from gearsim.output.places.track_points import LONGEST_LEG_M, track_nodes
from gearsim.output.places.words import cue_name
from gearsim.studies.compare import Comparison
from gearsim.studies.cue_sheet import cue_sheet

SCHEMA = etree.XMLSchema(etree.parse(Path(__file__).with_name("gpx_written.xsd")))
LONGEST_NAME = 20


def written(comparison: Comparison) -> list[bytes]:
    rides = [candidate.ride for candidate in comparison.candidates]
    return places_gpx(rides, [cue_sheet(ride) for ride in rides])


def read_back(content: bytes, folder: Path) -> Course:
    path = folder / "places.gpx"
    path.write_bytes(content)
    return load_course(path)


@pytest.mark.parametrize("comparison", [ridden(), hostile()], ids=["plain", "hostile"])
def test_written_files_are_valid(comparison: Comparison) -> None:
    for content in written(comparison):
        SCHEMA.assertValid(etree.fromstring(content))


def test_the_schema_refuses_elements_out_of_order() -> None:
    text = written(ridden())[0].decode()
    swapped = text.replace("<name>", "<x>").replace("<desc>", "<name>").replace("<x>", "<desc>")
    swapped = swapped.replace("</name>", "</x>").replace("</desc>", "</name>")
    swapped = swapped.replace("</x>", "</desc>")
    assert not SCHEMA.validate(etree.fromstring(swapped.encode()))


def test_read_back_it_is_the_same_road(tmp_path: Path) -> None:
    course = ridden(FIVE, 30.0).candidates[0].ride.course
    again = read_back(written(ridden(FIVE, 30.0))[0], tmp_path)
    assert again.length_m == pytest.approx(course.length_m, rel=0.003)
    assert total_climb_m(again) == pytest.approx(total_climb_m(course), rel=0.01)
    assert again.report.repairs == ()


def test_waypoints_are_at_their_places_on_the_course(tmp_path: Path) -> None:
    ride = ridden(FIVE, 30.0).candidates[-1].ride
    cues = cue_sheet(ride).cues
    again = read_back(places_gpx([ride], [cue_sheet(ride)])[0], tmp_path)
    assert [place.name for place in again.places] == [cue_name(cue) for cue in cues]
    for place, cue in zip(again.places, cues, strict=True):
        assert place.distance_m == pytest.approx(cue.start_m, abs=0.003 * ride.course.length_m)


def test_names_are_short_enough_for_a_head_unit_and_begin_with_what_to_do() -> None:
    for candidate in ridden(FIVE, 30.0).candidates:
        for cue in cue_sheet(candidate.ride).cues:
            assert len(cue_name(cue)) <= LONGEST_NAME
    walk = next(c for c in cue_sheet(ridden().candidates[-1].ride).cues if c.advice == "walk")
    assert cue_name(walk) == f"Walk {walk.advised_m:.0f} m, {100 * walk.grade:.0f} %"


def test_descriptions_tell_kilometre_length_grade_and_what_to_expect() -> None:
    ride = ridden().candidates[-1].ride
    gpx = gpxpy.parse(places_gpx([ride], [cue_sheet(ride)])[0].decode())
    walk = next(point for point in gpx.waypoints if point.type == "walk")
    assert walk.description.startswith("Km 2.0, Café, first stop: 100 m at 22 %, ")
    assert "44×17 cannot be held at 50 rpm." in walk.description


def test_hostile_names_are_text() -> None:
    names = [etree.fromstring(content).findtext("{*}trk/{*}name") for content in written(hostile())]
    assert names == [EVIL] * len(names)


def test_no_leg_is_long_enough_to_look_like_a_hole() -> None:
    course = ridden(FIVE, 30.0).candidates[0].ride.course
    nodes = track_nodes(course)
    assert nodes[0] == 0
    assert nodes[-1] == course.intervals
    assert (nodes[1:] > nodes[:-1]).all()
    assert (nodes[1:] - nodes[:-1]).max() * course.step_m <= LONGEST_LEG_M
    assert len(nodes) < 0.7 * course.intervals


def test_heights_and_line_are_kept_where_nodes_are_left_out() -> None:
    course = ridden(FIVE, 30.0).candidates[0].ride.course
    nodes = track_nodes(course)
    along = np.arange(course.intervals + 1)
    height = np.interp(along, nodes, course.elevation_m[nodes])
    north = np.interp(along, nodes, course.latitude_deg[nodes])
    assert np.abs(height - course.elevation_m).max() < 0.15
    assert np.abs(north - course.latitude_deg).max() * 111_000.0 < 1.0
