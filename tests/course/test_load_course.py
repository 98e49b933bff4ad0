import dataclasses
import gzip
from pathlib import Path

import numpy as np
import pytest
from made_gpx import gpx_track, hill, point, write

from gearsim.course.climbs import total_climb_m, total_descent_m
from gearsim.course.geodesic import leg_distances_m
from gearsim.course.loading import load_course
from gearsim.course.surface import SurfaceStretch
from gearsim.errors import PlanError, RouteError


def hilly(count: int, apart_m: float, longitude: float = 7.0) -> list[str]:
    """Points due east at 45°, over hills of 40 m every 2 km."""
    along = apart_m * np.arange(count)
    east = (longitude + along / 78_846.835 + 180.0) % 360.0 - 180.0
    height = 300.0 + 20.0 * np.sin(2.0 * np.pi * along / 2000.0)
    return [point(45.0, float(x), f"{h:.2f}") for x, h in zip(east, height, strict=True)]


def test_a_clean_route_becomes_a_course(tmp_path: Path) -> None:
    course = load_course(write(tmp_path, gpx_track(hill(), "over the hill")))
    assert course.name == "over the hill"
    assert course.length_m == pytest.approx(1111.32, abs=0.5)
    assert course.intervals == 111
    assert course.bearing_rad == pytest.approx(0.0, abs=1e-9)
    assert np.isinf(course.bend_radius_m).all()
    assert [surface.name for surface in course.surfaces] == ["tarmac"]
    assert course.report.points == course.report.points_kept == 101
    assert course.report.repairs == ()
    assert course.report.noise is not None


def test_every_array_of_a_course_fits_its_grid(tmp_path: Path) -> None:
    course = load_course(write(tmp_path, gpx_track(hilly(500, 7.0))), step_m=25.0)
    n = course.intervals
    arrays = {
        field.name: len(value)
        for field in dataclasses.fields(course)
        if isinstance(value := getattr(course, field.name), np.ndarray)
    }
    assert {name for name, length in arrays.items() if length == n + 1} == {
        "latitude_deg",
        "longitude_deg",
        "elevation_m",
        "bend_radius_m",
    }
    assert {name for name, length in arrays.items() if length == n} == {
        "bearing_rad",
        "surface_index",
    }


@pytest.mark.parametrize(("count", "apart_m"), [(4000, 3.0), (24, 500.0)])
def test_points_near_and_far_apart_keep_their_length(
    tmp_path: Path, count: int, apart_m: float
) -> None:
    course = load_course(write(tmp_path, gpx_track(hilly(count, apart_m))))
    assert course.length_m == pytest.approx((count - 1) * apart_m, rel=1e-4)


def test_the_date_line_changes_nothing(tmp_path: Path) -> None:
    here = load_course(write(tmp_path, gpx_track(hilly(800, 8.0, 7.0)), name="a.gpx"))
    across = load_course(write(tmp_path, gpx_track(hilly(800, 8.0, 179.96)), name="b.gpx"))
    assert across.longitude_deg.min() < -179.9
    assert across.longitude_deg.max() > 179.9
    assert across.length_m == pytest.approx(here.length_m, abs=0.05)
    assert across.elevation_m == pytest.approx(here.elevation_m, abs=0.05)
    assert across.bearing_rad == pytest.approx(here.bearing_rad, abs=1e-3)
    assert np.isinf(across.bend_radius_m).all()


def test_the_route_the_other_way_swaps_gain_and_loss(tmp_path: Path) -> None:
    points = hilly(700, 9.0)
    forth = load_course(write(tmp_path, gpx_track(points), name="a.gpx"))
    back = load_course(write(tmp_path, gpx_track(points[::-1]), name="b.gpx"))
    assert back.length_m == pytest.approx(forth.length_m)
    assert total_climb_m(back) == pytest.approx(total_descent_m(forth), rel=0.01)
    assert total_descent_m(back) == pytest.approx(total_climb_m(forth), rel=0.01)


def test_out_and_back_is_twice_as_long_and_ends_at_its_start_height(tmp_path: Path) -> None:
    points = hilly(500, 9.0)
    out = load_course(write(tmp_path, gpx_track(points), name="a.gpx"))
    both = load_course(write(tmp_path, gpx_track(points + points[-2::-1]), name="b.gpx"))
    assert both.length_m == pytest.approx(2.0 * out.length_m, rel=1e-6)
    assert both.elevation_m[-1] == pytest.approx(both.elevation_m[0], abs=1.0)
    assert both.bend_radius_m.min() == 2.0


def test_laps_are_all_ridden(tmp_path: Path) -> None:
    angle = np.linspace(0.0, 6.0 * np.pi, 600)
    latitude, longitude = 45 + 0.004 * np.sin(angle), 7 + 0.0056 * np.cos(angle)
    points = [point(a, b, 100) for a, b in zip(latitude, longitude, strict=True)]
    course = load_course(write(tmp_path, gpx_track(points)))
    lap_m = leg_distances_m(latitude[:200], longitude[:200]).sum()
    assert course.length_m == pytest.approx(3.0 * lap_m, rel=0.01)


def test_the_course_ends_where_the_route_does(tmp_path: Path) -> None:
    course = load_course(write(tmp_path, gpx_track(hill(77))), step_m=30.0)
    assert course.latitude_deg[-1] == pytest.approx(45.0076, abs=1e-12)
    assert course.distance_m[-1] == pytest.approx(course.length_m)
    legs_m = leg_distances_m(course.latitude_deg, course.longitude_deg)
    assert legs_m == pytest.approx(course.step_m, rel=1e-5)


def test_waypoints_become_places_on_the_course(tmp_path: Path) -> None:
    waypoints = [
        '<wpt lat="45.008" lon="7.0005"><name>tap</name></wpt>',
        '<wpt lat="45.002" lon="7.001"><name>feed</name></wpt>',
        '<wpt lat="46" lon="7"><name>elsewhere</name></wpt>',
    ]
    course = load_course(write(tmp_path, *waypoints, gpx_track(hill())))
    assert [place.name for place in course.places] == ["feed", "tap"]
    assert course.places[0].distance_m == pytest.approx(222.3, abs=10.0)
    assert course.report.left_out == ("elsewhere",)


def test_a_place_passed_twice_is_a_place_both_times(tmp_path: Path) -> None:
    points = hill()
    waypoint = '<wpt lat="45.002" lon="7"><name>feed</name></wpt>'
    course = load_course(write(tmp_path, waypoint, gpx_track(points + points[-2::-1])))
    assert [place.name for place in course.places] == ["feed", "feed"]
    there_m, back_m = (place.distance_m for place in course.places)
    assert there_m == pytest.approx(222.3, abs=10.0)
    assert back_m == pytest.approx(course.length_m - 222.3, abs=10.0)


def test_surfaces_are_laid_on_the_course(tmp_path: Path) -> None:
    table = [SurfaceStretch(from_km=0.2, to_km=0.5, surface="gravel")]
    path = write(tmp_path, gpx_track(hill()))
    course = load_course(path, surfaces=table, default_surface="concrete")
    assert [surface.name for surface in course.surfaces] == ["concrete", "gravel"]
    assert course.surface_index.sum() == pytest.approx(30, abs=1)


def test_the_same_file_gives_the_same_course_gzipped(tmp_path: Path) -> None:
    plain = write(tmp_path, gpx_track(hilly(300, 8.0)))
    zipped = tmp_path / "made.gpx.gz"
    zipped.write_bytes(gzip.compress(plain.read_bytes()))
    assert list(load_course(plain).elevation_m) == list(load_course(zipped).elevation_m)


def test_a_refusal_names_the_file(tmp_path: Path) -> None:
    path = write(tmp_path, gpx_track([point(45, 7 + i / 1000, None) for i in range(50)]))
    with pytest.raises(RouteError, match=r"made\.gpx: the route has no heights"):
        load_course(path)


@pytest.mark.parametrize("step_m", [0.0, -10.0, 0.5, 1000.0, float("nan")])
def test_an_impossible_step_is_refused(tmp_path: Path, step_m: float) -> None:
    with pytest.raises(PlanError, match="step_m is"):
        load_course(write(tmp_path, gpx_track(hill())), step_m=step_m)


def test_surface_that_nobody_told_is_reported_as_assumed(tmp_path: Path) -> None:
    route = write(tmp_path, gpx_track(hill()))
    told = [SurfaceStretch(from_km=0.0, to_km=0.1, surface="gravel")]
    assert load_course(route).report.assumed_surface == "tarmac"
    assert load_course(route, surfaces=told).report.assumed_surface == ""
