"""Factors that an ampacity is corrected by: warm places, and many conductors together."""

from __future__ import annotations

import math
from typing import Final

from recordgen.calc.insulation_column import ColumnC, known_column
from recordgen.calc.published import rows

_TABLE_AMBIENT_C: Final = 30  # the ambient temperature in the title of table 310.16


def temperature_factor(column_c: ColumnC, ambient_c: float) -> float:
    """Return the factor that corrects an ampacity for the ambient temperature.

    Parameters
    ----------
    column_c : 60, 75 or 90
        Temperature rating of the insulation [°C].
    ambient_c : float
        Ambient temperature [°C].

    Returns
    -------
    float
        Factor, 1 from 26 to 30 °C.

    Raises
    ------
    ValueError
        The table has no factor at this ambient temperature.

    Notes
    -----
    NEC table 310.15(B)(1). Its bands are whole degrees; what lies between two has the warmer one's
    factor. Below 10 °C the factor stays what it is at 10 °C.

    Examples
    --------
    >>> temperature_factor(90, 45), temperature_factor(75, 40)
    (0.87, 0.88)
    """
    known_column(column_c)
    for row in rows("ambient_correction"):
        if ambient_c <= float(row["ambient_up_to_c"]) and row[f"factor_{column_c}_c"]:
            return float(row[f"factor_{column_c}_c"])
    raise ValueError(f"no ampacity for {column_c} °C insulation at {ambient_c:g} °C ambient")


def computed_temperature_factor(column_c: ColumnC, ambient_c: float) -> float:
    """Return the temperature factor by the equation that the table is rounded from.

    Parameters
    ----------
    column_c : 60, 75 or 90
        Temperature rating of the insulation [°C].
    ambient_c : float
        Ambient temperature [°C].

    Returns
    -------
    float
        Factor, 1 at 30 °C.

    Raises
    ------
    ValueError
        The ambient temperature is not below that of the insulation.

    Notes
    -----
    NEC 310.15(B), equation: √((Tc - Ta) / (Tc - 30)): the heat that a conductor gives off grows
    with the difference in temperature, and the heat of its current with the square.

    Examples
    --------
    >>> round(computed_temperature_factor(75, 40), 4)
    0.8819
    """
    known_column(column_c)
    if not ambient_c < column_c:
        raise ValueError(f"no ampacity for {column_c} °C insulation at {ambient_c:g} °C ambient")
    return math.sqrt((column_c - ambient_c) / (column_c - _TABLE_AMBIENT_C))


def adjustment_factor(current_carrying: int) -> float:
    """Return the factor for the number of current-carrying conductors together.

    Parameters
    ----------
    current_carrying : int
        Conductors in the raceway or cable that carry current: no equipment ground, usually not
        the neutral of a balanced circuit, but that of a three-wire circuit of a wye system and
        that of loads with harmonics (310.15(E) and (F), from memory).

    Returns
    -------
    float
        Factor, 1 up to three conductors.

    Raises
    ------
    ValueError
        The number is below one.

    Notes
    -----
    NEC table 310.15(C)(1) (2014 edition: 310.15(B)(3)(a)); for lengths over 24 in.

    Examples
    --------
    >>> adjustment_factor(9)
    0.7
    """
    if current_carrying < 1:
        raise ValueError(f"{current_carrying} conductors that carry current cannot be")
    row = [
        row
        for row in rows("conductor_count_adjustment")
        if current_carrying >= int(row["current_carrying_from"])
    ][-1]
    return int(row["percent"]) / 100
