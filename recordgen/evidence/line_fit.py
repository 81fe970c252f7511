"""How well a line with one shape upon it explains readings: a fall, a hump, a sag, or none."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

SCALE_TOP: Final = 99
"""Top of the receiver's scale: a reading there says "at least"; one at 0 says "at most"."""

# What signals are like, as the simulator in tests/evidence has them: own rule, measured by
# simulation and calibrated to no instrument. Mean and spread on the scale of 0 to 99.
_LEVEL: Final = (65.0, 25.0)
_SLOPE: Final = (-8.0, 12.0)  # over the whole stretch that was read
_BEND: Final = (0.0, 10.0)  # of the slope: a fall that comes on slowly is no fault
_OFFSET: Final = (0.0, 20.0)  # of another sensitivity: unknown, and may be as large as a drop
_DROP: Final = (38.0, 18.0)
_LEAST_DROP: Final = 8.0  # a smaller one is no fall that anybody would call so
_NOISES: Final = ((6.0, 0.2), (3.0, 0.4), (1.5, 0.4))  # spread of a reading, share; widest first
# Tails so heavy that one wild reading does not pull the line: Student's t, 3 degrees of freedom.
_FREEDOM: Final = 3.0
_PASSES: Final = 3
_HOPELESS: Final = 8.0  # natural logarithm: less than one in 2,900 of the weight of the best


@dataclass(frozen=True)
class Point:
    """One reading at one place.

    Attributes
    ----------
    at_m : float
        Distance along the run [m].
    value : float
        0 to 99, in the instrument's own scale.
    sensitivity : int
        As the instrument has it.
    """

    at_m: float
    value: float
    sensitivity: int


class LineFit:
    """Fits a line to readings, with one shape upon it at a time.

    The line has a level, a slope and its bend, and one offset per further sensitivity; the shape
    has a size. It is fitted with heavy tails; 0 and 99 count as bounds. What a fit is worth is
    averaged over what the parameters may be (Laplace's approximation).

    Parameters
    ----------
    points : iterable of Point
        At two places at least, in any order.

    Attributes
    ----------
    points : list of Point
        In order along the run: a shape has one value for each.
    """

    def __init__(self, points: Iterable[Point]) -> None:
        self.points = sorted(points, key=lambda point: (point.at_m, point.sensitivity, point.value))
        settings = sorted({point.sensitivity for point in self.points})
        first_m = self.points[0].at_m
        whole = self.points[-1].at_m - first_m
        self._offsets = len(settings) - 1
        self._rows = [
            _Row(
                *_leaning((point.at_m - first_m) / whole),
                settings.index(point.sensitivity),
                point.value,
            )
            for point in self.points
        ]

    def log_chance_of_none(self) -> float:
        """Return the natural logarithm of the chance of the readings, given no shape."""
        none = [0.0] * len(self._rows)
        return _fitted(self._rows, none, _start(self._offsets), _NOISES)[0]

    def log_chances(self, shapes: Sequence[Sequence[float]]) -> list[float]:
        """Return for every shape the logarithm of the chance of the readings, given that shape.

        One that lags far behind with the widest noise lags further with less: it is not tried
        again.
        """
        rows, start = self._rows, _start(self._offsets)
        wide = [_fitted(rows, shape, start, _NOISES[:1]) for shape in shapes]
        least = max((log for log, _ in wide), default=-math.inf) - _HOPELESS
        logs = []
        for shape, (log, line) in zip(shapes, wide, strict=True):
            # Too small a size is not hopeless yet: with less noise it may come out larger.
            hopeless = log <= least if log > -math.inf else line[-1] <= _LEAST_DROP / 2
            narrow = -math.inf if hopeless else _fitted(rows, shape, line, _NOISES[1:])[0]
            logs.append(log_sum((log, narrow)))
        return logs


def log_sum(logs: Sequence[float]) -> float:
    """Return the logarithm of a sum, from the natural logarithms of its parts."""
    highest = max(logs)
    if highest == -math.inf:
        return highest
    return highest + math.log(sum(math.exp(log - highest) for log in logs))


def _leaning(share: float) -> tuple[float, float]:
    """Return what slope and bend do at a share of the way, 0 to 1; the bend is 1 end to middle."""
    off = share - 0.5
    return off, 4 * off * off - 0.5


class _Row(NamedTuple):
    """One reading as the line sees it: slope and bend there, which setting, what was shown."""

    slope: float
    bend: float
    setting: int
    value: float


def _start(offsets: int) -> list[float]:
    return [mean for mean, _ in _priors(offsets)]


def _priors(offsets: int) -> list[tuple[float, float]]:
    return [_LEVEL, _SLOPE, _BEND, *[_OFFSET] * offsets, _DROP]


def _fitted(
    rows: Sequence[_Row],
    shape: Sequence[float],
    line: list[float],
    noises: Sequence[tuple[float, float]],
) -> tuple[float, list[float]]:
    """Return the logarithm of the chance of the readings, averaged, and the line fitted last.

    The line is level, slope, bend, one offset per further setting and the size of the shape. Each
    noise starts where the last one ended. A shape of zeros has no part in the chance: what its size
    may be cancels.
    """
    priors = _priors(len(line) - 4)
    logs = []
    for noise, share in noises:
        for _ in range(_PASSES):
            matrix, right = _normal_equations(rows, shape, priors, line, noise)
            line, log_determinant = _solved(matrix, right)
        if line[-1] < _LEAST_DROP:
            continue
        log = math.log(share) - log_determinant / 2
        for (mean, spread), parameter in zip(priors, line, strict=True):
            log -= math.log(spread) + ((parameter - mean) / spread) ** 2 / 2
        for row, expected in zip(rows, _expected(rows, shape, line), strict=True):
            log += _log_chance(row.value, expected, noise)
        logs.append(log)
    return (log_sum(logs) if logs else -math.inf), line


def _expected(rows: Sequence[_Row], shape: Sequence[float], line: Sequence[float]) -> list[float]:
    """Return what the line has at each reading."""
    level, slope, bend = line[:3]
    size = line[-1]
    offsets = [level, *(level + offset for offset in line[3:-1])]
    return [
        offsets[setting] + slope * on + bend * off + size * here
        for (on, off, setting, _), here in zip(rows, shape, strict=True)
    ]


def _log_chance(value: float, expected: float, noise: float) -> float:
    """Return the logarithm of the chance of one reading: of a bound, that of all beyond it."""
    off = (value - expected) / noise
    if 0 < value < SCALE_TOP:
        # Student's t, 3 degrees of freedom: 2 / (π √3) / (1 + t² / 3)².
        return math.log(2 / (math.pi * math.sqrt(3) * noise)) - 2 * math.log1p(off * off / 3)
    beyond = -off if value >= SCALE_TOP else off
    scaled = beyond / math.sqrt(3)
    share = 0.5 + (scaled / (1 + scaled * scaled) + math.atan(scaled)) / math.pi
    return math.log(max(share, 1e-300))


def _normal_equations(
    rows: Sequence[_Row],
    shape: Sequence[float],
    priors: Sequence[tuple[float, float]],
    line: Sequence[float],
    noise: float,
) -> tuple[list[list[float]], list[float]]:
    """Return the lower half of the matrix and the right-hand side of the weighted fit.

    A setting only switches a reading on or off, so its row is a sum over its readings: those are
    added up once for each setting. This is the inner loop of all simulations.
    """
    settings = len(priors) - 3
    # Of each setting: sums of weight, and of weight times slope, bend, shape and value.
    sums = [[0.0] * 5 for _ in range(settings)]
    slopes = [0.0] * 4  # of weight times slope, times slope, bend, shape and value
    bends = [0.0] * 3  # of weight times bend, times bend, shape and value
    shapes = [0.0] * 2  # of weight times shape, times shape and value
    squared = _FREEDOM * noise * noise
    expected = _expected(rows, shape, line)
    for (slope, bend, setting, value), here, fitted in zip(rows, shape, expected, strict=True):
        off = value - fitted
        if (off < 0 and value >= SCALE_TOP) or (off > 0 and value <= 0):
            continue  # the bound holds, so it asks for nothing
        weight = (_FREEDOM + 1) / (squared + off * off)
        by_slope, by_bend = weight * slope, weight * bend
        total = sums[setting]
        total[0] += weight
        total[1] += by_slope
        total[2] += by_bend
        total[4] += weight * value
        slopes[0] += by_slope * slope
        slopes[1] += by_slope * bend
        slopes[3] += by_slope * value
        bends[0] += by_bend * bend
        bends[2] += by_bend * value
        if here:
            by_shape = weight * here
            total[3] += by_shape
            slopes[2] += by_slope * here
            bends[1] += by_bend * here
            shapes[0] += by_shape * here
            shapes[1] += by_shape * value
    level = [sum(column) for column in zip(*sums, strict=True)]
    matrix = [[level[0]], [level[1], slopes[0]], [level[2], slopes[1], bends[0]]]
    right = [level[4], slopes[3], bends[2]]
    for number, (weight, by_slope, by_bend, _, value) in enumerate(sums[1:]):
        matrix.append([weight, by_slope, by_bend, *[0.0] * number, weight])
        right.append(value)
    matrix.append([level[3], slopes[2], bends[1], *(total[3] for total in sums[1:]), shapes[0]])
    right.append(shapes[1])
    for i, (mean, spread) in enumerate(priors):
        matrix[i][i] += 1 / spread**2
        right[i] += mean / spread**2
    return matrix, right


def _solved(matrix: list[list[float]], right: list[float]) -> tuple[list[float], float]:
    """Return the solution and the logarithm of the determinant, by Cholesky's method.

    Only the lower half of the matrix is read; the spreads above make it positive definite.
    """
    size = len(right)
    determinant = 1.0
    half: list[list[float]] = []
    forward: list[float] = []
    for i in range(size):
        line: list[float] = []
        square = matrix[i][i]
        goal = right[i]
        for j in range(i):
            entry = matrix[i][j]
            other = half[j]
            for k in range(j):
                entry -= line[k] * other[k]
            entry /= other[j]
            line.append(entry)
            square -= entry * entry
            goal -= entry * forward[j]
        pivot = math.sqrt(square)
        line.append(pivot)
        half.append(line)
        forward.append(goal / pivot)
        determinant *= square
    solution = [0.0] * size
    for i in reversed(range(size)):
        goal = forward[i]
        for k in range(i + 1, size):
            goal -= half[k][i] * solution[k]
        solution[i] = goal / half[i][i]
    return solution, math.log(determinant)
