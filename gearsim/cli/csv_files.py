"""Tables as CSV files; those of rides are long, so they must be quick to write."""

from __future__ import annotations

import gzip
import re
import unicodedata
from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from itertools import chain, count
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from gearsim.ride.ride import Ride

Bytes = NDArray[np.uint8]
Floats = NDArray[np.float64]

EMPTY = 0  # a byte that no text has
DECIMALS = {
    "distance_m": 1,
    "time_s": 2,
    "duration_s": 3,
    "elevation_m": 2,
    "grade": 4,
    "speed_mps": 3,
    "power_w": 1,
    "wanted_power_w": 1,
    "cadence_rpm": 1,
    "ratio": 3,
    "reserve_j": 0,
}
"""Decimals written of each column that is not of whole numbers or words."""

LARGEST_PLAIN_BYTES = 1_000_000
QUICK = 1  # gzip level: 6 takes six times as long for files a seventh smaller
LONGEST_NAME_BYTES = 80


def ride_files(rides: Iterable[Ride]) -> dict[str, bytes]:
    """A CSV file for each ride by file name, gzipped where large."""
    rides = list(rides)
    names = file_names([ride.drivetrain.name for ride in rides])
    with ThreadPoolExecutor() as pool:  # gzip releases the interpreter lock
        contents = pool.map(lambda ride: _gzipped_if_large(ride_csv(ride)), rides)
    return {
        f"ride-{name}.csv{ending}": content
        for name, (ending, content) in zip(names, contents, strict=True)
    }


def table_file(table: pd.DataFrame, digits: int = 6) -> bytes:
    """A short table as CSV, numbers to so many digits."""
    return table.to_csv(index=False, float_format=f"%.{digits}g", lineterminator="\n").encode()


def ride_csv(ride: Ride) -> bytes:
    """A ride's table as CSV, rounded to `DECIMALS`; no word in it needs quoting.

    Written column by column into rows of one width, from which the empty places are dropped: a
    fifth of the time that pandas takes to write the rounded table.
    """
    table = ride.table
    comma, newline = (np.full((len(table), 1), ord(mark), np.uint8) for mark in ",\n")
    texts = [text for name in table.columns for text in (_column(table[name]), comma)]
    rows = np.hstack([*texts[:-1], newline])
    head = ",".join(table.columns).encode()
    return head + b"\n" + bytes(rows[rows != EMPTY])


def _column(column: pd.Series[Any]) -> Bytes:
    if not pd.api.types.is_numeric_dtype(column.dtype):
        codes, words = pd.factorize(column)
        texts = np.array([str(word).encode() for word in words])
        return texts[codes].view(np.uint8).reshape(len(column), -1)
    whole = pd.api.types.is_integer_dtype(column.dtype)
    return fixed_point(column.to_numpy(dtype=float), 0 if whole else DECIMALS[str(column.name)])


def fixed_point(values: Floats, decimals: int) -> Bytes:
    """Finite numbers in decimal digits, one row each; `EMPTY` bytes part the sign from them."""
    left = np.rint(np.abs(values) * 10**decimals).astype(np.int64)
    negative = (values < 0.0) & (left > 0)
    places = max(len(str(left.max(initial=0))), decimals + 1)
    columns = []
    for place in range(places):
        if place == decimals > 0:
            columns.append(np.full(len(values), ord("."), np.uint8))
        needed = (left > 0) | (place <= decimals)
        left, digit = np.divmod(left, 10)
        columns.append(np.where(needed, digit + ord("0"), EMPTY).astype(np.uint8))
    columns.append(np.where(negative, ord("-"), EMPTY).astype(np.uint8))
    return np.column_stack(columns[::-1])


def _gzipped_if_large(content: bytes) -> tuple[str, bytes]:
    if len(content) <= LARGEST_PLAIN_BYTES:
        return "", content
    return ".gz", gzip.compress(content, QUICK, mtime=0)


def file_names(names: Iterable[str]) -> list[str]:
    """Names that are safe in any file system: letters, digits and dashes, each only once."""
    safe: list[str] = []
    for name in names:
        plain = _cleaned(name)
        numbered = chain([plain], (f"{plain}-{number}" for number in count(2)))
        safe.append(next(free for free in numbered if free not in safe))
    return safe


def _cleaned(name: str) -> str:
    plain = re.sub(r"[\W_]+", "-", unicodedata.normalize("NFKC", name).lower()).strip("-")
    short = plain.encode()[:LONGEST_NAME_BYTES].decode(errors="ignore").strip("-")
    return short or "unnamed"
