"""Write route.gpx: the Lanternmoor Hundred, an invented gravel event, as a rider would record it.

Everything follows from the table `STRETCHES` below, read from start to finish: how long, how
steep, which way, what kind of road, what ground.  The road is laid out metre by metre, ridden at
plausible speeds, recorded with the noise of a barometer and a satellite receiver, and given the
small faults that real recordings have (a stop, duplicate points, a spike and a gap in height).

Nothing here is a real place: the coordinates lie in the open Atlantic, hundreds of kilometres
from any road.  Heights, names and dates are invented too.  One seed: the same file every time.

    python routes/lanternmoor/make_route.py

writes route.gpx beside this script and prints the true surfaces, as `[[surface]]` tables for a
plan, and the true features of the road.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from itertools import groupby
from pathlib import Path
from typing import NamedTuple

import gpxpy.gpx
import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray
from pyproj import Proj

Floats = NDArray[np.float64]

SEED = 20310517
NAME = "Lanternmoor Hundred"
START_TIME = datetime(2031, 5, 17, 8, 0, 0, tzinfo=UTC)
START_LATITUDE_DEG, START_LONGITUDE_DEG = 47.0, -28.0
START_HEIGHT_M = 240.0
FINISH = "Finish, Lanternmoor green"
FINISH_EAST_M, FINISH_NORTH_M = 90.0, -110.0  # of the start: across the green


class Road(NamedTuple):
    """How a kind of road wanders: straights and bends, drawn evenly between the two ends."""

    straight_m: tuple[float, float]
    bend_radius_m: tuple[float, float]
    spread_deg: float  # how far, one standard deviation, a straight points off the table's heading
    zigzag_deg: float = 0.0  # straights point this far left and right of it in turn: hairpins


ROADS = {
    "straight": Road((250, 700), (260, 600), 9),
    "valley": Road((80, 300), (70, 220), 24),
    "lane": Road((40, 160), (25, 80), 32),
    "twisty": Road((25, 90), (13, 40), 45),
    "hairpins": Road((90, 210), (9, 14), 6, zigzag_deg=73),
}


class Stretch(NamedTuple):
    """A stretch of road as it lies on the ground."""

    length_m: float
    grade_percent: float
    rolling_percent: float  # standard deviation of the grade's waves; they add no height
    heading_deg: float
    road: str
    surface: str
    feature: str = ""  # neighbours of one name are one feature
    place: str = ""  # a waypoint where the stretch begins


STRETCHES = (
    # Out of the village over a first hill.
    Stretch(1100, 0.6, 1.5, 272, "lane", "tarmac", place="Start, Lanternmoor"),
    Stretch(700, 7.8, 1.0, 262, "lane", "tarmac"),
    Stretch(900, -7.1, 1.0, 255, "valley", "tarmac"),
    Stretch(1900, -2.2, 2.6, 248, "valley", "tarmac"),
    # The Candle Lanes: short, steep, one after another.
    Stretch(900, 0.6, 2.8, 265, "lane", "hard-packed gravel"),
    Stretch(130, 16.0, 0.8, 255, "lane", "hard-packed gravel", "first Candle ramp"),
    Stretch(650, -2.4, 2.2, 240, "lane", "hard-packed gravel"),
    Stretch(95, 19.5, 0.5, 250, "lane", "gravel", "second Candle ramp"),
    Stretch(800, -3.6, 2.2, 235, "lane", "gravel"),
    Stretch(240, 14.8, 0.8, 225, "lane", "gravel", "third Candle ramp"),
    Stretch(700, 0.8, 2.8, 240, "lane", "hard-packed gravel"),
    Stretch(1000, -6.8, 1.0, 225, "twisty", "gravel"),
    Stretch(1500, 0.2, 2.4, 250, "valley", "rough tarmac"),
    # Snowdrop Bank, and the first place where a small top gear spins out.
    Stretch(3300, 5.0, 1.1, 222, "valley", "tarmac", "Snowdrop Bank"),
    Stretch(450, 0.3, 1.0, 205, "valley", "tarmac"),
    Stretch(3400, -6.5, 0.7, 218, "straight", "tarmac", "descent to Sallow Fen"),
    Stretch(1200, -0.9, 1.4, 250, "valley", "tarmac"),
    # Sallow Fen: flat, open, into the prevailing westerly.
    Stretch(5200, 0.0, 0.25, 282, "straight", "tarmac", "Sallow Fen"),
    Stretch(7200, 0.0, 0.2, 268, "straight", "hard-packed gravel", "Sallow Fen", "Feed, Sallow"),
    Stretch(4300, 0.05, 0.3, 284, "straight", "rough tarmac", "Sallow Fen"),
    # Up the valley to the foot of the long climb.
    Stretch(2300, 0.7, 2.6, 322, "valley", "tarmac"),
    Stretch(110, 16.8, 0.6, 335, "lane", "rough tarmac", "Chapel ramp"),
    Stretch(800, -3.0, 2.0, 345, "lane", "rough tarmac"),
    Stretch(650, 7.2, 1.0, 355, "lane", "rough tarmac"),
    Stretch(600, -6.5, 1.0, 340, "valley", "rough tarmac"),
    Stretch(1100, 1.0, 2.4, 350, "valley", "tarmac"),
    # The long climb.
    Stretch(2300, 5.0, 0.9, 355, "valley", "tarmac", "Taper Gate climb"),
    Stretch(1900, 6.1, 0.9, 15, "lane", "tarmac", "Taper Gate climb"),
    Stretch(1500, 5.3, 0.8, 20, "hairpins", "tarmac", "Taper Gate climb"),
    Stretch(2200, 5.5, 1.1, 5, "lane", "tarmac", "Taper Gate climb"),
    Stretch(1050, 8.6, 1.0, 25, "hairpins", "gravel", "Taper Gate climb"),
    # Over the moor.
    Stretch(1500, -0.6, 3.2, 40, "lane", "gravel", place="Taper Gate, the high pass"),
    Stretch(700, -1.6, 3.0, 60, "twisty", "single track"),
    Stretch(120, 17.5, 0.8, 70, "lane", "gravel", "Cairn ramp"),
    Stretch(1700, -0.6, 3.4, 50, "lane", "gravel"),
    Stretch(500, 9.0, 1.2, 40, "lane", "gravel"),
    Stretch(450, -8.6, 1.2, 60, "lane", "gravel"),
    Stretch(350, 1.0, 1.8, 75, "lane", "grass"),
    Stretch(1400, -0.5, 2.8, 70, "valley", "rough tarmac"),
    # The fast one.
    Stretch(2600, -7.9, 0.6, 80, "straight", "tarmac", "descent to Wick ford"),
    Stretch(2600, -7.0, 0.6, 92, "straight", "tarmac", "descent to Wick ford"),
    Stretch(2100, -0.6, 2.6, 75, "valley", "tarmac"),
    Stretch(700, 6.0, 1.2, 85, "lane", "hard-packed gravel"),
    Stretch(600, -6.0, 1.2, 95, "lane", "hard-packed gravel"),
    Stretch(900, -0.6, 2.2, 90, "lane", "hard-packed gravel"),
    # Through the ford, then the wall.
    Stretch(1300, 0.8, 2.4, 100, "lane", "gravel", place="Wick ford"),
    Stretch(60, 21.0, 0.4, 110, "lane", "loose gravel", "the Snuffer", "The Snuffer, the wall"),
    Stretch(90, 24.0, 0.4, 120, "lane", "loose gravel", "the Snuffer"),
    Stretch(60, 22.0, 0.4, 110, "lane", "loose gravel", "the Snuffer"),
    Stretch(700, 1.5, 2.0, 100, "lane", "loose gravel"),
    Stretch(2900, 6.0, 1.3, 90, "lane", "gravel", "Ember Rise"),
    Stretch(700, 7.4, 1.0, 115, "hairpins", "gravel", "Ember Rise"),
    Stretch(1300, 0.4, 2.8, 110, "valley", "hard-packed gravel", place="Feed, Ember hall"),
    Stretch(900, 0.0, 2.4, 120, "twisty", "single track"),
    # The twisty way down, on gravel.
    Stretch(1500, -7.6, 1.0, 125, "twisty", "gravel", "Ember hairpins, down"),
    Stretch(1500, -8.8, 0.8, 110, "hairpins", "gravel", "Ember hairpins, down"),
    Stretch(1000, -6.8, 1.0, 95, "twisty", "loose gravel", "Ember hairpins, down"),
    # The long rolling valley home.
    Stretch(1500, -0.4, 2.6, 78, "valley", "tarmac"),
    Stretch(1500, 6.8, 1.2, 90, "valley", "tarmac"),
    Stretch(950, -7.9, 1.0, 100, "valley", "tarmac"),
    Stretch(1900, 0.2, 2.8, 85, "valley", "hard-packed gravel"),
    Stretch(80, 19.0, 0.6, 90, "lane", "gravel", "Mill ramp"),
    Stretch(1500, -0.4, 2.8, 105, "valley", "hard-packed gravel"),
    Stretch(750, 8.4, 1.2, 95, "lane", "rough tarmac"),
    Stretch(850, -7.5, 1.0, 110, "lane", "rough tarmac"),
    Stretch(1900, 0.2, 2.8, 105, "valley", "rough tarmac"),
    Stretch(700, 7.8, 1.2, 120, "lane", "tarmac"),
    Stretch(700, -7.6, 1.0, 110, "valley", "tarmac"),
    Stretch(170, 14.5, 0.8, 120, "lane", "tarmac", "Beacon ramp"),
    Stretch(1400, -0.6, 2.8, 130, "valley", "tarmac"),
    Stretch(600, 10.2, 1.2, 145, "lane", "rough tarmac"),
    Stretch(700, -8.6, 1.0, 150, "lane", "rough tarmac"),
    # One more ridge, one more fast descent.
    Stretch(2200, 5.8, 1.3, 155, "lane", "gravel", "Lantern Ridge"),
    Stretch(400, 0.5, 2.0, 165, "lane", "gravel"),
    Stretch(2700, -7.8, 0.7, 192, "straight", "tarmac", "descent to the river"),
    Stretch(1500, 0.0, 2.4, 220, "valley", "tarmac"),
    Stretch(550, 7.8, 1.2, 245, "lane", "tarmac"),
    Stretch(700, -5.4, 1.2, 250, "valley", "tarmac"),
    Stretch(1700, 0.4, 2.6, 285, "valley", "hard-packed gravel"),
    Stretch(150, 17.0, 0.7, 320, "lane", "hard-packed gravel", "last ramp"),
    Stretch(1200, -0.4, 2.0, 335, "lane", "tarmac"),
    Stretch(250, 0.0, 0.6, 345, "lane", "grass"),
)

HEADING_MEMORY = 0.6  # how much of one straight's turn away from the table the next one keeps
MOST_WANDER_DEG = 72.0  # a road that turns further crosses itself
TRANSITION_M = 10.0  # over which a road eases into a bend
VERTICAL_CURVE_M = 11.0  # over which it eases into a ramp
ROLLING_WAVES_M = ((45.0, 0.6), (180.0, 0.8))  # smoothing of the grade's waves, and their share

# A middling rider: speed on tarmac at each grade, and the share of it on other ground.
GRADE_PERCENT = (-10, -7, -5, -3, -1, 0, 1, 2, 4, 6, 8, 12, 16, 20, 24)
SPEED_KMH = (54.0, 56.0, 48.0, 37.0, 29.0, 26.0, 23.0, 19.0, 14.0, 10.5, 8.3, 6.2, 5.3, 4.3, 3.4)
SPEED_SHARE = {
    "tarmac": 1.0,
    "rough tarmac": 0.95,
    "hard-packed gravel": 0.92,
    "gravel": 0.83,
    "loose gravel": 0.7,
    "grass": 0.65,
    "single track": 0.6,
}
SIDE_ACCELERATION_MPS2 = 2.5
SPEED_EASING_M = 25.0
WALKING_MPS = 0.9  # nobody is slower

# The recorder: how far apart its points are, and how wrong.  Noise is a standard deviation.
SPACING_M = (9.0, 15.0)
HEIGHT_NOISE_M = 0.3
HEIGHT_DRIFT_M = 1.3
DRIFT_TIME_S = 2400.0
HEIGHT_STEP_M = 0.2
PLACE_NOISE_M = 1.5
PLACE_NOISE_REACH_M = 60.0

# The faults, at true distances.
STOP_PLACE = "Feed, Sallow"
STOP_S, STOP_EVERY_S, STOP_DRIFT_M = 60, 3, 0.8
DUPLICATES_AT_KM = (31.4, 77.2)
SPIKE_AT_KM, SPIKE_M = 58.3, 42.0
HEIGHT_GAP_AT_KM, HEIGHT_GAP_POINTS = 92.6, 9


@dataclass(frozen=True, kw_only=True)
class Ground:
    """The true road, node by node, about 1 m apart: where it is, how high, how it bends."""

    distance_m: Floats
    east_m: Floats
    north_m: Floats
    height_m: Floats
    bend_radius_m: Floats
    stretch: NDArray[np.int64]  # index into STRETCHES
    begins_m: Floats  # where each stretch begins, and where the last one ends


@dataclass(frozen=True, kw_only=True)
class Recording:
    """The points of a recording: seconds from the start, place, height (NaN: none)."""

    time_s: Floats
    distance_m: Floats  # true distance, to know where a fault goes; not written
    east_m: Floats
    north_m: Floats
    height_m: Floats


def smoothed(values: Floats, reach: float) -> Floats:
    """Values weighted by a bell curve with a standard deviation of `reach` samples."""
    half = int(np.ceil(3.5 * reach))
    bell = np.exp(-0.5 * (np.arange(-half, half + 1) / reach) ** 2)
    padded = np.pad(values, half, mode="reflect")
    return np.convolve(padded, bell / bell.sum(), mode="valid")


def smooth_noise(count: int, reach: float, random: Generator) -> Floats:
    """Smooth noise with standard deviation 1."""
    noise = smoothed(random.standard_normal(count), reach)
    return noise / float(noise.std())


def nearest_turn_deg(turn_deg: float) -> float:
    """The same turn, the short way round: from -180 to 180."""
    return (turn_deg + 180.0) % 360.0 - 180.0


def straights_and_bends(
    stretch: Stretch, heading_deg: float, random: Generator
) -> Iterator[tuple[float, float]]:
    """Length in m and turn in degrees of one straight or bend after another, without end."""
    road = ROADS[stretch.road]
    side, wander_deg = 1.0, 0.0
    while True:
        yield random.uniform(*road.straight_m), 0.0
        wander_deg = HEADING_MEMORY * wander_deg + road.spread_deg * random.standard_normal()
        wander_deg = min(max(wander_deg, -MOST_WANDER_DEG), MOST_WANDER_DEG)
        target_deg = stretch.heading_deg + side * road.zigzag_deg + wander_deg
        turn_deg = nearest_turn_deg(target_deg - heading_deg)
        yield random.uniform(*road.bend_radius_m) * abs(np.radians(turn_deg)), turn_deg
        heading_deg += turn_deg
        side = -side


def headings_deg(random: Generator) -> Floats:
    """Heading of the road at every metre of the table, in degrees clockwise from north."""
    turns: list[Floats] = []
    heading_deg = STRETCHES[0].heading_deg
    for stretch in STRETCHES:
        turn_per_m: list[float] = []
        for length_m, turn_deg in straights_and_bends(stretch, heading_deg, random):
            steps = max(1, round(length_m))
            turn_per_m += [turn_deg / steps] * steps
            if len(turn_per_m) >= stretch.length_m:
                break
        kept = np.array(turn_per_m[: round(stretch.length_m)])
        heading_deg += float(kept.sum())
        turns.append(kept)
    eased = smoothed(np.concatenate(turns), TRANSITION_M / 2.0)
    return STRETCHES[0].heading_deg + np.cumsum(eased)


def grades(stretch: NDArray[np.int64], random: Generator) -> Floats:
    """Grade at every metre as a fraction: the table's, eased, with waves that add no height."""
    table = np.array([(row.grade_percent, row.rolling_percent) for row in STRETCHES]) / 100.0
    waves = np.zeros(len(stretch))
    for reach_m, share in ROLLING_WAVES_M:
        waves += share * smooth_noise(len(stretch), reach_m, random)
    waves *= table[stretch, 1]
    mean = np.bincount(stretch, weights=waves) / np.bincount(stretch)
    return smoothed(table[stretch, 0] + waves - mean[stretch], VERTICAL_CURVE_M)


def closed(values: Floats, end: float) -> Floats:
    """Values that come to `end`: what is missing is spread evenly along the way."""
    return values + np.linspace(0.0, end - values[-1], len(values))


def lay_out(random: Generator) -> Ground:
    """The true road, from the table to a loop that comes home in place and height."""
    lengths = np.array([round(row.length_m) for row in STRETCHES])
    stretch = np.repeat(np.arange(len(STRETCHES)), lengths)
    heading = np.radians(headings_deg(random))
    east_m = closed(np.cumsum(np.sin(heading)), FINISH_EAST_M)
    north_m = closed(np.cumsum(np.cos(heading)), FINISH_NORTH_M)
    step_m = np.hypot(np.diff(east_m, prepend=east_m[0]), np.diff(north_m, prepend=north_m[0]))
    distance_m = np.cumsum(step_m)
    climbed_m = np.cumsum(grades(stretch, random) * step_m)
    begins = np.concatenate(([0], np.cumsum(lengths)))
    return Ground(
        distance_m=distance_m,
        east_m=east_m,
        north_m=north_m,
        height_m=START_HEIGHT_M + closed(climbed_m, 0.0),
        bend_radius_m=1.0 / np.maximum(np.abs(np.gradient(heading)), 1e-6),
        stretch=stretch,
        begins_m=distance_m[np.minimum(begins, len(stretch) - 1)],
    )


def ridden_speed_mps(ground: Ground) -> Floats:
    """A plausible speed at every node, from grade, surface and bends."""
    grade_percent = 100.0 * np.gradient(ground.height_m, ground.distance_m)
    share = np.array([SPEED_SHARE[row.surface] for row in STRETCHES])[ground.stretch]
    speed_mps = np.interp(grade_percent, GRADE_PERCENT, SPEED_KMH) / 3.6 * share
    speed_mps = np.maximum(speed_mps, WALKING_MPS)
    in_bend_mps = np.sqrt(SIDE_ACCELERATION_MPS2 * ground.bend_radius_m)
    return smoothed(np.minimum(speed_mps, in_bend_mps), SPEED_EASING_M)


def recorded_at(ground: Ground, random: Generator) -> tuple[Floats, Floats]:
    """True distance in m, and whole seconds, of each point: one roughly every `SPACING_M`."""
    speed_mps = ridden_speed_mps(ground)
    passed_s = np.cumsum(np.diff(ground.distance_m, prepend=0.0) / speed_mps)
    times = [0.0]
    while times[-1] < passed_s[-1]:
        speed_now_mps = float(np.interp(times[-1], passed_s, speed_mps))
        times.append(times[-1] + max(1, round(random.uniform(*SPACING_M) / speed_now_mps)))
    return np.interp(times, passed_s, ground.distance_m), np.array(times)


def record(ground: Ground, random: Generator) -> Recording:
    """The ride as a satellite receiver and a barometer see it, without faults yet."""
    distance_m, time_s = recorded_at(ground, random)
    drift_m = HEIGHT_DRIFT_M * smooth_noise(int(time_s[-1]) + 1, DRIFT_TIME_S, random)
    height_m = np.interp(distance_m, ground.distance_m, ground.height_m)
    height_m += drift_m[time_s.astype(int)]
    height_m += HEIGHT_NOISE_M * random.standard_normal(len(time_s))
    nodes = len(ground.distance_m)
    east_m = ground.east_m + PLACE_NOISE_M * smooth_noise(nodes, PLACE_NOISE_REACH_M, random)
    north_m = ground.north_m + PLACE_NOISE_M * smooth_noise(nodes, PLACE_NOISE_REACH_M, random)
    return Recording(
        time_s=time_s,
        distance_m=distance_m,
        east_m=np.interp(distance_m, ground.distance_m, east_m),
        north_m=np.interp(distance_m, ground.distance_m, north_m),
        height_m=np.round(height_m / HEIGHT_STEP_M) * HEIGHT_STEP_M,
    )


def place_m(ground: Ground, place: str) -> float:
    """True distance of a waypoint of the table."""
    return float(ground.begins_m[[row.place for row in STRETCHES].index(place)])


def repeated(recording: Recording, at: int, times: int = 1) -> Recording:
    """The recording with one point repeated right after itself."""

    def column(values: Floats) -> Floats:
        return np.insert(values, at + 1, np.full(times, values[at]))

    return Recording(
        time_s=column(recording.time_s),
        distance_m=column(recording.distance_m),
        east_m=column(recording.east_m),
        north_m=column(recording.north_m),
        height_m=column(recording.height_m),
    )


def with_stop(recording: Recording, stop_m: float, random: Generator) -> Recording:
    """The recording with a stop, during which the place seen drifts about."""
    points = STOP_S // STOP_EVERY_S
    at = int(np.searchsorted(recording.distance_m, stop_m))
    stopped = repeated(recording, at, points)
    during = slice(at + 1, at + 1 + points)
    time_s, east_m, north_m = stopped.time_s.copy(), stopped.east_m.copy(), stopped.north_m.copy()
    time_s[during] += STOP_EVERY_S * np.arange(1, points + 1)
    time_s[during.stop :] += STOP_S
    east_m[during] += np.cumsum(STOP_DRIFT_M * random.standard_normal(points))
    north_m[during] += np.cumsum(STOP_DRIFT_M * random.standard_normal(points))
    return replace(stopped, time_s=time_s, east_m=east_m, north_m=north_m)


def with_faults(recording: Recording) -> Recording:
    """The recording with a spike and a short gap in height, and duplicate points."""
    height_m = recording.height_m.copy()
    height_m[np.searchsorted(recording.distance_m, 1000.0 * SPIKE_AT_KM)] += SPIKE_M
    gap = int(np.searchsorted(recording.distance_m, 1000.0 * HEIGHT_GAP_AT_KM))
    height_m[gap : gap + HEIGHT_GAP_POINTS] = np.nan
    faulty = replace(recording, height_m=height_m)
    for km in DUPLICATES_AT_KM:
        faulty = repeated(faulty, int(np.searchsorted(faulty.distance_m, 1000.0 * km)))
    return faulty


def track_points(recording: Recording, on_map: Proj) -> Iterator[gpxpy.gpx.GPXTrackPoint]:
    """The points of the recording as GPX has them."""
    longitude_deg, latitude_deg = on_map(recording.east_m, recording.north_m, inverse=True)
    for latitude, longitude, height, second in zip(
        latitude_deg, longitude_deg, recording.height_m, recording.time_s, strict=True
    ):
        yield gpxpy.gpx.GPXTrackPoint(
            latitude=round(float(latitude), 7),
            longitude=round(float(longitude), 7),
            elevation=None if np.isnan(height) else round(float(height), 1),
            time=START_TIME + timedelta(seconds=float(second)),
        )


def waypoints(ground: Ground, on_map: Proj) -> Iterator[gpxpy.gpx.GPXWaypoint]:
    """The named places of the table, and the finish."""
    places = {row.place: float(m) for row, m in zip(STRETCHES, ground.begins_m, strict=False)}
    del places[""]
    places[FINISH] = float(ground.begins_m[-1])
    for name, metres in places.items():
        longitude, latitude = on_map(
            np.interp(metres, ground.distance_m, ground.east_m),
            np.interp(metres, ground.distance_m, ground.north_m),
            inverse=True,
        )
        height_m = float(np.interp(metres, ground.distance_m, ground.height_m))
        yield gpxpy.gpx.GPXWaypoint(
            latitude=round(float(latitude), 7),
            longitude=round(float(longitude), 7),
            elevation=round(height_m, 1),
            name=name,
        )


def as_gpx(ground: Ground, recording: Recording) -> str:
    """The whole file as text."""
    on_map = Proj(proj="aeqd", lat_0=START_LATITUDE_DEG, lon_0=START_LONGITUDE_DEG, ellps="WGS84")
    gpx = gpxpy.gpx.GPX()
    gpx.creator = "routes/lanternmoor/make_route.py"
    gpx.name = NAME
    gpx.time = START_TIME
    gpx.waypoints.extend(waypoints(ground, on_map))
    track = gpxpy.gpx.GPXTrack(name=NAME)
    track.segments.append(gpxpy.gpx.GPXTrackSegment(list(track_points(recording, on_map))))
    gpx.tracks.append(track)
    return gpx.to_xml(version="1.1") + "\n"


def runs(name_of: Callable[[Stretch], str]) -> Iterator[tuple[str, int, int]]:
    """Neighbouring stretches of one name: the name, the first of them, and the one after."""
    for name, members in groupby(range(len(STRETCHES)), key=lambda i: name_of(STRETCHES[i])):
        indices = list(members)
        yield name, indices[0], indices[-1] + 1


def surface_tables(ground: Ground) -> Iterator[str]:
    """The true surfaces, ready for a plan."""
    km = ground.begins_m / 1000.0
    for surface, first, after in runs(lambda row: row.surface):
        yield (
            f"[[surface]]\nfrom_km = {km[first]:.2f}\nto_km = {km[after]:.2f}\n"
            f'surface = "{surface}"\n'
        )


def feature_lines(ground: Ground) -> Iterator[str]:
    """The true features: where, how long, how steep."""
    heights_m = np.interp(ground.begins_m, ground.distance_m, ground.height_m)
    for feature, first, after in runs(lambda row: row.feature):
        length_m = ground.begins_m[after] - ground.begins_m[first]
        grade_percent = 100.0 * (heights_m[after] - heights_m[first]) / length_m
        if feature:
            km = ground.begins_m[first] / 1000.0
            yield f"{km:7.2f} km  {length_m:6.0f} m  {grade_percent:+6.1f} %  {feature}"


def main() -> None:
    """Write route.gpx beside this script and print what the road truly is."""
    for_road, for_recording, for_stop = np.random.default_rng(SEED).spawn(3)
    ground = lay_out(for_road)
    recording = record(ground, for_recording)
    recording = with_faults(with_stop(recording, place_m(ground, STOP_PLACE), for_stop))
    path = Path(__file__).with_name("route.gpx")
    path.write_text(as_gpx(ground, recording), encoding="utf-8")
    climb_m = np.maximum(np.diff(ground.height_m), 0.0).sum()
    print("\n".join(surface_tables(ground)))
    print("\n".join(feature_lines(ground)))
    length_km = ground.distance_m[-1] / 1000.0
    print(f"{length_km:.2f} km, climb {climb_m:.0f} m, {len(recording.time_s)} points")


if __name__ == "__main__":
    main()
