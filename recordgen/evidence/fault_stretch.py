"""From the weights of all gaps to the stretch where the signal falls, and where the fault lies."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from recordgen.evidence.change_point import Gap, from_other_end, others_log_odds, weighed
from recordgen.evidence.line_fit import Point
from recordgen.evidence.run_places import Stretch

CONFIDENCE_PERCENT: Final = 90
"""Of the interval: so often it holds the fault, by simulation."""
# Readings given a fall must be e^2.7 = 15 times as likely as given none. Measured by simulation: a
# fault is then called on a sound stretch in clearly less than one case of a hundred.
_CALLED_AT: Final = 2.7

# Own rules, measured by simulation so that the interval holds the fault in 90 % of the cases: how
# far before the fall the fault may lie, as the signal fades over a little way (shift in metres,
# share), and how much of the weight is cut off at either end.
_FADING: Final = ((0.0, 0.6), (0.3, 0.25), (0.7, 0.15))
_CUT: Final = 0.065
_SEGMENT_SHARE: Final = 0.95


@dataclass(frozen=True)
class Change:
    """Whether the signal changes at once somewhere along the run.

    Attributes
    ----------
    kind : str or None
        "falls" or "rises", seen from the start of the run; None where neither is clear.
    gaps : tuple of Gap
        Of the fall, in order along the run; empty unless it falls.
    stands : bool
        Whether a hump, a hollow or a sag explains a fall less well; True unless it falls.
    """

    kind: Literal["falls", "rises"] | None
    gaps: tuple[Gap, ...]
    stands: bool = True


def change(points: Sequence[Point]) -> Change:
    """Return whether the signal falls or rises at once, as far as the readings bear it.

    Parameters
    ----------
    points : sequence of Point

    Returns
    -------
    Change

    Notes
    -----
    A fall has to explain the readings clearly better than no change at all, and than a rise: a
    steep slope with a fall in it can look like a rise. A rise likewise. Whether a fall stands asks
    for more: that no hump, hollow or sag explains the readings as well (measured by simulation; to
    ask for two places past the fall instead costs more of the faults, and tells no hump).

    Examples
    --------
    >>> values = (70, 71, 69, 70, 20, 18)
    >>> change([Point(float(at), value, 4) for at, value in enumerate(values)]).kind
    'falls'
    >>> change([Point(float(-at), value, 4) for at, value in enumerate(values)]).kind
    'rises'
    """
    fall, rise = weighed(points), weighed(from_other_end(points))
    if fall.log_odds > _CALLED_AT + max(0.0, rise.log_odds):
        steepest = max(fall.gaps, key=lambda gap: gap.share)
        other = others_log_odds(points, (steepest.low_m + steepest.high_m) / 2)
        return Change("falls", fall.gaps, stands=fall.log_odds > other)
    if rise.log_odds > _CALLED_AT + max(0.0, fall.log_odds):
        return Change("rises", ())
    return Change(None, ())


def fault_interval(gaps: Sequence[Gap]) -> Stretch:
    """Return where the fault lies in nine cases of ten [m].

    Parameters
    ----------
    gaps : sequence of Gap
        In order along the run, one at least; their shares add up to 1.

    Returns
    -------
    Stretch
        Never beyond the first and the last place.

    Notes
    -----
    Within a gap every place has the same chance. As the signal fades over a little way, a reading
    just past the fault may still be high: so the fault may lie a little before the gap.

    Examples
    --------
    >>> found = fault_interval([Gap(0, 10, 0.01), Gap(10, 20, 0.98), Gap(20, 30, 0.01)])
    >>> round(found.low_m, 1), round(found.high_m, 1)
    (10.4, 19.3)
    """
    first_m, last_m = gaps[0].low_m, gaps[-1].high_m
    low_m = _place_of_weight(gaps, _CUT)
    return Stretch(max(first_m, low_m), min(last_m, _place_of_weight(gaps, 1 - _CUT)))


def _weight_below(gaps: Sequence[Gap], at_m: float) -> float:
    """Return the weight of "the fault lies before this place": even within a gap, and faded."""
    total = 0.0
    for gap in gaps:
        for shift_m, share in _FADING:
            inside = (at_m + shift_m - gap.low_m) / (gap.high_m - gap.low_m)
            total += gap.share * share * min(1.0, max(0.0, inside))
    return total


def _place_of_weight(gaps: Sequence[Gap], weight: float) -> float:
    low_m, high_m = gaps[0].low_m - _FADING[-1][0], gaps[-1].high_m
    for _ in range(50):  # halved to far less than a millimetre
        middle_m = (low_m + high_m) / 2
        if _weight_below(gaps, middle_m) < weight:
            low_m = middle_m
        else:
            high_m = middle_m
    return (low_m + high_m) / 2


def fall_segment(gaps: Sequence[Gap]) -> Stretch:
    """Return the shortest stretch of neighbouring gaps that has nearly all of the weight [m].

    Parameters
    ----------
    gaps : sequence of Gap
        In order along the run; their shares add up to 1.

    Returns
    -------
    Stretch
        From one place where a reading was taken to another.

    Examples
    --------
    >>> fall_segment([Gap(0, 10, 0.01), Gap(10, 20, 0.98), Gap(20, 30, 0.01)])
    Stretch(low_m=10, high_m=20)
    """
    enough = [
        Stretch(gaps[i].low_m, gaps[j].high_m)
        for i in range(len(gaps))
        for j in range(i, len(gaps))
        if sum(gap.share for gap in gaps[i : j + 1]) >= _SEGMENT_SHARE
    ]
    return min(enough, key=lambda stretch: stretch.high_m - stretch.low_m)
