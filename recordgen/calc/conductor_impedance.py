"""Resistance and reactance of conductors by the length."""

from __future__ import annotations

from typing import Final

from recordgen.calc.conductor_area import metal_column, row_of_size
from recordgen.calc.published import rows
from recordgen.calc.raceway_material import RacewayMaterial
from recordgen.records.conductor_size import ConductorSize

_KFT_PER_KM: Final = 1 / 0.3048  # the international foot
_TABLES_AT_C: Final = 75  # the tables say so in their titles


def impedance_per_km(
    size: ConductorSize, raceway: RacewayMaterial, temperature_c: float = 75
) -> complex:
    """Return the alternating-current impedance of one conductor to neutral, at 60 Hz [ohm/km].

    Parameters
    ----------
    size : ConductorSize
        AWG or kcmil, with its metal.
    raceway : "steel", "aluminum" or "PVC"
        What the raceway is made of.
    temperature_c : float
        Temperature of the conductor [°C].

    Returns
    -------
    complex
        R + jX of one conductor [ohm/km].

    Raises
    ------
    ValueError
        The table has no such size, or not of this metal; the metal is not recorded; or the
        temperature is beyond the range of the correction.

    Notes
    -----
    NEC 2014 chapter 9 table 9: uncoated copper and aluminium to neutral, 600 V cables, three-phase,
    60 Hz, 75 °C, three single conductors in a raceway. The table is rounded to two figures, so
    expect up to 4 % of rounding in R. R at another temperature as the note of table 8 has it (see
    `resistance_at`); X is left as it is. Cables with their conductors laid together have less X.

    Examples
    --------
    >>> z = impedance_per_km(ConductorSize("1/0", "AWG", "Cu"), "steel")
    >>> f"{z.real:.4f} {z.imag:.4f}"
    '0.3937 0.1804'
    """
    row = row_of_size("conductor_ac_impedance", size)
    resistance = row[f"{metal_column(size)}_resistance_{raceway.lower()}_ohm_per_kft"]
    if not resistance:
        raise ValueError(f"the table of impedances has no {size}")
    steel = raceway == "steel"
    reactance = row[f"reactance_{'steel' if steel else 'pvc_aluminum'}_ohm_per_kft"]
    at_75 = float(resistance) * _KFT_PER_KM
    return complex(resistance_at(at_75, size, temperature_c), float(reactance) * _KFT_PER_KM)


def dc_resistance_per_km(size: ConductorSize, stranded: bool, temperature_c: float = 75) -> float:
    """Return the direct-current resistance of a conductor [ohm/km].

    Parameters
    ----------
    size : ConductorSize
        AWG or kcmil, with its metal; copper is taken as uncoated.
    stranded : bool
        Stranded, or else solid; the strands' twist makes them about 2 % longer.
    temperature_c : float
        Temperature of the conductor [°C].

    Returns
    -------
    float
        Resistance [ohm/km].

    Raises
    ------
    ValueError
        The table has no such size, solid or stranded, or not of this metal; the metal is not
        recorded; or the temperature is beyond the range of the correction.

    Notes
    -----
    NEC 2014 chapter 9 table 8, at 75 °C; other temperatures by `resistance_at`.

    Examples
    --------
    >>> round(dc_resistance_per_km(ConductorSize("12", "AWG", "Cu"), stranded=True), 3)
    6.496
    """
    make = "stranded" if stranded else "solid"
    row = row_of_size("conductor_dc_resistance", size)
    resistance = row[f"{metal_column(size)}_{make}_ohm_per_kft"]
    if not resistance:
        raise ValueError(f"the table of resistances has no {make} {size}")
    return resistance_at(float(resistance) * _KFT_PER_KM, size, temperature_c)


def resistance_at(resistance_at_75_c: float, size: ConductorSize, temperature_c: float) -> float:
    """Return a resistance known at 75 °C at another temperature, in the same unit.

    Parameters
    ----------
    resistance_at_75_c : float
        Resistance at 75 °C [ohm, or ohm per length].
    size : ConductorSize
        The conductor, for its metal.
    temperature_c : float
        Temperature of the conductor [°C].

    Returns
    -------
    float
        Resistance, in the unit of `resistance_at_75_c`.

    Raises
    ------
    ValueError
        The metal is not recorded, or the temperature is outside -50 to 250 °C.

    Notes
    -----
    R₂ = R₁ [1 + α (T₂ - 75)], α of copper 0.00323, of aluminium 0.00330 per °C: note to NEC
    2014 chapter 9 table 8. The range in which metals keep to a straight line: common practice.

    Examples
    --------
    >>> round(resistance_at(1.93, ConductorSize("12", "AWG", "Cu"), 20), 3)
    1.587
    """
    metal_column(size)
    metal = next(row for row in rows("conductor_metals") if row["metal"] == size.metal)
    low, high = float(metal["temperature_from_c"]), float(metal["temperature_to_c"])
    if not low <= temperature_c <= high:
        raise ValueError(f"{temperature_c:g} °C is outside {low:g} to {high:g} °C")
    change = float(metal["resistance_change_per_c_at_75_c"])
    return resistance_at_75_c * (1 + change * (temperature_c - _TABLES_AT_C))
