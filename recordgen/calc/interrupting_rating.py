"""Interrupting rating: whether a device can break the fault current where it stands."""

from __future__ import annotations

from math import isfinite


def interrupting_rating_suffices(rating_a: float, available_a: float) -> bool:
    """Return whether a device's interrupting rating is at least the available fault current.

    Parameters
    ----------
    rating_a : float
        Interrupting rating of the device at the system's voltage [A].
    available_a : float
        Highest available fault current at its line terminals, motors included [A].

    Returns
    -------
    bool

    Raises
    ------
    ValueError
        A rating or current that is not above zero: an unknown one is none, and zero would pass.

    Notes
    -----
    NEC 110.9, rule read in a plan review guide. For fully rated devices. A series rating (240.86)
    is another question: it asks for the device upstream. Where the circuit's X/R is above that of
    the device's test, the rating counts for less, see `fault_asymmetry`.

    Examples
    --------
    >>> interrupting_rating_suffices(10_000, 18_669), interrupting_rating_suffices(22_000, 18_669)
    (False, True)
    """
    if not (rating_a > 0 and available_a > 0 and isfinite(available_a)):
        raise ValueError("an interrupting rating and a fault current are above zero and finite")
    return rating_a >= available_a
