"""Trip of a ground-fault circuit interrupter for the protection of people (class A)."""

from __future__ import annotations

from typing import Literal

from recordgen.calc.published import rows

TripRegion = Literal["must not trip", "may trip", "must trip"]


def trip_region(current_ma: float) -> TripRegion:
    """Return what a class A device does at a current to ground.

    Parameters
    ----------
    current_ma : float
        Current to ground [mA].

    Returns
    -------
    {"must not trip", "may trip", "must trip"}
        Up to 4 mA, between, and from 6 mA on.

    Raises
    ------
    ValueError
        A current below zero.

    Notes
    -----
    UL 943, class A, as read on two public pages and not in the standard. Not for equipment ground
    fault protection (230.95 and the like), nor for residual current devices of the IEC.

    Examples
    --------
    >>> trip_region(3), trip_region(5), trip_region(6)
    ('must not trip', 'may trip', 'must trip')
    """
    if not current_ma >= 0:
        raise ValueError(f"a current to ground is zero or more, not {current_ma:g} mA")
    if current_ma <= _limit("must not trip up to"):
        return "must not trip"
    return "must trip" if current_ma >= _limit("must trip from") else "may trip"


def longest_trip_s(current_ma: float) -> float:
    """Return the longest time that a class A device may take to trip [s].

    Parameters
    ----------
    current_ma : float
        Current to ground [mA], 6 to 264 mA.

    Returns
    -------
    float
        Time [s].

    Raises
    ------
    ValueError
        Below 6 mA, where the device need not trip, or above 264 mA, where the curve ends.

    Notes
    -----
    (20 / I)^1.43 with I in mA: UL 943, read in a trade forum's quotation. That the curve ends at
    264 mA is from memory.

    Examples
    --------
    >>> round(longest_trip_s(6), 2)
    5.59
    """
    least, most = _limit("must trip from"), _limit("curve ends at")
    if not current_ma >= least:
        raise ValueError(f"{current_ma:g} mA: below {least:g} mA there is no longest time")
    if current_ma > most:
        raise ValueError(f"{current_ma:g} mA: the curve ends at {most:g} mA")
    return float((_limit("curve's current") / current_ma) ** _limit("curve's exponent"))


def trips_in_time(current_ma: float, measured_s: float) -> bool:
    """Return whether a measured trip time is short enough.

    Parameters
    ----------
    current_ma : float
        Test current to ground [mA], 6 to 264 mA.
    measured_s : float
        Time that the device took [s].

    Returns
    -------
    bool
        True where it is no longer than `longest_trip_s`.

    Raises
    ------
    ValueError
        A time that is not above zero, or a current outside the curve.

    Notes
    -----
    As `longest_trip_s`. A device that did not trip has no time: it fails at 6 mA and more.

    Examples
    --------
    >>> trips_in_time(8, 0.05), trips_in_time(8, 5)
    (True, False)
    """
    if not measured_s > 0:
        raise ValueError(f"a trip takes more than 0 s, not {measured_s:g} s")
    return measured_s <= longest_trip_s(current_ma)


def _limit(name: str) -> float:
    return {row["limit"]: float(row["value"]) for row in rows("ground_fault_trip")}[name]
