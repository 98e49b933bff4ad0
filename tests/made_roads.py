"""Synthetic roads whose true height is known, and recordings of them."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

SHORTEST_WAVE_M, LONGEST_WAVE_M = 80.0, 5_000.0
GRADE_SD = 0.05
FALL = 1.25  # with it the best fixed smoother does as well as in the project's issue (benchmark)


def wavy_road(
    rng: np.random.Generator, length_m: float, fall: float = FALL, grade_sd: float = GRADE_SD
) -> Callable[[Floats], Floats]:
    """Height by distance of a road with random grade, no wave shorter than 80 m.

    The spectrum of grade falls with frequency to the power `fall`: 0, as much in every metre of
    frequency up to the shortest wave; 1, as much in every octave; 2, long hills above all.
    """
    count = int(2.0 * length_m)
    frequency = np.fft.rfftfreq(count, 1.0)
    inside = (frequency >= 1.0 / LONGEST_WAVE_M) & (frequency <= 1.0 / SHORTEST_WAVE_M)
    size = np.where(inside, np.maximum(frequency, 1e-9) ** (-0.5 * fall), 0.0)
    waves = size * (rng.normal(size=len(size)) + 1j * rng.normal(size=len(size)))
    grade = np.fft.irfft(waves, count)[: int(length_m) + 1]
    height = np.append(0.0, np.cumsum(0.5 * (grade[1:] + grade[:-1]))) * grade_sd / grade.std()
    return lambda distance_m: 300.0 + np.interp(distance_m, np.arange(len(height)), height)


def ramp_road(
    at_m: float, length_m: float, grade: float, otherwise: float
) -> Callable[[Floats], Floats]:
    """Height by distance of a steady road with one steeper ramp."""
    return lambda distance_m: (
        100.0
        + otherwise * distance_m
        + (grade - otherwise) * np.clip(distance_m - at_m, 0.0, length_m)
    )


def places_m(rng: np.random.Generator, length_m: float, least: float, most: float) -> Floats:
    """Distances of points `least` to `most` metres apart at random, from 0 on."""
    distance_m = np.cumsum(rng.uniform(least, most, int(length_m / least)))
    return np.append(0.0, distance_m[distance_m < length_m])


def barometric(rng: np.random.Generator, distance_m: Floats, height_m: Floats) -> Floats:
    """Independent errors of 0.3 m, rounded to 0.2 m."""
    return np.round((height_m + rng.normal(0.0, 0.3, len(distance_m))) / 0.2) * 0.2


def whole_metres(_rng: np.random.Generator, _distance_m: Floats, height_m: Floats) -> Floats:
    """Nothing wrong but the rounding."""
    return np.round(height_m)


def satellite(rng: np.random.Generator, distance_m: Floats, height_m: Floats) -> Floats:
    """Errors of 3 m, correlated exponentially over 300 m."""
    keep = np.exp(-np.diff(distance_m) / 300.0)
    new = rng.normal(0.0, 3.0, len(distance_m))
    error = new.copy()
    for place, kept in enumerate(keep):
        error[place + 1] = kept * error[place] + np.sqrt(1.0 - kept**2) * new[place + 1]
    return height_m + error


def held(
    band_m: float, spread: int, step_m: float = 0.2
) -> Callable[[np.random.Generator, Floats, Floats], Floats]:
    """A dead band: heights follow only when they have moved by it, spread over some points.

    The instrument's own errors are 0.1 m, and it writes in steps of `step_m`.
    """

    def noise(rng: np.random.Generator, distance_m: Floats, height_m: Floats) -> Floats:
        felt_m = height_m + rng.normal(0.0, 0.1, len(distance_m))
        shown_m = np.empty(len(felt_m))
        shown = felt_m[0]
        for point, felt in enumerate(felt_m):
            shown = felt if abs(felt - shown) >= band_m else shown
            shown_m[point] = shown
        before = np.full(spread - 1, shown_m[0])
        even = np.full(spread, 1.0 / spread)
        spread_m = np.convolve(np.append(before, shown_m), even, "valid")
        return np.round(spread_m / step_m) * step_m

    return noise


def exact(_rng: np.random.Generator, _distance_m: Floats, height_m: Floats) -> Floats:
    """Nothing wrong."""
    return height_m


@dataclass(frozen=True, kw_only=True)
class Case:
    """A recording of a road: points, nodes 10 m apart, and the true height at the nodes."""

    distance_m: Floats
    recorded_m: Floats
    at_m: Floats
    true_m: Floats


def case_of(
    seed: int,
    noise: Callable[[np.random.Generator, Floats, Floats], Floats],
    road: Callable[[Floats], Floats] | None = None,
    length_m: float = 20_000.0,
    fall: float = FALL,
    apart_m: tuple[float, float] = (4.0, 20.0),
) -> Case:
    """A recording of `road` (a wavy one where none is given) with points 4 to 20 m apart."""
    rng = np.random.default_rng(seed)
    height = road or wavy_road(rng, length_m, fall)
    distance_m = places_m(rng, length_m, *apart_m)
    at_m = np.arange(0.0, distance_m[-1], 10.0)
    recorded_m = noise(rng, distance_m, height(distance_m))
    return Case(distance_m=distance_m, recorded_m=recorded_m, at_m=at_m, true_m=height(at_m))


def grade_of(elevation_m: Floats) -> Floats:
    """Grade of every interval of 10 m."""
    return np.diff(elevation_m) / 10.0


def rms(error: Floats) -> float:
    """Root of the mean square."""
    return float(np.sqrt(np.mean(error**2)))


def steepest(grade: Floats, length_m: float) -> float:
    """The steepest grade over `length_m`, of intervals of 10 m."""
    window = round(length_m / 10.0)
    climbed = np.append(0.0, np.cumsum(grade))
    return float((climbed[window:] - climbed[:-window]).max() / window)
