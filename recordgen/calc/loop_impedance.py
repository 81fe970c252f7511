"""Loop impedance: the most that an earth-fault loop may have for its breaker to trip at once."""

from __future__ import annotations

from recordgen.calc.published import rows


def instantaneous_trip_a(rating_a: float, curve: str) -> float:
    """Return the current from which a miniature circuit breaker is sure to trip at once [A].

    Parameters
    ----------
    rating_a : float
        Rated current [A], up to 125 A.
    curve : {"B", "C", "D"}
        Its type of instantaneous tripping.

    Returns
    -------
    float
        Upper end of the band of instantaneous tripping [A].

    Raises
    ------
    ValueError
        A rating that is not above zero or above 125 A, or another curve.

    Notes
    -----
    5, 10 and 20 times the rated current for B, C and D: IEC 60898-1, from memory. Breakers of other
    standards have their own curves; moulded-case breakers their settings.

    Examples
    --------
    >>> instantaneous_trip_a(16, "C")
    160.0
    """
    for row in rows("miniature_breakers"):
        if row["curve"] == curve:
            most = float(row["rated_up_to_a"])
            if not 0 < rating_a <= most:
                raise ValueError(f"a rating is above 0 and up to {most:g} A, not {rating_a:g} A")
            return float(row["trips_at_times_rating"]) * rating_a
    raise ValueError(f"a curve is B, C or D, not {curve}")


def largest_loop_ohm(line_to_earth_v: float, rating_a: float, curve: str) -> float:
    """Return the largest earth-fault loop impedance at which a breaker trips at once [Ω].

    Parameters
    ----------
    line_to_earth_v : float
        Nominal voltage from line to earth, U0 [V].
    rating_a : float
        Rated current of the breaker [A], up to 125 A.
    curve : {"B", "C", "D"}
        Its type of instantaneous tripping.

    Returns
    -------
    float
        Impedance of the whole loop at the temperature of the fault: source, line conductor and
        protective conductor [Ω].

    Raises
    ------
    ValueError
        A voltage that is not above zero, or what `instantaneous_trip_a` refuses.

    Notes
    -----
    U0 / Ia of IEC 60364-4-41, 411.4, for TN systems, from memory. A reading on cold conductors is
    lower than the loop is in a fault, and the voltage may be below nominal: national rules take
    part of the figure away for that. Where a residual-current device disconnects, it does not
    apply; nor does it where rules of the NEC do.

    Examples
    --------
    >>> largest_loop_ohm(230, 16, "B")
    2.875
    """
    if not line_to_earth_v > 0:
        raise ValueError(f"a voltage is above zero, not {line_to_earth_v:g} V")
    return line_to_earth_v / instantaneous_trip_a(rating_a, curve)
