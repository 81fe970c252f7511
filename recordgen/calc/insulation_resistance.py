"""Insulation resistance: brought to one temperature, against a minimum, and its rise in time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from recordgen.calc.published import rows

InsulationStandard = Literal["NETA", "IEC 60364-6"]


@dataclass(frozen=True)
class InsulationMinimum:
    """A published minimum.

    Attributes
    ----------
    test_v : float
        Direct voltage to test with [V].
    minimum_megohm : float
        Least resistance [MΩ].
    base_c : float or None
        Temperature that it holds at [°C]; None where the standard names none.
    """

    test_v: float
    minimum_megohm: float
    base_c: float | None


def corrected_megohm(resistance_megohm: float, measured_c: float, base_c: float) -> float:
    """Return an insulation resistance as it would be at another temperature [MΩ].

    Parameters
    ----------
    resistance_megohm : float
        As measured [MΩ].
    measured_c : float
        Temperature of the insulation, not of the air, when it was measured [°C].
    base_c : float
        Temperature to compare at [°C].

    Returns
    -------
    float
        Resistance at the base temperature [MΩ].

    Raises
    ------
    ValueError
        A resistance that is not above zero, or a temperature outside the range of the rule.

    Notes
    -----
    Doubled for each 10 °C that the insulation was warmer than the base: the rule of thumb of IEEE
    43 for thermoplastic insulation, from memory. Good for a trend from like to like; other
    insulations change by other amounts, and a reading taken below the dew point tells of water, not
    of insulation. The range, -10 to 110 °C, is that of published factors, from memory.

    Examples
    --------
    >>> corrected_megohm(40, 50, 20)
    320.0
    """
    if not resistance_megohm > 0:
        raise ValueError(f"a resistance is above zero, not {resistance_megohm:g} MΩ")
    (rule,) = rows("insulation_correction")
    low, high = float(rule["temperature_from_c"]), float(rule["temperature_to_c"])
    for temperature_c in (measured_c, base_c):
        if not low <= temperature_c <= high:
            raise ValueError(f"{temperature_c:g} °C: the rule holds from {low:g} to {high:g} °C")
    return float(resistance_megohm * 2 ** ((measured_c - base_c) / float(rule["halves_every_c"])))


def insulation_minimum(rated_v: float, standard: InsulationStandard) -> InsulationMinimum:
    """Return the published minimum for equipment or circuits of a voltage.

    Parameters
    ----------
    rated_v : float
        Rated voltage of the equipment, or nominal voltage of the circuit [V].
    standard : {"NETA", "IEC 60364-6"}
        Whose minimum.

    Returns
    -------
    InsulationMinimum

    Raises
    ------
    ValueError
        A voltage that is not above zero or above the table's last, or another standard.

    Notes
    -----
    The row of the next higher rating. NETA MTS and ATS, table 100.1, from memory: equipment other
    than rotating machines. IEC 60364-6, table 6.1, read on a page of a railway's rules that repeats
    it: circuits up to 1000 V, the separate row for extra-low voltage left out. A measured value is
    brought to `base_c` first.

    Examples
    --------
    >>> insulation_minimum(480, "NETA")
    InsulationMinimum(test_v=1000.0, minimum_megohm=100.0, base_c=20.0)
    """
    table = [row for row in rows("insulation_minimums") if row["standard"] == standard]
    if not table:
        raise ValueError(f"no table of minimums by {standard}")
    if not rated_v > 0:
        raise ValueError(f"a voltage is above zero, not {rated_v:g} V")
    for row in table:
        if rated_v <= float(row["rated_up_to_v"]):
            base_c = float(row["base_c"]) if row["base_c"] else None
            return InsulationMinimum(float(row["test_v"]), float(row["minimum_megohm"]), base_c)
    raise ValueError(f"{rated_v:g} V: the table by {standard} ends at {row['rated_up_to_v']} V")


def polarization_index(one_minute_megohm: float, ten_minutes_megohm: float) -> float:
    """Return the polarization index: the resistance after ten minutes over that after one.

    Parameters
    ----------
    one_minute_megohm, ten_minutes_megohm : float
        Readings of one test, the voltage left on [MΩ].

    Returns
    -------
    float
        Ratio.

    Raises
    ------
    ValueError
        A reading that is not above zero.

    Notes
    -----
    IEEE 43: a ratio of one test needs no correction for temperature. Says nothing where the
    resistance is so high that the current cannot be read (above 5,000 MΩ after one minute, from
    memory), and little of windings without much insulation, or of building wire.

    Examples
    --------
    >>> polarization_index(200, 500)
    2.5
    """
    if not (one_minute_megohm > 0 and ten_minutes_megohm > 0):
        raise ValueError("a resistance is above zero")
    return ten_minutes_megohm / one_minute_megohm


def least_polarization_index(insulation_class: str) -> float:
    """Return the least polarization index of a winding in good order.

    Parameters
    ----------
    insulation_class : str
        Thermal class of the winding: A, B, F or H.

    Raises
    ------
    ValueError
        Another class.

    Notes
    -----
    IEEE 43, read in an appendix to an instrument's manual.

    Examples
    --------
    >>> least_polarization_index("F")
    2.0
    """
    for row in rows("polarization_index"):
        if row["insulation_class"] == insulation_class:
            return float(row["least_index"])
    raise ValueError(f"no least polarization index for insulation of class {insulation_class}")
