"""Write route.gpx: the Wrenfold Round, an invented day out for a guided group.

Everything follows from the table `STRETCHES` below, read from start to finish: how long, how
steep, which way, what ground.  The road is laid out metre by metre and drawn as a planner would,
a point every twenty metres or so, with the height noise of a barometer.

Nothing here is a real place: the coordinates lie in the open Atlantic, hundreds of kilometres
from any road.  Heights and names are invented too.  One seed: the same file every time.

    python routes/wrenfold/make_route.py

writes route.gpx beside this script and prints the true surfaces, as `[[surface]]` tables for a
plan, and the ramps.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from pathlib import Path
from typing import NamedTuple

import gpxpy.gpx
import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray
from pyproj import Proj

Floats = NDArray[np.float64]

SEED = 20310906
NAME = "Wrenfold Round"
START_LATITUDE_DEG, START_LONGITUDE_DEG = 45.6, -31.4
START_HEIGHT_M = 118.0
FINISH = "Finish, Wrenfold barn"
FINISH_EAST_M, FINISH_NORTH_M = 40.0, -30.0  # of the start: across the yard


class Stretch(NamedTuple):
    """A stretch of road as it lies on the ground."""

    length_m: float
    grade_percent: float
    heading_deg: float
    surface: str
    place: str = ""  # a waypoint where the stretch begins


STRETCHES = (
    # Out along the river, to warm up.
    Stretch(3600, 0.1, 20, "tarmac", "Start, Wrenfold barn"),
    Stretch(1900, 0.6, 40, "hard-packed gravel", "Towpath"),
    Stretch(160, 11.5, 55, "tarmac", "Pump bank"),
    Stretch(700, -2.6, 70, "tarmac"),
    Stretch(2400, 0.8, 85, "tarmac"),
    # The one long climb: gentle, and through the wood.
    Stretch(3200, 3.6, 95, "tarmac", "Larch drive"),
    Stretch(900, 5.2, 110, "hard-packed gravel"),
    Stretch(1100, -1.8, 120, "hard-packed gravel", "Honesty stall"),
    Stretch(130, 15.5, 130, "hard-packed gravel", "Gate ramp"),
    Stretch(800, 1.2, 140, "hard-packed gravel"),
    # Down to the mere.
    Stretch(1700, -5.6, 150, "tarmac", "Long view"),
    Stretch(650, -9.0, 160, "rough tarmac"),
    Stretch(3600, -0.1, 175, "tarmac", "Teal mere"),
    Stretch(3100, 0.2, 190, "hard-packed gravel"),
    Stretch(1500, 0.3, 200, "tarmac", "Lunch, Mere end"),
    # The steep bit everybody talks about.
    Stretch(1300, 2.4, 215, "tarmac"),
    Stretch(110, 13.5, 225, "rough tarmac", "Kiln lane"),
    Stretch(90, 18.5, 230, "rough tarmac"),
    Stretch(120, 12.5, 235, "rough tarmac"),
    Stretch(900, 1.5, 245, "tarmac"),
    Stretch(1200, -4.5, 255, "tarmac"),
    Stretch(420, -11.5, 265, "rough tarmac", "Steep drop"),
    Stretch(2200, 0.1, 275, "tarmac"),
    # Lanes home, with the wind.
    Stretch(1400, 3.2, 285, "tarmac", "Tea, Plover cross"),
    Stretch(1200, -3.0, 295, "gravel"),
    Stretch(2000, 0.3, 305, "gravel"),
    Stretch(170, 12.8, 320, "gravel", "Sandpit ramp"),
    Stretch(1500, -1.4, 330, "tarmac"),
    Stretch(2600, 0.2, 340, "tarmac"),
    Stretch(1100, 4.4, 345, "tarmac"),
    Stretch(1600, -3.6, 350, "tarmac"),
    Stretch(4600, 0.0, 355, "tarmac", "River again"),
)

STRAIGHT_M, BEND_RADIUS_M = (60.0, 320.0), (35.0, 180.0)
SPREAD_DEG, MOST_WANDER_DEG = 28.0, 65.0
ROLLING_PERCENT, ROLLING_REACH_M = 0.9, 90.0
VERTICAL_CURVE_M, TRANSITION_M = 10.0, 6.0
SPACING_M = (14.0, 24.0)
HEIGHT_NOISE_M, HEIGHT_STEP_M = 0.2, 0.1


class Ground(NamedTuple):
    """The true road metre by metre, and where each stretch of the table begins on it."""

    distance_m: Floats
    east_m: Floats
    north_m: Floats
    height_m: Floats
    begins_m: Floats


def smoothed(values: Floats, reach: float) -> Floats:
    """Values weighted by a bell curve with a standard deviation of `reach` samples."""
    half = int(np.ceil(3.5 * reach))
    bell = np.exp(-0.5 * (np.arange(-half, half + 1) / reach) ** 2)
    padded = np.pad(values, half, mode="reflect")
    return np.convolve(padded, bell / bell.sum(), mode="valid")


def closed(values: Floats, end: float) -> Floats:
    """Values that come to `end`: what is missing is spread evenly along the way."""
    return values + np.linspace(0.0, end - values[-1], len(values))


def headings_deg(random: Generator) -> Floats:
    """Heading of the road at every metre of the table, in degrees clockwise from north."""
    heading: list[float] = [STRETCHES[0].heading_deg]
    for stretch in STRETCHES:
        end = len(heading) + round(stretch.length_m)
        while len(heading) < end:
            heading += [heading[-1]] * round(random.uniform(*STRAIGHT_M))
            wander = SPREAD_DEG * random.standard_normal()
            wander = min(max(wander, -MOST_WANDER_DEG), MOST_WANDER_DEG)
            turn = (stretch.heading_deg + wander - heading[-1] + 180.0) % 360.0 - 180.0
            steps = max(1, round(random.uniform(*BEND_RADIUS_M) * abs(np.radians(turn))))
            heading += (heading[-1] + turn / steps * np.arange(1, steps + 1)).tolist()
        del heading[end:]
    return smoothed(np.unwrap(np.array(heading[1:]), period=360.0), TRANSITION_M)


def heights_m(stretch: NDArray[np.int64], step_m: Floats, random: Generator) -> Floats:
    """Height at every metre: the table's grades, eased, with waves that add nothing."""
    table = np.array([row.grade_percent for row in STRETCHES]) / 100.0
    waves = smoothed(random.standard_normal(len(stretch)), ROLLING_REACH_M)
    waves *= ROLLING_PERCENT / 100.0 / waves.std()
    mean = np.bincount(stretch, weights=waves) / np.bincount(stretch)
    grade = smoothed(table[stretch] + waves - mean[stretch], VERTICAL_CURVE_M)
    return START_HEIGHT_M + closed(np.cumsum(grade * step_m), 0.0)


def lay_out(random: Generator) -> Ground:
    """The true road, from the table to a loop that comes home in place and height."""
    lengths = np.array([round(row.length_m) for row in STRETCHES])
    stretch = np.repeat(np.arange(len(STRETCHES)), lengths)
    heading = np.radians(headings_deg(random))
    east_m = closed(np.cumsum(np.sin(heading)), FINISH_EAST_M)
    north_m = closed(np.cumsum(np.cos(heading)), FINISH_NORTH_M)
    step_m = np.hypot(np.diff(east_m, prepend=east_m[0]), np.diff(north_m, prepend=north_m[0]))
    distance_m = np.cumsum(step_m)
    begins = np.concatenate(([0], np.cumsum(lengths)))
    return Ground(
        distance_m=distance_m,
        east_m=east_m,
        north_m=north_m,
        height_m=heights_m(stretch, step_m, random),
        begins_m=distance_m[np.minimum(begins, len(stretch) - 1)],
    )


def points(ground: Ground, on_map: Proj, random: Generator) -> Iterator[gpxpy.gpx.GPXTrackPoint]:
    """The points of the track as GPX has them."""
    apart_m = random.uniform(*SPACING_M, int(ground.distance_m[-1] / SPACING_M[0]))
    at_m = np.append(0.0, np.cumsum(apart_m))
    at_m = np.append(at_m[at_m < ground.distance_m[-1]], ground.distance_m[-1])
    east_m, north_m, height_m = (
        np.interp(at_m, ground.distance_m, values)
        for values in (ground.east_m, ground.north_m, ground.height_m)
    )
    height_m += HEIGHT_NOISE_M * random.standard_normal(len(at_m))
    longitude_deg, latitude_deg = on_map(east_m, north_m, inverse=True)
    for latitude, longitude, height in zip(latitude_deg, longitude_deg, height_m, strict=True):
        yield gpxpy.gpx.GPXTrackPoint(
            latitude=round(float(latitude), 6),
            longitude=round(float(longitude), 6),
            elevation=round(round(float(height) / HEIGHT_STEP_M) * HEIGHT_STEP_M, 1),
        )


def waypoints(ground: Ground, on_map: Proj) -> Iterator[gpxpy.gpx.GPXWaypoint]:
    """The named places of the table, and the finish."""
    places = [(row.place, m) for row, m in zip(STRETCHES, ground.begins_m, strict=False)]
    for name, metres in [*places, (FINISH, ground.begins_m[-1])]:
        if name:
            longitude, latitude = on_map(
                np.interp(metres, ground.distance_m, ground.east_m),
                np.interp(metres, ground.distance_m, ground.north_m),
                inverse=True,
            )
            yield gpxpy.gpx.GPXWaypoint(
                latitude=round(float(latitude), 6), longitude=round(float(longitude), 6), name=name
            )


def as_gpx(ground: Ground, random: Generator) -> str:
    """The whole file as text."""
    on_map = Proj(proj="aeqd", lat_0=START_LATITUDE_DEG, lon_0=START_LONGITUDE_DEG, ellps="WGS84")
    gpx = gpxpy.gpx.GPX()
    gpx.creator = "routes/wrenfold/make_route.py"
    gpx.name = NAME
    gpx.waypoints.extend(waypoints(ground, on_map))
    track = gpxpy.gpx.GPXTrack(name=NAME)
    track.segments.append(gpxpy.gpx.GPXTrackSegment(list(points(ground, on_map, random))))
    gpx.tracks.append(track)
    return gpx.to_xml(version="1.1") + "\n"


def surface_tables(ground: Ground) -> Iterator[str]:
    """The true surfaces, where not tarmac, ready for a plan."""
    km = ground.begins_m / 1000.0
    for surface, members in groupby(range(len(STRETCHES)), key=lambda i: STRETCHES[i].surface):
        first, *others = members
        end = km[(others[-1] if others else first) + 1]
        if surface != "tarmac":
            yield (
                f"[[surface]]\nfrom_km = {km[first]:.2f}\nto_km = {end:.2f}\n"
                f'surface = "{surface}"\n'
            )


def main() -> None:
    """Write route.gpx beside this script and print what the road truly is."""
    for_road, for_points = np.random.default_rng(SEED).spawn(2)
    ground = lay_out(for_road)
    path = Path(__file__).with_name("route.gpx")
    path.write_text(as_gpx(ground, for_points), encoding="utf-8")
    print("\n".join(surface_tables(ground)))
    for row, metres in zip(STRETCHES, ground.begins_m, strict=False):
        if abs(row.grade_percent) >= 9.0:
            print(f"{metres / 1000.0:6.2f} km {row.length_m:5.0f} m {row.grade_percent:+6.1f} %")
    climb_m = np.maximum(np.diff(ground.height_m), 0.0).sum()
    print(f"{ground.distance_m[-1] / 1000.0:.2f} km, climb {climb_m:.0f} m")


if __name__ == "__main__":
    main()
