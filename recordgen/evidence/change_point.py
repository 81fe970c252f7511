"""Where along a line of readings the signal falls: every gap between places held against none."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

from recordgen.evidence.line_fit import LineFit, Point, log_sum

# What is no fault, though the signal falls: humps and hollows so wide to either side [m], their
# steepest part at about 0.7 of that, and sags with the second power of the way and higher ones.
_HUMPS_M: Final = (1.5, 3.0, 6.0, 12.0)
_FLANKS: Final = (0.4, 0.7, 1.1)
_SAGS: Final = (4, 8)


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
    Each gap is tried in turn, as a line with one drop at the gap (see `LineFit`). The fits are
    weighed by how well they explain the readings, and by the width of the gap: before anything is
    read a fault may be anywhere with the same chance. Own rule, on textbook statistics; the spreads
    are those of the project's simulator.

    Examples
    --------
    >>> marks = zip((0, 10, 20, 30, 40, 50), (78, 77, 75, 76, 22, 6))
    >>> found = weighed(Point(at, value, 4) for at, value in marks)
    >>> best = max(found.gaps, key=lambda gap: gap.share)
    >>> best.low_m, best.high_m, best.share > 0.9, found.log_odds > 3
    (30, 40, True, True)
    """
    points = tuple(points)
    places = sorted({point.at_m for point in points})
    if len(places) < 2:
        return Weighed((), -math.inf)
    fit = LineFit(points)
    whole = places[-1] - places[0]
    firsts = [bisect_left(fit.points, high, key=lambda point: point.at_m) for high in places[1:]]
    falls = [[0.0] * first + [-1.0] * (len(fit.points) - first) for first in firsts]
    widths = [math.log((high - low) / whole) for low, high in pairwise(places)]
    with_gap = [width + log for width, log in zip(widths, fit.log_chances(falls), strict=True)]
    total = log_sum(with_gap)
    if total == -math.inf:
        return Weighed(tuple(Gap(low, high, 0.0) for low, high in pairwise(places)), total)
    return Weighed(
        tuple(
            Gap(low, high, math.exp(weight - total))
            for (low, high), weight in zip(pairwise(places), with_gap, strict=True)
        ),
        total - fit.log_chance_of_none(),
    )


def others_log_odds(points: Iterable[Point], at_m: float) -> float:
    """Return how much better a hump, a hollow or a sag explains the readings than none.

    Parameters
    ----------
    points : iterable of Point
        At two places at least.
    at_m : float
        Where the signal falls [m]: on the far flank of the hump, the near flank of the hollow.

    Returns
    -------
    float
        Natural logarithm: readings given the best of them, over readings given none. The best of
        many fits by chance alone: it counts for its share of them.

    Notes
    -----
    Past a fault the signal stays down; past a hump it is what it was before, and a hollow ends.
    Metal beside the run makes them, over a few metres. A sag comes on ever faster towards the end
    of the stretch. Own rule: shapes and sizes as the project's simulator has them, and wider.

    Examples
    --------
    >>> there = [Point(float(at), value, 4) for at, value in enumerate((60, 61, 85, 84, 60, 59))]
    >>> others_log_odds(there, 3.5) > 2
    True
    """
    fit = LineFit(points)
    places_m = [point.at_m for point in fit.points]
    first_m, whole = places_m[0], places_m[-1] - places_m[0]
    humps = [
        [sign * math.exp(-(((here_m - centre_m) / wide_m) ** 2)) for here_m in places_m]
        for wide_m in _HUMPS_M
        for flank in _FLANKS
        for sign, centre_m in ((1, at_m - flank * wide_m), (-1, at_m + flank * wide_m))
    ]
    sags = [[-(((here_m - first_m) / whole) ** power) for here_m in places_m] for power in _SAGS]
    logs = [max(fit.log_chances(several)) - math.log(len(several)) for several in (humps, sags)]
    return max(logs) - fit.log_chance_of_none()


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
