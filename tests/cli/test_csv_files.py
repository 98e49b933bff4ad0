import gzip
from io import BytesIO
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pandas as pd
import pytest

from gearsim.cli import csv_files
from gearsim.cli.csv_files import DECIMALS, file_names, ride_csv, ride_files


def made_ride(rows: int, name: str = "one ring") -> Any:
    """What the writer needs of a ride: its table and its drivetrain's name."""
    numbers = np.random.default_rng(1).uniform(0.0, 1000.0, (rows, len(DECIMALS)))
    table = pd.DataFrame(dict(zip(DECIMALS, numbers.T, strict=True)))
    table["chainring"] = np.arange(rows) % 3 + 30
    table["state"] = pd.Categorical.from_codes(np.arange(rows) % 2, categories=["on target", ""])
    return SimpleNamespace(table=table, drivetrain=SimpleNamespace(name=name))


def test_ride_reads_back_as_it_was_to_the_stated_decimals() -> None:
    ride = made_ride(50)
    read = pd.read_csv(BytesIO(ride_csv(ride)), keep_default_na=False)
    assert list(read.columns) == list(ride.table.columns)
    for name, decimals in DECIMALS.items():
        error = np.abs(read[name] - ride.table[name]).max()
        assert error <= 0.5000001 * 10.0**-decimals
    assert read["chainring"].tolist() == ride.table["chainring"].tolist()
    assert read["state"].tolist() == ride.table["state"].tolist()


@pytest.mark.parametrize("decimals", [0, 1, 4])
def test_numbers_are_written_as_python_writes_them(decimals: int) -> None:
    values = [0.0, 0.04, 0.96, 1.0, 9.9996, -0.2, -7.25, 12345.678, -1e9, 99.99999]
    written = csv_files.fixed_point(np.array(values), decimals)
    texts = [row[row != csv_files.EMPTY].tobytes().decode() for row in written]
    assert texts == [f"{value:z.{decimals}f}" for value in values]


def test_large_ride_is_gzipped_the_same_every_time(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(csv_files, "LARGEST_PLAIN_BYTES", 1000)
    ride = made_ride(100)
    files = ride_files([ride])
    assert list(files) == ["ride-one-ring.csv.gz"]
    assert files["ride-one-ring.csv.gz"][4:8] == bytes(4)  # RFC 1952: no time of writing
    assert gzip.decompress(files["ride-one-ring.csv.gz"]) == ride_csv(ride)


def test_small_ride_is_plain() -> None:
    ride = made_ride(10)
    assert ride_files([ride]) == {"ride-one-ring.csv": ride_csv(ride)}


def test_file_grows_linearly_with_the_route() -> None:
    short, long = (len(ride_csv(made_ride(rows))) for rows in (1000, 8000))
    assert long == pytest.approx(8 * short, rel=0.01)


@pytest.mark.parametrize(
    ("name", "file_name"),
    [
        ("One Ring", "one-ring"),
        ("46-30 × 11-34 (11)", "46-30-11-34-11"),
        ("../../etc/passwd", "etc-passwd"),
        ("..", "unnamed"),
        ("a/b\\c:d*e?f", "a-b-c-d-e-f"),
        (".hidden", "hidden"),
        ("a\x00b\n\x1bc", "a-b-c"),
        ("\u202egnp.exe", "gnp-exe"),
        ("Größe", "größe"),
        ("山の歯車", "山の歯車"),
        ("\U0001f6b2", "unnamed"),
    ],
)
def test_file_names_hold_only_letters_digits_and_dashes(name: str, file_name: str) -> None:
    assert file_names([name]) == [file_name]


def test_long_names_are_cut_to_what_file_systems_take(tmp_path: Path) -> None:
    (name,) = file_names(["山" * 500])
    (tmp_path / f"ride-{name}.csv.gz").touch()
    assert len(name.encode()) <= 80


def test_names_that_become_one_are_told_apart() -> None:
    assert file_names(["a b", "A-B", "a.b", "a b-2"]) == ["a-b", "a-b-2", "a-b-3", "a-b-2-2"]
