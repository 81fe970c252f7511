"""Where along a line of readings the signal falls: every gap between places held against none."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

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


@dataclass(frozen=True)
class Gap:
    """A stretch between two neighbouring places, and the weight of "the signal falls here".

    Attributes
    ----------
    low_m, high_m : float
        The two places [m].
    share : float
        0 to 1: of all gaps together, given that it falls in one of them.
    """

    low_m: float
    high_m: float
    share: float


@dataclass(frozen=True)
class Weighed:
    """All gaps, and how much better one of them explains the readings than none.

    Attributes
    ----------
    gaps : tuple of Gap
        In order along the run; empty where there are fewer than two places.
    log_odds : float
        Natural logarithm: readings given a fall somewhere, over readings given none.
    """

    gaps: tuple[Gap, ...]
    log_odds: float


def weighed(points: Iterable[Point]) -> Weighed:
    """Return every gap between places with its weight.

    Parameters
    ----------
    points : iterable of Point
        In any order; several at one place are fine, and at a change of sensitivity wanted.

    Returns
    -------
    Weighed

    Notes
    -----
    Each gap is tried in turn: a level, a slope and its bend, one drop at the gap and one offset per
    further sensitivity, fitted with heavy tails; 0 and 99 count as bounds. The fits are weighed by
    how well they explain the readings, averaged over what the parameters may be (Laplace's
    approximation), and by the width of the gap: before anything is read a fault may be anywhere
    with the same chance. Own rule, on textbook statistics; the spreads are those of the project's
    simulator.

    Examples
    --------
    >>> marks = zip((0, 10, 20, 30, 40, 50), (78, 77, 75, 76, 22, 6))
    >>> found = weighed(Point(at, value, 4) for at, value in marks)
    >>> best = max(found.gaps, key=lambda gap: gap.share)
    >>> best.low_m, best.high_m, best.share > 0.9, found.log_odds > 3
    (30, 40, True, True)
    """
    ordered = sorted(points, key=lambda point: (point.at_m, point.sensitivity, point.value))
    places = sorted({point.at_m for point in ordered})
    if len(places) < 2:
        return Weighed((), -math.inf)
    whole = places[-1] - places[0]
    others = sorted({point.sensitivity for point in ordered})[1:]
    rows = [
        [1.0, *_leaning((point.at_m - places[0]) / whole)]
        + [float(point.sensitivity == other) for other in others]
        for point in ordered
    ]
    values = [point.value for point in ordered]
    priors = [_LEVEL, _SLOPE, _BEND, *(_OFFSET for _ in others)]
    none = _log_evidence(rows, values, priors)
    with_gap = [
        _log_evidence(
            [[*row, -float(point.at_m >= high)] for row, point in zip(rows, ordered, strict=True)],
            values,
            [*priors, _DROP],
            least_last=_LEAST_DROP,
        )
        + math.log((high - low) / whole)
        for low, high in pairwise(places)
    ]
    total = _log_sum(with_gap)
    if total == -math.inf:
        return Weighed(tuple(Gap(low, high, 0.0) for low, high in pairwise(places)), total)
    return Weighed(
        tuple(
            Gap(low, high, math.exp(weight - total))
            for (low, high), weight in zip(pairwise(places), with_gap, strict=True)
        ),
        total - none,
    )


def from_other_end(points: Iterable[Point]) -> tuple[Point, ...]:
    """Return the readings as seen from the other end, with distances below zero [m].

    Parameters
    ----------
    points : iterable of Point

    Returns
    -------
    tuple of Point
        A rise along the run is a fall of these: the transmitter may have stood at the other end.

    Examples
    --------
    >>> from_other_end([Point(3.0, 70, 4)])
    (Point(at_m=-3.0, value=70, sensitivity=4),)
    """
    return tuple(replace(point, at_m=-point.at_m) for point in points)


def _leaning(share: float) -> tuple[float, float]:
    """Return what slope and bend do at a share of the way, 0 to 1; the bend is 1 end to middle."""
    off = share - 0.5
    return off, 4 * off * off - 0.5


def _log_sum(logs: Sequence[float]) -> float:
    highest = max(logs)
    if highest == -math.inf:
        return highest
    return highest + math.log(sum(math.exp(log - highest) for log in logs))


def _log_evidence(
    rows: Sequence[Sequence[float]],
    values: Sequence[float],
    priors: Sequence[tuple[float, float]],
    *,
    least_last: float | None = None,
) -> float:
    """Return the logarithm of the chance of the readings, averaged over parameters and noise."""
    fitted = [mean for mean, _ in priors]
    logs = []
    for noise, share in _NOISES:  # from the widest on, each starting where the last one ended
        for _ in range(_PASSES):
            matrix, right = _normal_equations(rows, values, priors, fitted, noise)
            fitted, log_determinant = _solved(matrix, right)
        if least_last is not None and fitted[-1] < least_last:
            continue
        log = math.log(share) - log_determinant / 2
        for (mean, spread), parameter in zip(priors, fitted, strict=True):
            log -= math.log(spread) + ((parameter - mean) / spread) ** 2 / 2
        for row, value in zip(rows, values, strict=True):
            log += _log_chance(value, _product(row, fitted), noise)
        logs.append(log)
    return _log_sum(logs) if logs else -math.inf


def _product(row: Sequence[float], parameters: Sequence[float]) -> float:
    return sum(a * b for a, b in zip(row, parameters, strict=True))


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
    rows: Sequence[Sequence[float]],
    values: Sequence[float],
    priors: Sequence[tuple[float, float]],
    fitted: Sequence[float],
    noise: float,
) -> tuple[list[list[float]], list[float]]:
    size = len(priors)
    matrix = [[0.0] * size for _ in range(size)]
    right = [0.0] * size
    for i, (mean, spread) in enumerate(priors):
        matrix[i][i] = 1 / spread**2
        right[i] = mean / spread**2
    for row, value in zip(rows, values, strict=True):
        off = value - _product(row, fitted)
        if (value >= SCALE_TOP and off < 0) or (value <= 0 and off > 0):
            continue  # the bound holds, so it asks for nothing
        weight = (_FREEDOM + 1) / (_FREEDOM * noise**2 + off**2)
        for i, left in enumerate(row):
            if left:
                part = weight * left
                right[i] += part * value
                line = matrix[i]
                for j in range(i + 1):
                    line[j] += part * row[j]
    return matrix, right


def _solved(matrix: list[list[float]], right: list[float]) -> tuple[list[float], float]:
    """Return the solution and the logarithm of the determinant, by Cholesky's method.

    Only the lower half of the matrix is read; the spreads above make it positive definite.
    """
    size = len(right)
    log_determinant = 0.0
    half: list[list[float]] = []
    forward: list[float] = []
    for i in range(size):
        line: list[float] = []
        for j in range(i):
            done = sum(line[k] * half[j][k] for k in range(j))
            line.append((matrix[i][j] - done) / half[j][j])
        pivot = math.sqrt(matrix[i][i] - sum(entry * entry for entry in line))
        forward.append((right[i] - sum(line[k] * forward[k] for k in range(i))) / pivot)
        line.append(pivot)
        half.append(line)
        log_determinant += 2 * math.log(pivot)
    solution = [0.0] * size
    for i in reversed(range(size)):
        later = sum(half[k][i] * solution[k] for k in range(i + 1, size))
        solution[i] = (forward[i] - later) / half[i][i]
    return solution, log_determinant
