"""Voltage drop by the K method, for those who check by hand."""

from __future__ import annotations

from typing import Final

from recordgen.calc.published import rows
from recordgen.calc.voltage_drop import Phases, conductors_in_drop

_METRES_PER_FOOT: Final = 0.3048  # exact, by definition


def k_factor_ohm_cmil_per_ft(metal: str) -> float:
    """Return K of copper (`Cu`) or aluminum (`Al`) as the trade uses it [Ω·cmil/ft].

    Raises
    ------
    ValueError
        Another metal, or none.

    Examples
    --------
    >>> k_factor_ohm_cmil_per_ft("Cu")
    12.9
    """
    for row in rows("k_factors"):
        if row["metal"] == metal:
            return float(row["k_ohm_cmil_per_ft"])
    raise ValueError(f"no K factor for conductors of {metal}; there is one for Cu and for Al")


def k_factor_drop_v(
    current_a: float,
    length_m: float,
    area_cmil: float,
    k_ohm_cmil_per_ft: float,
    phases: Phases,
) -> float:
    """Return the drop by the K method, for those who check by hand [V].

    Parameters
    ----------
    current_a : float
        Current in one conductor [A].
    length_m : float
        One way [m].
    area_cmil : float
        Of one conductor, or of all in parallel together [circular mils].
    k_ohm_cmil_per_ft : float
        See `k_factor_ohm_cmil_per_ft` [Ω·cmil/ft].
    phases : {1, 3}
        As for `approximate_drop_v`.

    Raises
    ------
    ValueError
        A current or length below zero, an area or K that is not above it, or other phases.

    Notes
    -----
    2·K·I·L/CM, √3 for 2. Knows no reactance and no power factor: reads low from about 1/0 AWG up
    (common practice).

    Examples
    --------
    >>> round(k_factor_drop_v(20, 100 * 0.3048, 10380, 12.9, 1), 2)
    4.97
    """
    if not (current_a >= 0 and length_m >= 0):
        raise ValueError("a current and a length are not below zero")
    if not (area_cmil > 0 and k_ohm_cmil_per_ft > 0):
        raise ValueError("an area and a K factor are above zero")
    feet = length_m / _METRES_PER_FOOT
    return conductors_in_drop(phases) * k_ohm_cmil_per_ft * current_a * feet / area_cmil
