"""Voltage drop of a circuit whose phases are loaded alike."""

from __future__ import annotations

import cmath
import math
from typing import Literal

from recordgen.calc.constant_power import Volts, settled_volts

Phases = Literal[1, 3]


def conductors_in_drop(phases: Phases) -> float:
    """Return how many conductors' drop the terminals see: out and back, or √3 of one phase.

    Raises
    ------
    ValueError
        `phases` is neither 1 nor 3.

    Examples
    --------
    >>> conductors_in_drop(1)
    2.0
    """
    if phases not in (1, 3):
        raise ValueError(f"a circuit has 1 or 3 phases here, not {phases}")
    return 2.0 if phases == 1 else math.sqrt(3)


def loop_impedance_ohm(impedance_ohm: complex, phases: Phases) -> complex:
    """Return what the whole load's volts and VA see: both conductors, or one of three [Ω].

    Raises
    ------
    ValueError
        A resistance below zero, an infinite impedance, or other phases.

    Notes
    -----
    With three phases, Vline - Z·(S/Vline)* is the per-phase equation times √3: one conductor.

    Examples
    --------
    >>> loop_impedance_ohm(0.1 + 0.02j, 1), loop_impedance_ohm(0.1 + 0.02j, 3)
    ((0.2+0.04j), (0.1+0.02j))
    """
    if not (impedance_ohm.real >= 0 and cmath.isfinite(impedance_ohm)):
        raise ValueError(f"an impedance is finite, with a resistance from 0 Ω on: {impedance_ohm}")
    return 2 * impedance_ohm if conductors_in_drop(phases) == 2 else impedance_ohm


def approximate_drop_v(
    current_a: float,
    power_factor: float,
    impedance_ohm: complex,
    phases: Phases,
    *,
    lagging: bool = True,
) -> float:
    """Return the drop at the terminals from the current, by the usual formula [V].

    Parameters
    ----------
    current_a : float
        Current in one conductor [A]; of one parallel set, if `impedance_ohm` is.
    power_factor : float
        Of the load, 0 to 1.
    impedance_ohm : complex
        Of one conductor from source to load [Ω].
    phases : {1, 3}
        1: line to neutral, or line to line of two wires; 3: three-phase, balanced.
    lagging : bool
        Whether the current lags the voltage (motors, most loads).

    Returns
    -------
    float
        2·I·(R·cos φ + X·sin φ), or √3 for 2; across the two conductors, or line to line [V].
        Negative where a leading current raises the voltage.

    Raises
    ------
    ValueError
        A current or resistance below zero, a power factor outside 0 to 1, or other phases.

    Notes
    -----
    Leaves out the angle between source and load voltage: good while the drop is a few percent.
    Source: common practice; NEC 2014, Chapter 9, Table 9, Note 2 gives the same effective Z
    (the note from memory).

    Examples
    --------
    250 ft of 1 AWG in PVC, 0.15 + j0.046 Ω per 1,000 ft, with 100 A at 0.85:

    >>> drop = approximate_drop_v(100, 0.85, complex(0.15, 0.046) * 0.25, 3)
    >>> f"{drop:.2f} V, {drop_percent(drop, 480):.2f} %"
    '6.57 V, 1.37 %'
    """
    _reject_negative("a current", current_a, "A")
    loop_impedance_ohm(impedance_ohm, phases)
    sine = _sine(power_factor) * (1 if lagging else -1)
    seen = impedance_ohm.real * power_factor + impedance_ohm.imag * sine
    return conductors_in_drop(phases) * current_a * seen


def exact_drop_v(
    load_va: float,
    power_factor: float,
    source_v: float,
    impedance_ohm: complex,
    phases: Phases,
    *,
    lagging: bool = True,
) -> float:
    """Return the drop to a load at the end that takes its power at any voltage [V].

    Parameters
    ----------
    load_va : float
        On all phases together [VA].
    power_factor : float
        0 to 1.
    source_v : float
        At the source: across the two conductors, or line to line for three phases [V].
    impedance_ohm : complex
        Of one conductor from source to load [Ω].
    phases : {1, 3}
        As for `approximate_drop_v`.
    lagging : bool
        Whether the current lags the voltage.

    Returns
    -------
    float
        Volts at the source less volts at the load.

    Raises
    ------
    ValueError
        The load cannot be supplied over this impedance (its voltage collapses, or it is within a
        hair of that), or an argument is out of range.

    Notes
    -----
    V = Vs - k·Z·(S/V)*, repeated until it stands still; k is 2 for one phase and 1 for three,
    whose line-to-line volts and whole VA hold the same equation. Source: circuit theory.

    Examples
    --------
    >>> round(exact_drop_v(2400, 1.0, 120, 0.2 + 0j, 1), 2)
    8.62
    """
    _reject_negative("a load", load_va, "VA")
    sine = _sine(power_factor) * (1 if lagging else -1)
    load = load_va * complex(power_factor, sine)
    loop_ohm = loop_impedance_ohm(impedance_ohm, phases)

    def at_load(volts: Volts) -> Volts:
        return (source_v - loop_ohm * (load / volts[0]).conjugate(),)

    if not source_v > 0:
        raise ValueError(f"a source has more than 0 V, not {source_v:g} V")
    return source_v - abs(settled_volts((complex(source_v),), at_load)[0])


def drop_percent(drop_v: float, nominal_v: float) -> float:
    """Return a drop in percent of the nominal voltage [%].

    Raises
    ------
    ValueError
        The nominal voltage is not above zero.

    Examples
    --------
    >>> drop_percent(6, 120)
    5.0
    """
    if not nominal_v > 0:
        raise ValueError(f"a nominal voltage is above 0 V, not {nominal_v:g} V")
    return 100 * drop_v / nominal_v


def _sine(power_factor: float) -> float:
    if not 0 <= power_factor <= 1:
        raise ValueError(f"a power factor is between 0 and 1, not {power_factor:g}")
    return math.sqrt(1 - power_factor**2)


def _reject_negative(what: str, value: float, unit: str) -> None:
    if not (value >= 0 and math.isfinite(value)):
        raise ValueError(f"{what} is a finite number from 0 {unit} on, not {value:g} {unit}")
