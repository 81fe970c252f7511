"""Full-load current of motors by the tables of the electrical code."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from recordgen.calc.published import rows

_KINDS: Final = {1: "single-phase", 3: "three-phase"}
# Fractions are recorded with two decimals, 1/3 as 0.33.
_HALF_A_HUNDREDTH_HP: Final = 0.005


def motor_voltage_v(system_v: float) -> int:
    """Return the motor voltage whose column of the tables serves a system voltage [V].

    Parameters
    ----------
    system_v : float
        Nominal voltage of the system, or of the nameplate [V].

    Returns
    -------
    int
        115, 200, 208, 230, 460, 575 or 2300 [V].

    Raises
    ------
    ValueError
        No column serves this voltage.

    Notes
    -----
    The notes of NEC tables 430.248 and 430.250, from memory: columns hold for systems of 110 to
    120, 220 to 240, 440 to 480 and 550 to 600 V. 2300 V for 2400 V systems is common practice.

    Examples
    --------
    >>> motor_voltage_v(480), motor_voltage_v(208)
    (460, 208)
    """
    for row in rows("motor_system_voltages"):
        if float(row["system_from_v"]) <= system_v <= float(row["system_to_v"]):
            return int(row["motor_v"])
    raise ValueError(f"the tables of motor currents have no column for {system_v:g} V")


def full_load_current_a(horsepower: float, voltage_v: float, phases: int) -> float:
    """Return the full-load current of an alternating-current motor [A].

    Parameters
    ----------
    horsepower : float
        Rated output [hp]; fractions may be rounded to two decimals.
    voltage_v : float
        Nominal voltage of the system, or of the nameplate [V].
    phases : int
        1, or 3 for an induction motor of three phases.

    Returns
    -------
    float
        Current of one line [A].

    Raises
    ------
    ValueError
        No column serves the voltage, or the table has no such motor; nothing is read between two
        rows.

    Notes
    -----
    NEC tables 430.248 and 430.250 (induction type), 2014 edition: motors of usual speed and
    torque. Conductors and devices are sized by this, the overload device by the nameplate (430.6).

    Examples
    --------
    >>> full_load_current_a(30, 480, 3), full_load_current_a(0.33, 120, 1)
    (40.0, 7.2)
    """
    if phases not in _KINDS:
        raise ValueError(f"a motor of {phases} phases is in no table of motor currents")
    return _current_a(_KINDS[phases], horsepower, motor_voltage_v(voltage_v), voltage_v)


def dc_full_load_current_a(horsepower: float, armature_v: float) -> float:
    """Return the full-load current of a direct-current motor at base speed [A].

    Parameters
    ----------
    horsepower : float
        Rated output [hp]; fractions may be rounded to two decimals.
    armature_v : float
        Rated armature voltage: 90, 120, 180, 240, 500 or 550 [V].

    Returns
    -------
    float
        Armature current [A].

    Raises
    ------
    ValueError
        The table has no such motor.

    Notes
    -----
    NEC table 430.247, 2014 edition.

    Examples
    --------
    >>> dc_full_load_current_a(10, 240)
    38.0
    """
    return _current_a("direct-current", horsepower, armature_v, armature_v)


def _current_a(kind: str, horsepower: float, motor_v: float, recorded_v: float) -> float:
    for row in rows("motor_currents"):
        if row["kind"] != kind or float(row["motor_v"]) != motor_v:
            continue
        if abs(_number(row["horsepower"]) - horsepower) <= _HALF_A_HUNDREDTH_HP:
            return float(row["current_a"])
    raise ValueError(f"the table has no {kind} motor of {horsepower:g} hp at {recorded_v:g} V")


def _number(mixed: str) -> float:
    """Return `1-1/2` as 1.5."""
    return float(sum(Fraction(part) for part in mixed.split("-")))
