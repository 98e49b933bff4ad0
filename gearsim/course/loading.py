"""From a GPX file to a course, step by step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from gearsim.course.bends import bend_radii_m
from gearsim.course.choice import Choice, choose_track
from gearsim.course.course import Course
from gearsim.course.gpx_in import RouteFile, read_gpx
from gearsim.course.grid import interval_bearings_rad, node_distances_m, places_at
from gearsim.course.heights.elevation import SmoothedElevation, smooth_elevation
from gearsim.course.places import places_on_course
from gearsim.course.repairs.repair import RepairedTrack, repair_track
from gearsim.course.route_report import RouteReport
from gearsim.course.surface import SurfaceStretch, assign_surfaces
from gearsim.errors import PlanError, as_given

SHORTEST_STEP_M, LONGEST_STEP_M = 1.0, 200.0


def load_course(
    path: str | Path,
    step_m: float = 10.0,
    surfaces: Sequence[SurfaceStretch] = (),
    default_surface: str = "tarmac",
) -> Course:
    """The course of a GPX file, on a grid of about `step_m`.

    The intervals are as near to `step_m` as a whole number of them allows, so that the course ends
    exactly where the route does.  Raises `FileError` for a file that cannot be read, `RouteError`
    for one that cannot become a course, `PlanError` for an impossible step or surface.
    """
    return course_of(read_gpx(path), step_m, surfaces, default_surface)


def course_of(
    file: RouteFile,
    step_m: float = 10.0,
    surfaces: Sequence[SurfaceStretch] = (),
    default_surface: str = "tarmac",
) -> Course:
    """The course of a GPX file that has been read, as `load_course` makes it."""
    if not SHORTEST_STEP_M <= step_m <= LONGEST_STEP_M:
        raise PlanError(
            f"step_m is {as_given(step_m)}; allowed is {SHORTEST_STEP_M:g} to {LONGEST_STEP_M:g}, "
            "10 serves nearly always"
        )
    choice = choose_track(file)
    track = repair_track(choice.track, str(file.path))
    nodes_m = node_distances_m(float(track.distance_m[-1]), step_m)
    found, surface_index = assign_surfaces(surfaces, default_surface, nodes_m)
    smoothed = smooth_elevation(track.distance_m, track.elevation_m, nodes_m)
    latitude, longitude = places_at(
        track.distance_m, track.latitude_deg, track.longitude_deg, nodes_m
    )
    places, left_out = places_on_course(file.waypoints, nodes_m, latitude, longitude)
    return Course(
        name=choice.name,
        step_m=float(nodes_m[-1]) / (len(nodes_m) - 1),
        latitude_deg=latitude,
        longitude_deg=longitude,
        elevation_m=smoothed.elevation_m,
        bearing_rad=interval_bearings_rad(latitude, longitude),
        bend_radius_m=bend_radii_m(
            track.distance_m, track.latitude_deg, track.longitude_deg, nodes_m
        ),
        surfaces=found,
        surface_index=surface_index,
        places=places,
        report=replace(
            _report(str(file.path), choice, track, smoothed, left_out),
            assumed_surface="" if surfaces else default_surface,
        ),
    )


def _report(
    source: str,
    choice: Choice,
    track: RepairedTrack,
    smoothed: SmoothedElevation,
    left_out: tuple[str, ...],
) -> RouteReport:
    return RouteReport(
        source=source,
        taken=choice.sentence,
        points=choice.track.points,
        points_kept=len(track.distance_m),
        repairs=track.repairs,
        noise=smoothed.noise,
        left_out=left_out,
    )
