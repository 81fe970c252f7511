"""How far a fault's first half cycle stands above its symmetrical current."""

from __future__ import annotations

import math


def x_over_r(impedance_ohm: complex) -> float:
    """Return X/R of the impedance up to a fault; infinite where there is no resistance.

    Raises
    ------
    ValueError
        No impedance at all, or a resistance or reactance below zero.

    Notes
    -----
    Of the single complex impedance. ANSI C37 practice takes R and X of separate networks instead,
    which reads a little higher where sources are in parallel (from memory).

    Examples
    --------
    >>> x_over_r(0.01 + 0.04j)
    4.0
    """
    if impedance_ohm == 0 or min(impedance_ohm.real, impedance_ohm.imag) < 0:
        raise ValueError(
            f"an impedance up to a fault has a resistance and an inductive reactance, and not both "
            f"are zero: {impedance_ohm}"
        )
    if impedance_ohm.real == 0:
        return math.inf
    return impedance_ohm.imag / impedance_ohm.real


def asymmetry_factor(x_over_r: float) -> float:
    """Return rms current with its DC part, half a cycle after the fault, over symmetrical rms.

    Raises
    ------
    ValueError
        An X/R below zero.

    Notes
    -----
    √(1 + 2·e^(-2π/(X/R))), for the fault that begins at the worst moment: 1 without reactance, √3
    without resistance. Source: circuit theory, as in IEEE 141-1993, chapter 4 (from memory).

    Examples
    --------
    A device tested at a power factor of 20 %, X/R 4.9:

    >>> round(asymmetry_factor(4.899), 3)
    1.247
    """
    return math.sqrt(1 + 2 * _remaining(x_over_r) ** 2)


def peak_factor(x_over_r: float) -> float:
    """Return the highest instantaneous current in the first half cycle over symmetrical rms.

    Raises
    ------
    ValueError
        An X/R below zero.

    Notes
    -----
    √2·(1 + e^(-π/(X/R))): the DC part half a cycle after the fault on top of the AC crest; within
    2 % of the true crest. Source: common practice (IEEE C37.13, from memory).

    Examples
    --------
    >>> round(peak_factor(4.899), 2)
    2.16
    """
    return math.sqrt(2) * (1 + _remaining(x_over_r))


def _remaining(x_over_r: float) -> float:
    """Return what is left of the DC part, of the AC crest, half a cycle after the fault."""
    if not x_over_r >= 0:
        raise ValueError(f"X/R is not below zero, but {x_over_r:g} is")
    return math.exp(-math.pi / x_over_r) if x_over_r else 0.0
