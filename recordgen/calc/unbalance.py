"""Unbalance: how far phases stand apart."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite


def unbalance_percent(magnitudes: Sequence[float]) -> float:
    """Return the largest deviation from the mean, in percent of the mean.

    Parameters
    ----------
    magnitudes : sequence of float
        Voltages [V] or currents [A] of the two or three phases: magnitudes, no phasors.

    Returns
    -------
    float
        Unbalance [%].

    Raises
    ------
    ValueError
        Fewer than two values, one below zero, or all zero: nothing is there to be compared.

    Notes
    -----
    For voltages the definition of NEMA MG 1, 12.45 and 14.36 (from memory). For currents it is
    common practice, and no limit of a standard belongs to it. It knows no angles: the ratio of
    negative to positive sequence is another quantity.

    Examples
    --------
    The example that goes with the definition (NEMA MG 1, 12.45, from memory):

    >>> round(unbalance_percent([460, 467, 450]), 2)
    1.96
    """
    if len(magnitudes) < 2:
        raise ValueError("unbalance is a matter of two phases or more")
    if any(not isfinite(value) or value < 0 for value in magnitudes):
        raise ValueError("unbalance is worked out from magnitudes: none of them is below zero")
    mean = sum(magnitudes) / len(magnitudes)
    if mean == 0:
        raise ValueError("all phases are at zero: there is no unbalance to work out")
    return 100 * max(abs(value - mean) for value in magnitudes) / mean
