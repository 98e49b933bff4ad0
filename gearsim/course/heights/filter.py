"""The road and the noise told apart in recorded heights, at given strengths.

Recorded height = road + wander + scatter.

- The road's grade is a random process that forgets itself over `GRADE_MEMORY_M` (Matérn 3/2:
  Rasmussen and Williams 2006, Gaussian Processes for Machine Learning, eq. 4.17), so a grade may
  change within tens of metres but does not jump from point to point.  Its height is a cubic
  B-spline with a coefficient every `NODE_STEP_M` (P-spline: Eilers and Marx 1996, Stat Sci
  11:89-121).
- The wander is a slow error that forgets itself over `WANDER_MEMORY_M` (exponential
  correlation), as satellite heights have.
- The scatter is independent from point to point, as barometric and rounded heights have.

Every part ties a node to its near neighbours only, so that the most probable road is one banded
linear system, solved in time and memory proportional to the length of the route.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.linalg import cho_solve_banded, cholesky_banded

from gearsim.course.track import Floats, Indices

NODE_STEP_M = 10.0
GRADE_MEMORY_M = 25.0  # with this, roads with waves down to 80 m long come out best (benchmark)
WANDER_MEMORY_M = (
    300.0  # judgement: one recording cannot tell it, and with 600 m grade comes out the same
)

_BAND = 7  # two unknowns a node, a B-spline reaches three nodes on: 2 * 3 + 1
_LEVEL_PRECISION = 1e-6  # 1/m²: the height of a stretch is unknown to about a kilometre
_OUTLIER_FREEDOM = 2.0  # degrees of freedom of changes of grade (Student's t): a few are large
_NEIGHBOURS = 5  # changes of grade that are judged together, 50 m of road
_ROUGHEST_GRADE = 0.12  # no road's grade varies more; without this, gaps in the points ring


@dataclass(frozen=True, kw_only=True)
class Variances:
    """How strong each part is: variance of grade, of wander (m²) and of scatter (m²)."""

    grade: float
    wander_m2: float
    scatter_m2: float


@dataclass(frozen=True, kw_only=True)
class Stretches:
    """Stretches of road cut into cells of `NODE_STEP_M`, numbered one after another.

    One entry a stretch: `origin_m` is where it starts, `cells` how many cells it has, `first` the
    number of its first node.  A stretch has three nodes more than cells.
    """

    origin_m: Floats
    cells: Indices
    first: Indices

    @classmethod
    def between(cls, start_m: Floats, end_m: Floats) -> Stretches:
        """The stretches from each start to each end, m."""
        cells = np.maximum(np.ceil((end_m - start_m) / NODE_STEP_M), 1.0).astype(np.int64)
        return cls(origin_m=start_m, cells=cells, first=np.cumsum(cells + 3) - (cells + 3))

    @property
    def nodes(self) -> int:
        """Number of nodes of all stretches."""
        return int(self.first[-1] + self.cells[-1] + 3)

    def cell_at(self, stretch: Indices, distance_m: Floats) -> tuple[Indices, Floats]:
        """The first node of each place's cell, and how far along the cell it is, 0 to 1."""
        along = (distance_m - self.origin_m[stretch]) / NODE_STEP_M
        cell = np.clip(along.astype(np.int64), 0, self.cells[stretch] - 1)
        return cell + self.first[stretch], along - cell


@dataclass(frozen=True, kw_only=True)
class Recorded:
    """Recorded points as a banded system: what they say about every node, for a scatter of 1 m.

    The unknowns alternate, road then wander, node by node.  Symmetric matrices are kept as upper
    bands, as LAPACK has them: `bands[_BAND + i - j, j]` is entry (i, j).
    """

    stretches: Stretches
    points: int
    squares_m2: float
    normal: Floats
    right: Floats
    wander: Floats

    @property
    def changes(self) -> int:
        """Number of places where the grade may change (some lie between two stretches)."""
        return self.stretches.nodes - 3


def spline_weights(share: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Weights of a cell's four nodes in the height at `share` of the cell (uniform cubic)."""
    rest = 1.0 - share
    inner = (3.0 * share - 6.0) * share * share + 4.0
    outer = (3.0 * rest - 6.0) * rest * rest + 4.0
    return rest**3 / 6.0, inner / 6.0, outer / 6.0, share**3 / 6.0


def record(
    stretches: Stretches, stretch: Indices, distance_m: Floats, height_m: Floats, weight: Floats
) -> Recorded:
    """The banded system of points on `stretches`; `weight` is how much each counts, up to 1."""
    cell, share = stretches.cell_at(stretch, distance_m)
    road = spline_weights(share)
    columns = [(0, road[0]), (2, road[1]), (3, 1.0 - share), (4, road[2]), (5, share), (6, road[3])]
    nodes = stretches.nodes
    normal, right = _bands(nodes), np.zeros(2 * nodes)
    end = 2 * (nodes - 3)
    for place, (column, value) in enumerate(columns):
        weighted = value * weight
        right[column : column + end : 2] += np.bincount(cell, weighted * height_m, nodes - 3)
        for other, factor in columns[place:]:
            total = np.bincount(cell, weighted * factor, nodes - 3)
            normal[_BAND + column - other, other : other + end : 2] += total
    return Recorded(
        stretches=stretches,
        points=len(height_m),
        squares_m2=float(np.sum(weight * height_m**2)),
        normal=normal,
        right=right,
        wander=_wander_bands(stretches),
    )


def _bands(nodes: int) -> Floats:
    return np.zeros((_BAND + 1, 2 * nodes), order="F")


def _wander_bands(stretches: Stretches) -> Floats:
    """Precision of the wander for a variance of 1: a chain of nodes, broken between stretches."""
    keep = np.exp(-NODE_STEP_M / WANDER_MEMORY_M)
    diagonal = np.full(stretches.nodes, 1.0 + keep**2)
    before = np.full(stretches.nodes, -keep)
    last = stretches.first + stretches.cells + 2
    before[stretches.first] = 0.0
    diagonal[stretches.first] = diagonal[last] = 1.0
    bands = _bands(stretches.nodes)
    bands[_BAND, 1::2] = diagonal / (1.0 - keep**2)
    bands[_BAND - 2, 1::2] = before / (1.0 - keep**2)
    return bands


def _change_stencil() -> Floats:
    """What of four nodes is the new in the grade, scaled to variance 1 for a grade of variance 1.

    Grade forgets itself twice over, (1 - a B)² g = new, a = exp(-step / memory), B the step back;
    the stationary variance of g is (1 + a²) / (1 - a²)³ times that of the new.
    """
    a = np.exp(-NODE_STEP_M / GRADE_MEMORY_M)
    variance = (1.0 + a**2) / (1.0 - a**2) ** 3
    steps = np.convolve([a**2, -2.0 * a, 1.0], [-1.0, 1.0])
    return np.asarray(steps * np.sqrt(variance) / NODE_STEP_M)


def _start_precision() -> dict[tuple[int, int], float]:
    """Precision of a stretch's first three nodes, by pair of nodes, for a grade of variance 1.

    Their two grades are as alike as any two neighbours (correlation 2 a / (1 + a²)): a stretch
    begins in the midst of the road, so that its beginning is no more uncertain than its end.
    """
    a = np.exp(-NODE_STEP_M / GRADE_MEMORY_M)
    alike = 2.0 * a / (1.0 + a**2)
    size = 1.0 / ((1.0 - alike**2) * NODE_STEP_M**2)
    grades = size * np.array([[1.0, -alike], [-alike, 1.0]])
    steps = np.array([[-1.0, 1.0, 0.0], [0.0, -1.0, 1.0]])
    nodes = steps.T @ grades @ steps
    return {
        (node, other): float(nodes[node, other]) for other in range(3) for node in range(other + 1)
    }


def road_bands(recorded: Recorded, stiffness: Floats) -> Floats:
    """Precision of the road for a grade of variance 1.

    `stiffness`, one a change of grade: 1 as everywhere, less where the grade changes faster.
    """
    stretches, stencil = recorded.stretches, _change_stencil()
    bands = _bands(stretches.nodes)
    end = 2 * recorded.changes
    inside = _inside(stretches) * stiffness
    for apart in range(4):
        line = bands[_BAND - 2 * apart]
        for node in range(apart, 4):
            line[2 * node : 2 * node + end : 2] += stencil[node] * stencil[node - apart] * inside
    for (node, other), entry in _start_precision().items():
        bands[_BAND - 2 * (other - node), 2 * (stretches.first + other)] += (
            entry * stiffness[stretches.first]
        )
    return bands


def _inside(stretches: Stretches) -> Floats:
    """1 for a change of grade inside a stretch, 0 for one that would tie two stretches."""
    inside = np.ones(stretches.nodes - 3)
    for before in (3, 2, 1):
        inside[stretches.first[1:] - before] = 0.0
    return inside


def most_probable(recorded: Recorded, road: Floats, variances: Variances) -> tuple[Floats, float]:
    """The most probable unknowns, and the log of how probable the points are (up to a constant).

    The constant depends on the stiffness in `road` and on nothing in `variances`.
    """
    precision = road * (1.0 / variances.grade)
    precision += recorded.wander * (1.0 / variances.wander_m2)
    precision += recorded.normal * (1.0 / variances.scatter_m2)
    precision[_BAND, 2 * recorded.stretches.first] += _LEVEL_PRECISION
    right = recorded.right / variances.scatter_m2
    factor = cholesky_banded(precision, overwrite_ab=True, check_finite=False)
    unknowns = cho_solve_banded((factor, False), right, check_finite=False)
    fit = np.sum(right * unknowns)  # a dot product would wake BLAS threads, which cost more
    starts = len(recorded.stretches.first)
    changes = recorded.changes - 3 * (starts - 1)
    log_probability = (
        -0.5 * (changes + 2 * starts) * np.log(variances.grade)
        - 0.5 * recorded.stretches.nodes * np.log(variances.wander_m2)
        - 0.5 * recorded.points * np.log(variances.scatter_m2)
        - np.log(factor[_BAND]).sum()
        - 0.5 * (recorded.squares_m2 / variances.scatter_m2 - fit)
    )
    return unknowns, float(log_probability)


def loosened(recorded: Recorded, unknowns: Floats, variances: Variances) -> Floats:
    """Stiffness that fits the changes of grade found: less where they are large.

    One step of expectation-maximisation for changes with Student's t distribution in place of the
    normal one (Lange, Little and Taylor 1989, J Am Stat Assoc 84:881-896), so that a short ramp
    does not have to make the whole road rough.  Neighbours are judged together.
    """
    road, stencil, count = unknowns[::2], _change_stencil(), recorded.changes
    change = sum(stencil[node] * road[node : node + count] for node in range(4))
    inside, window = _inside(recorded.stretches), np.ones(_NEIGHBOURS)
    squares = inside * change**2 / variances.grade
    unseen = max(0.0, 1.0 - float(squares.sum() / inside.sum()))  # left open by the points
    near = np.convolve(inside, window, "same")
    total = np.convolve(squares + unseen * inside, window, "same")
    least = min(1.0, variances.grade / _ROUGHEST_GRADE**2)
    return np.maximum((_OUTLIER_FREEDOM + near) / (_OUTLIER_FREEDOM + total), least)


def road_height_m(
    stretches: Stretches, unknowns: Floats, stretch: Indices, distance_m: Floats
) -> Floats:
    """Height of the road at places on `stretches`, m."""
    cell, share = stretches.cell_at(stretch, distance_m)
    road = unknowns[::2]
    parts = zip(spline_weights(share), range(4), strict=True)
    return np.asarray(sum(weight * road[cell + node] for weight, node in parts))


def shortest_detail_m(variances: Variances, point_every_m: float) -> float:
    """The shortest wave of the road that has more power than the noise, m.

    Compares the spectra of grade: Matérn 3/2 for the road; for the noise, those of scatter and
    wander times the square of the wave number (Rasmussen and Williams 2006, section 4.2.1).
    """
    wavelength_m = np.geomspace(2.0 * point_every_m, 20_000.0, 400)
    number = 2.0 * np.pi / wavelength_m
    rate = 1.0 / GRADE_MEMORY_M
    road = variances.grade * 8.0 * rate**3 / (rate**2 + number**2) ** 2
    wander = 4.0 * variances.wander_m2 * WANDER_MEMORY_M / (1.0 + (number * WANDER_MEMORY_M) ** 2)
    noise = number**2 * (wander + 2.0 * variances.scatter_m2 * point_every_m)
    clear = np.flatnonzero(road >= noise)
    return float(wavelength_m[clear[0]] if len(clear) > 0 else wavelength_m[-1])
