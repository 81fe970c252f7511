"""Current-carrying capacity of copper conductors by IEC 60364-5-52, for owners under its rules."""

from __future__ import annotations

from typing import Literal

from recordgen.calc.published import rows

LoadedConductors = Literal[2, 3]
METHODS = ("A1", "A2", "B1", "B2", "C")
"""Reference methods of installation: in an insulated wall, in conduit on a wall, on a wall."""


def table_ampacity_a(area_mm2: float, method: str, loaded: LoadedConductors) -> float:
    """Return the tabulated capacity of copper with PVC insulation at 30 °C in air [A].

    Parameters
    ----------
    area_mm2 : float
        Nominal cross-section [mm²], 1.5 to 120.
    method : {"A1", "A2", "B1", "B2", "C"}
        Reference method of installation.
    loaded : {2, 3}
        Loaded conductors: single-phase or three-phase.

    Returns
    -------
    float
        Capacity [A].

    Raises
    ------
    ValueError
        A size, method or number that the table does not have. Nothing between two rows is made up.

    Notes
    -----
    IEC 60364-5-52, tables B.52.2 and B.52.4, conductor at 70 °C. Read in manuals of machines: B2
    with three loaded conductors, and C to 35 mm² but for 1.5; the rest is from memory. Not for
    sizes of the American gauge and not beside ampacities of the NEC: temperatures differ.

    Examples
    --------
    >>> table_ampacity_a(10, "B2", 3)
    46.0
    """
    if method not in METHODS:
        raise ValueError(f"a method is one of {', '.join(METHODS)}, not {method}")
    for row in rows("iec_ampacity"):
        if int(row["loaded_conductors"]) == loaded and float(row["area_mm2"]) == area_mm2:
            return float(row[f"{method.lower()}_a"])
    raise ValueError(f"{area_mm2:g} mm² with {loaded} loaded conductors is not in the table")


def temperature_factor(ambient_c: float) -> float:
    """Return the factor for the temperature of the air, PVC insulation.

    Parameters
    ----------
    ambient_c : float
        Air around the conductors [°C].

    Returns
    -------
    float
        Of the next warmer row of the table.

    Raises
    ------
    ValueError
        Above 60 °C, where the table ends.

    Notes
    -----
    IEC 60364-5-52, table B.52.14. Read by ratio in manuals of machines for 40 to 55 °C, the rest
    from memory. A forum gives 0.94 for 40 °C: that is the row of 35 °C.

    Examples
    --------
    >>> temperature_factor(40), temperature_factor(30), temperature_factor(41)
    (0.87, 1.0, 0.79)
    """
    for row in rows("iec_temperature"):
        if ambient_c <= float(row["ambient_up_to_c"]):
            return float(row["pvc_factor"])
    raise ValueError(f"{ambient_c:g} °C: the table ends at {row['ambient_up_to_c']} °C")


def grouping_factor(circuits: int) -> float:
    """Return the factor for circuits bunched together.

    Parameters
    ----------
    circuits : int
        Circuits or multi-core cables in the bunch, this one included.

    Returns
    -------
    float
        Of the next larger number in the table.

    Raises
    ------
    ValueError
        Less than one, or more than 20, where the table ends.

    Notes
    -----
    IEC 60364-5-52, table B.52.17, bunched in air or in conduit, all loaded alike; from memory.

    Examples
    --------
    >>> grouping_factor(3), grouping_factor(10)
    (0.7, 0.45)
    """
    if circuits < 1:
        raise ValueError(f"{circuits} circuits cannot be")
    for row in rows("iec_grouping"):
        if circuits <= int(row["circuits_up_to"]):
            return float(row["factor"])
    raise ValueError(f"{circuits} circuits: the table ends at {row['circuits_up_to']}")


def allowable_ampacity_a(
    area_mm2: float, method: str, loaded: LoadedConductors, ambient_c: float, circuits: int
) -> float:
    """Return the capacity at the temperature of the air and among other circuits [A].

    Parameters
    ----------
    area_mm2, method, loaded
        As for `table_ampacity_a`.
    ambient_c : float
        As for `temperature_factor` [°C].
    circuits : int
        As for `grouping_factor`.

    Returns
    -------
    float
        Capacity, not rounded [A].

    Raises
    ------
    ValueError
        Whatever one of the three tables does not have.

    Notes
    -----
    Product of the three: IEC 60364-5-52, 523. Copper, PVC, in air.

    Examples
    --------
    >>> round(allowable_ampacity_a(10, "B2", 3, 50, 1), 2)
    32.66
    """
    capacity_a = table_ampacity_a(area_mm2, method, loaded)
    return capacity_a * temperature_factor(ambient_c) * grouping_factor(circuits)
