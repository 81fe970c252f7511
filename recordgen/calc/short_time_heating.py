"""Short-time heating: whether a conductor stands a fault until it is cleared."""

from __future__ import annotations

from math import isfinite, sqrt

from recordgen.calc.published import rows


def heating_factor(metal: str, insulation: str) -> float:
    """Return k of a conductor with its insulation [A·√s/mm²].

    Parameters
    ----------
    metal : {"Cu", "Al"}
    insulation : {"PVC", "XLPE"}
        PVC from 70 °C to 160 °C, XLPE from 90 °C to 250 °C.

    Raises
    ------
    ValueError
        There is no k for them.

    Notes
    -----
    IEC 60364-4-43, table 43A, from memory; PVC up to 300 mm². For line conductors that start at the
    temperature of full load; a protective conductor beside them may have a larger k.

    Examples
    --------
    >>> heating_factor("Cu", "PVC")
    115.0
    """
    for row in rows("short_time_heating"):
        if (row["metal"], row["insulation"]) == (metal, insulation):
            return float(row["k_a_s_per_mm2"])
    raise ValueError(f"no k for {metal} with {insulation}; there is one for Cu, Al and PVC, XLPE")


def smallest_area_mm2(current_a: float, duration_s: float, k: float) -> float:
    """Return the least cross-section that stands a fault without harm to its insulation [mm²].

    Parameters
    ----------
    current_a : float
        Fault current, effective value [A].
    duration_s : float
        Until it is cleared [s], 0.1 to 5 s.
    k : float
        See `heating_factor` [A·√s/mm²].

    Returns
    -------
    float
        Cross-section [mm²]; the next standard size above it is to be taken.

    Raises
    ------
    ValueError
        A current or k that is not above zero, or a duration outside 0.1 to 5 s.

    Notes
    -----
    I·√t / k, heating without loss: IEC 60364-4-43, 434.5.2, and 60364-5-54, 543.1.2, from memory.
    Holds up to 5 s. Below 0.1 s the current is not symmetrical and a current-limiting device lets
    less through: the I²t that its maker states takes the place of I²·t.

    Examples
    --------
    >>> round(smallest_area_mm2(1000, 0.1, 115), 2)
    2.75
    """
    if not (current_a > 0 and isfinite(current_a) and k > 0):
        raise ValueError("a fault current and k are above zero")
    (span,) = rows("short_time_range")
    least, most = float(span["duration_from_s"]), float(span["duration_to_s"])
    if not least <= duration_s <= most:
        raise ValueError(f"{duration_s:g} s: the formula holds from {least:g} to {most:g} s")
    return current_a * sqrt(duration_s) / k
