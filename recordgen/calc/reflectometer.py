"""Reflectometer: distance to a change of impedance, from the time of its echo."""

from __future__ import annotations

from typing import Final

from recordgen.calc.interval import Interval, above_zero

_LIGHT_M_PER_NS: Final = 0.299792458  # exact, by the definition of the metre


def distance_m(echo_ns: Interval, velocity_factor: Interval) -> Interval:
    """Return how far away an echo comes from [m].

    Parameters
    ----------
    echo_ns : Interval
        From the pulse to its echo, there and back [ns]; the uncertainty holds that of setting the
        marks, which is seldom below the rise time of the pulse (common practice).
    velocity_factor : Interval
        Of the cable, as a share of the speed of light, above 0 and up to 1. From the cable's data
        sheet, or better from a known length of the same cable, see `velocity_factor`.

    Returns
    -------
    Interval
        Distance along the cable [m], with everything the uncertainties allow.

    Raises
    ------
    ValueError
        A time that is not above zero, or a velocity factor that reaches to zero or beyond 1.

    Notes
    -----
    c × velocity factor × time / 2; the echo goes there and back. An echo upwards is a higher
    impedance, such as an open end; downwards a lower one, such as a short (read in a technical note
    on reflectometers). Building wire in a raceway has no one velocity factor: as its distance to
    metal changes so does the factor, and its uncertainty must say so.

    Examples
    --------
    >>> found = distance_m(Interval(495, 500, 505), Interval(0.65, 0.66, 0.67))
    >>> [round(metres, 1) for metres in (found.low, found.best, found.high)]
    [48.2, 49.5, 50.7]
    """
    above_zero(echo_ns, "the time of an echo")
    above_zero(velocity_factor, "a velocity factor")
    if velocity_factor.high > 1:
        raise ValueError(f"a velocity factor is at most 1, not {velocity_factor.high:g}")
    half = _LIGHT_M_PER_NS / 2
    return Interval(
        half * velocity_factor.low * echo_ns.low,
        half * velocity_factor.best * echo_ns.best,
        half * velocity_factor.high * echo_ns.high,
    )


def velocity_factor(length_m: Interval, end_echo_ns: Interval) -> Interval:
    """Return the velocity factor of a cable of known length, from the echo of its end.

    Parameters
    ----------
    length_m : Interval
        Length of the cable [m].
    end_echo_ns : Interval
        From the pulse to the echo of the open or shorted far end, there and back [ns].

    Returns
    -------
    Interval
        Share of the speed of light.

    Raises
    ------
    ValueError
        A length or time that is not above zero, or a best figure above 1: nothing is faster than
        light, so length or time is wrong. Where only the high end is above 1, `distance_m` will
        refuse the factor: the length has to be known better.

    Notes
    -----
    2 × length / (c × time), the formula of `distance_m` solved for the factor.

    Examples
    --------
    >>> found = velocity_factor(Interval(49.9, 50, 50.1), Interval(500, 505, 510))
    >>> [round(share, 3) for share in (found.low, found.best, found.high)]
    [0.653, 0.661, 0.668]
    """
    above_zero(length_m, "a length")
    above_zero(end_echo_ns, "the time of an echo")
    twice = 2 / _LIGHT_M_PER_NS
    found = Interval(
        twice * length_m.low / end_echo_ns.high,
        twice * length_m.best / end_echo_ns.best,
        twice * length_m.high / end_echo_ns.low,
    )
    if found.best > 1:
        raise ValueError(f"a velocity factor of {found.best:.3g}: faster than light")
    return found
