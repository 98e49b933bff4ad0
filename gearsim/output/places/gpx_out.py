"""The course as GPX 1.1: a track, and waypoints at the places that matter for a drivetrain."""

from __future__ import annotations

from collections.abc import Sequence

import gpxpy.gpx

from gearsim.course.course import Course
from gearsim.output.places.track_points import track_nodes
from gearsim.output.places.words import cue_description, cue_name
from gearsim.output.words import clean
from gearsim.ride.ride import Ride
from gearsim.studies.cue_sheet import Cue, CueSheet

DEGREE_DECIMALS = 6  # a tenth of a metre
HEIGHT_DECIMALS = 2

ABOUT = (
    "Places are estimates of a model, not promises: local rules, the road and its signs come first."
)


def places_gpx(rides: Sequence[Ride], sheets: Sequence[CueSheet]) -> list[bytes]:
    """For each ride its course as a track with a waypoint at each cue, for any reader of GPX 1.1.

    The rides are of one course.  A waypoint's name tells in a few letters what to do, its
    description tells the rest.  There is no date: the same ride gives the same bytes.
    """
    track = _track(rides[0].course)
    return [_gpx(ride, sheet, track) for ride, sheet in zip(rides, sheets, strict=True)]


def _gpx(ride: Ride, sheet: CueSheet, track: gpxpy.gpx.GPXTrack) -> bytes:
    gpx = gpxpy.gpx.GPX()
    gpx.creator = "gearsim"
    gpx.name = clean(f"{ride.course.name}, {ride.drivetrain.name}")
    gpx.description = ABOUT
    gpx.waypoints = [_waypoint(ride, cue) for cue in sheet.cues]
    gpx.tracks = [track]
    return bytes(gpx.to_xml(version="1.1").encode())


def _waypoint(ride: Ride, cue: Cue) -> gpxpy.gpx.GPXWaypoint:
    course = ride.course
    latitude, longitude, height = _point(course, round(cue.start_m / course.step_m))
    return gpxpy.gpx.GPXWaypoint(
        latitude,
        longitude,
        elevation=height,
        name=cue_name(cue),
        description=cue_description(ride, cue),
        type=str(cue.advice),
    )


def _track(course: Course) -> gpxpy.gpx.GPXTrack:
    points = [
        gpxpy.gpx.GPXTrackPoint(latitude, longitude, elevation=height)
        for latitude, longitude, height in (
            _point(course, node) for node in track_nodes(course).tolist()
        )
    ]
    track = gpxpy.gpx.GPXTrack(name=clean(course.name))
    track.segments = [gpxpy.gpx.GPXTrackSegment(points)]
    return track


def _point(course: Course, node: int) -> tuple[float, float, float]:
    return (
        round(float(course.latitude_deg[node]), DEGREE_DECIMALS),
        round(float(course.longitude_deg[node]), DEGREE_DECIMALS),
        round(float(course.elevation_m[node]), HEIGHT_DECIMALS),
    )
