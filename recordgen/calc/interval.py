"""Interval: a figure with what it may really be, for results that nobody should take as a point."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Interval:
    """A best figure, and the lowest and the highest that its inputs allow.

    Attributes
    ----------
    low, best, high : float
        In the unit of the quantity; low ≤ best ≤ high.

    Raises
    ------
    ValueError
        A value is not finite, or they are not in order.
    """

    low: float
    best: float
    high: float

    def __post_init__(self) -> None:
        """Refuse what is no interval."""
        if not all(map(math.isfinite, (self.low, self.best, self.high))):
            raise ValueError("the ends of an interval are finite numbers")
        if not self.low <= self.best <= self.high:
            raise ValueError(f"{self.low:g}, {self.best:g}, {self.high:g}: not in order")


def around(best: float, either_way: float) -> Interval:
    """Return the interval of a reading and what it may be off either way.

    Parameters
    ----------
    best : float
        The reading, in its own unit.
    either_way : float
        Uncertainty in the same unit, zero or more. Zero only for what is exact by definition or
        stands for a comparison: a reading always has one.

    Returns
    -------
    Interval
        From best - either_way to best + either_way.

    Raises
    ------
    ValueError
        An uncertainty below zero, or a value that is not finite.

    Notes
    -----
    A bound and no standard deviation: functions that take intervals put the ends together in the
    worst way, so the result holds whatever the errors have to do with each other.

    Examples
    --------
    >>> around(600, 5)
    Interval(low=595, best=600, high=605)
    """
    if not either_way >= 0:
        raise ValueError(f"an uncertainty is zero or more, not {either_way:g}")
    return Interval(best - either_way, best, best + either_way)


def above_zero(interval: Interval, what: str) -> Interval:
    """Return the interval itself.

    Parameters
    ----------
    interval : Interval
        Of a quantity that is above zero by its nature.
    what : str
        What it is, for the message: "an arm of the bridge".

    Raises
    ------
    ValueError
        It reaches down to zero or below.

    Notes
    -----
    An uncertainty as large as the reading says that nothing was measured.

    Examples
    --------
    >>> above_zero(around(600, 5), "a length").low
    595
    """
    if not interval.low > 0:
        raise ValueError(f"{what} is above zero, and its uncertainty smaller than itself")
    return interval
