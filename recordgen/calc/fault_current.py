"""Available fault current: what a bolted fault draws, by complex impedances."""

from __future__ import annotations

import cmath
import math

from recordgen.calc.transformer_impedance import impedance_at_angle_ohm


def source_impedance_ohm(fault_a: float, line_v: float, x_over_r: float) -> complex:
    """Return the impedance, one phase, of a source whose available fault current is recorded [Ω].

    Parameters
    ----------
    fault_a : float
        Three-phase, symmetrical, at the source's terminals [A].
    line_v : float
        Line to line [V].
    x_over_r : float
        At the same place.

    Raises
    ------
    ValueError
        A current or voltage not above zero, or an X/R below zero.

    Examples
    --------
    >>> z = source_impedance_ohm(22_000, 480, 6)
    >>> f"{abs(z):.5f} {z.imag / z.real:.1f}"
    '0.01260 6.0'
    """
    _reject_not_positive("a fault current", fault_a, "A")
    _reject_not_positive("a line voltage", line_v, "V")
    return impedance_at_angle_ohm(line_v / math.sqrt(3) / fault_a, x_over_r)


def run_zero_sequence_ohm(phase_ohm: complex, return_ohm: complex) -> complex:
    """Return the zero-sequence impedance of a run of conductors, Z + 3·Zn [Ω].

    Parameters
    ----------
    phase_ohm : complex
        Of one ungrounded conductor [Ω].
    return_ohm : complex
        Of what carries the current back: the neutral for a fault to neutral, the equipment
        grounding conductor for one to ground [Ω].

    Notes
    -----
    Three equal currents return together through one conductor, hence 3·Zn; a full-size neutral
    gives 4·Z. Coupling between conductors and the raceway's own share of the return are left out.
    Source: symmetrical components.

    Examples
    --------
    >>> run_zero_sequence_ohm(0.02 + 0.01j, 0.02 + 0.01j)
    (0.08+0.04j)
    """
    return phase_ohm + 3 * return_ohm


def three_phase_fault_a(line_v: float, z1_ohm: complex) -> float:
    """Return the symmetrical current of a three-phase fault [A].

    Parameters
    ----------
    line_v : float
        Line to line, before the fault [V].
    z1_ohm : complex
        From source to fault, one phase, all at this voltage (see `refer`) [Ω].

    Raises
    ------
    ValueError
        A voltage not above zero, or no impedance at all.

    Notes
    -----
    V/√3/|Z|, with no voltage factor c (IEC 60909 multiplies by 1.05 or 1.1) and conductors as warm
    as the caller's resistances are. Bolted: an arc draws less. Motors come on top
    (`motor_contribution`).

    Examples
    --------
    480 V, 22 kA with X/R 6; 75 kVA to 208 V with 3.5 % and X/R 1.5:

    >>> from recordgen.calc.transformer_impedance import refer, transformer_impedance_ohm
    >>> source = refer(source_impedance_ohm(22_000, 480, 6), 480, 208)
    >>> round(three_phase_fault_a(208, source + transformer_impedance_ohm(75_000, 208, 3.5, 1.5)))
    5369
    """
    _reject_not_positive("a line voltage", line_v, "V")
    return line_v / math.sqrt(3) / _size(z1_ohm)


def line_to_line_fault_a(line_v: float, z1_ohm: complex) -> float:
    """Return the current of a fault between two lines of a three-phase system [A].

    Parameters, units and errors are those of `three_phase_fault_a`.

    Notes
    -----
    V/|2·Z1|, √3/2 of the three-phase fault. Takes Z2 = Z1: holds away from generators and motors.
    Source: symmetrical components.

    Examples
    --------
    >>> line_to_line_fault_a(480, 0.06 + 0.08j)
    2400.0
    """
    _reject_not_positive("a line voltage", line_v, "V")
    return line_v / _size(2 * z1_ohm)


def line_to_neutral_fault_a(line_v: float, z1_ohm: complex, z0_ohm: complex) -> float:
    """Return the current of a fault from one line of a three-phase system to neutral or ground [A].

    Parameters
    ----------
    line_v : float
        Line to line, before the fault [V].
    z1_ohm : complex
        As for `three_phase_fault_a` [Ω].
    z0_ohm : complex
        Zero sequence from source to fault: transformer (`zero_sequence_ohm`) and runs
        (`run_zero_sequence_ohm`) in series [Ω].

    Returns
    -------
    float
        √3·V/|2·Z1 + Z0|.

    Raises
    ------
    ValueError
        A voltage not above zero, or no impedance at all.

    Notes
    -----
    Takes Z2 = Z1. The same as line-to-neutral volts over the loop, Z + Zn, where Z0 = Z + 3·Zn.
    Source: symmetrical components.

    Examples
    --------
    >>> round(line_to_neutral_fault_a(208, 0.03 + 0.04j, 0.03 + 0.04j))
    2402
    """
    _reject_not_positive("a line voltage", line_v, "V")
    return math.sqrt(3) * line_v / _size(2 * z1_ohm + z0_ohm)


def single_phase_fault_a(voltage_v: float, loop_ohm: complex) -> float:
    """Return the current of a fault on a single-phase system [A].

    Parameters
    ----------
    voltage_v : float
        Across the faulted conductors: 240 V line to line, 120 V line to neutral [V].
    loop_ohm : complex
        Everything the current passes, seen at this voltage. Line to line: the source before the
        transformer (referred, its out and back), the whole winding, twice the conductor. Line to
        neutral: the source (referred to half of the winding), half of the winding
        (`half_winding_impedance_ohm`), the conductor and the neutral [Ω].

    Raises
    ------
    ValueError
        A voltage not above zero, or no impedance at all.

    Notes
    -----
    At the terminals a fault from line to neutral draws more than one from line to line, because
    half of the turns have about 0.3 of the impedance: 1.33 to 1.67 times, by R and X. Here the
    factor is not put in as 1.5: it comes out of `half_winding_impedance_ohm`, once, at the
    transformer, and nothing is left to mix up along the run.

    Examples
    --------
    100 kVA, 240/120 V, winding 0.01 + j0.012 Ω, an infinite source:

    >>> from recordgen.calc.transformer_impedance import half_winding_impedance_ohm
    >>> winding = 0.01 + 0.012j
    >>> to_line = single_phase_fault_a(240, winding)
    >>> to_neutral = single_phase_fault_a(120, half_winding_impedance_ohm(winding))
    >>> round(to_line), round(to_neutral / to_line, 2)
    (15364, 1.5)
    """
    _reject_not_positive("a voltage", voltage_v, "V")
    return voltage_v / _size(loop_ohm)


def _size(impedance_ohm: complex) -> float:
    if impedance_ohm.real < 0 or not cmath.isfinite(impedance_ohm):
        raise ValueError(f"an impedance is finite, with a resistance from 0 Ω on: {impedance_ohm}")
    if impedance_ohm == 0:
        raise ValueError("a fault current needs an impedance: none is given up to the fault")
    return abs(impedance_ohm)


def _reject_not_positive(what: str, value: float, unit: str) -> None:
    if not (value > 0 and math.isfinite(value)):
        raise ValueError(f"{what} is a finite number above 0 {unit}, not {value:g} {unit}")
