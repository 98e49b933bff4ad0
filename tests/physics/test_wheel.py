import csv
import math
from pathlib import Path

import numpy as np
import pytest

from gearsim.physics.wheel import wheel_circumference_m, wheel_radius_m


@pytest.mark.parametrize(
    ("tyre_mm", "printed_mm"), [(25, 2105.0), (28, 2136.0), (32, 2155.0), (35, 2168.0)]
)
def test_circumference_is_within_3_parts_in_1000_of_printed_tyre_tables(tyre_mm, printed_mm):
    # Tyre tables for 622 mm rims (bead seat diameter after ISO 5775).
    computed_mm = wheel_circumference_m(0.622, tyre_mm / 1000.0) * 1000.0
    assert computed_mm == pytest.approx(printed_mm, rel=3e-3)


TABLE = Path(__file__).parents[3] / "shared" / "data" / "wheel_circumference.csv"


@pytest.mark.skipif(not TABLE.is_file(), reason=f"{TABLE} is not at hand")
def test_circumference_is_within_3_percent_of_50_tyre_sizes():
    # An open library's table, published: from -2.6 to +2.0 % off ours, in the median 0.8 %.
    lines = [line for line in TABLE.read_text().splitlines() if not line.startswith("#")]
    rows = np.array([[*map(float, row.values())] for row in csv.DictReader(lines)])
    width_mm, rim_mm, printed_mm = rows.T
    off = printed_mm / wheel_circumference_m(rim_mm, width_mm) - 1.0
    assert len(off) == 50
    assert (off.min(), off.max()) == pytest.approx((-0.026, 0.020), abs=5e-4)
    assert np.median(off) == pytest.approx(0.008, abs=5e-4)


def test_circumference_of_a_40_622_wheel():
    # Computed, to the printed digits.
    assert wheel_circumference_m(0.622, 0.040) == pytest.approx(2.20540, abs=5e-6)


def test_a_wheel_rolls_its_radius_times_two_pi():
    radius = wheel_radius_m(0.584, 0.047)
    assert radius == pytest.approx(0.339)
    assert wheel_circumference_m(0.584, 0.047) == pytest.approx(2.0 * math.pi * radius)
