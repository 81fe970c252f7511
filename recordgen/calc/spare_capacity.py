"""Spare capacity: how much of a bus, main device or feeder is used, and what is left."""

from __future__ import annotations

from math import isfinite


def percent_used(demand_a: float, rating_a: float) -> float:
    """Return how much of a rating is used.

    Parameters
    ----------
    demand_a : float
        Demand [A].
    rating_a : float
        Rating of the bus or device, or ampacity of the conductors [A].

    Returns
    -------
    float
        Percent of the rating; above 100 where it is exceeded.

    Raises
    ------
    ValueError
        The demand is below zero, or the rating not above zero.

    Notes
    -----
    A ratio, common practice. Compare sizing values (continuous load at 125 %) with ratings of
    devices that are not listed for 100 %.

    Examples
    --------
    >>> percent_used(150, 200)
    75.0
    """
    _refuse(demand_a, rating_a)
    return 100 * demand_a / rating_a


def spare_a(demand_a: float, rating_a: float) -> float:
    """Return what is left of a rating.

    Parameters
    ----------
    demand_a : float
        Demand [A].
    rating_a : float
        Rating of the bus or device, or ampacity of the conductors [A].

    Returns
    -------
    float
        Amperes left [A]; below zero where the rating is exceeded.

    Raises
    ------
    ValueError
        The demand is below zero, or the rating not above zero.

    Notes
    -----
    A difference, common practice; it holds as `percent_used` does.

    Examples
    --------
    >>> spare_a(150, 200)
    50
    """
    _refuse(demand_a, rating_a)
    return rating_a - demand_a


def _refuse(demand_a: float, rating_a: float) -> None:
    if not isfinite(demand_a) or demand_a < 0:
        raise ValueError(f"a demand of {demand_a} A: it has to be zero or more")
    if not isfinite(rating_a) or rating_a <= 0:
        raise ValueError(f"a rating of {rating_a} A: it has to be above zero")
