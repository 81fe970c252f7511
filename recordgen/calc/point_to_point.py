"""Fault current by the point-to-point method: for those who check by hand."""

from __future__ import annotations

import math
from types import MappingProxyType
from typing import Final, Literal

from recordgen.calc.published import rows
from recordgen.records.conductor_size import ConductorSize

Fault = Literal["three-phase", "line to line", "line to neutral"]
Raceway = Literal["steel", "nonmagnetic"]

_METRES_PER_FOOT: Final = 0.3048  # exact, by definition
_CONDUCTORS_IN_LOOP: Final = MappingProxyType(
    {"three-phase": math.sqrt(3), "line to line": 2.0, "line to neutral": 2.0}
)


def c_value(size: ConductorSize, raceway: Raceway) -> float:
    """Return the method's C of a conductor: 1 over its ohms per foot [A·ft/V].

    Parameters
    ----------
    size : ConductorSize
        AWG or kcmil, with its metal.
    raceway : {"steel", "nonmagnetic"}
        Three single conductors of 600 V in it.

    Raises
    ------
    ValueError
        The metal is not recorded, or the table has no such size or raceway.

    Examples
    --------
    >>> c_value(ConductorSize("500", "kcmil", "Cu"), "steel")
    22185.0
    """
    if size.metal is None:
        raise ValueError(f"the metal of the {size} conductors is not recorded")
    wanted = (f"{size.number} {size.unit}", size.metal, raceway)
    for row in rows("ptp_c_values"):
        if (row["size"], row["metal"], row["raceway"]) == wanted:
            return float(row["c_a_ft_per_v"])
    raise ValueError(f"no C value for {size} in {raceway} raceway")


def transformer_terminals_a(
    rating_va: float, secondary_v: float, impedance_percent: float, phases: Literal[1, 3]
) -> float:
    """Return the fault current at a transformer's secondary from an unlimited source [A].

    Parameters
    ----------
    rating_va : float
        Of the whole transformer [VA].
    secondary_v : float
        Line to line; of the whole winding for one phase [V].
    impedance_percent : float
        Used as given; practice takes 0.9 of a nameplate's %Z to allow for its tolerance [%].
    phases : {1, 3}
        Three-phase fault, or line to line of a single-phase transformer.

    Raises
    ------
    ValueError
        Something that is not above zero, or other phases.

    Examples
    --------
    >>> round(transformer_terminals_a(300_000, 208, 1.8, 3))
    46262
    """
    _reject_not_positive(rating_va, secondary_v, impedance_percent)
    if phases not in (1, 3):
        raise ValueError(f"a transformer has 1 or 3 phases here, not {phases}")
    full_load_a = rating_va / secondary_v / (math.sqrt(3) if phases == 3 else 1)
    return full_load_a * 100 / impedance_percent


def centre_tap_terminals_a(line_to_line_a: float) -> float:
    """Return the fault current from line to neutral at a winding tapped at its middle [A].

    Parameters
    ----------
    line_to_line_a : float
        Fault current from line to line at the same terminals [A].

    Raises
    ------
    ValueError
        A current not above zero.

    Notes
    -----
    The hand method's factor (table `centre_tap_factors`) for unlimited sources; between 1.33 and
    1.67 by the transformer. It belongs here, once: what comes out is the start of the run, in f
    and in M alike.

    Examples
    --------
    >>> centre_tap_terminals_a(46_296)
    69444.0
    """
    _reject_not_positive(line_to_line_a)
    (row,) = rows("centre_tap_factors")
    return line_to_line_a * float(row["line_to_neutral_over_line_to_line"])


def f_of_run(
    start_a: float,
    length_m: float,
    c_a_ft_per_v: float,
    conductors_per_phase: int,
    voltage_v: float,
    fault: Fault,
) -> float:
    """Return the method's f of a run of conductors: its impedance over what is before it.

    Parameters
    ----------
    start_a : float
        Fault current of the same kind where the run starts [A].
    length_m : float
        One way [m].
    c_a_ft_per_v : float
        See `c_value`.
    conductors_per_phase : int
        In parallel, one or more.
    voltage_v : float
        Line to line; for line to neutral the volts to neutral [V].
    fault : {"three-phase", "line to line", "line to neutral"}
        Line to line on a single-phase system or between two phases; line to neutral takes a
        neutral as large as the line.

    Raises
    ------
    ValueError
        Something that is not above zero (a length may be zero), or another kind of fault.

    Examples
    --------
    >>> round(f_of_run(46_273, 20 * 0.3048, 22_185, 2, 208, "three-phase"), 4)
    0.1737
    """
    _reject_not_positive(start_a, c_a_ft_per_v, conductors_per_phase, voltage_v)
    if not (length_m >= 0 and math.isfinite(length_m)):
        raise ValueError(f"a length is a finite number from 0 m on, not {length_m:g} m")
    if fault not in _CONDUCTORS_IN_LOOP:
        raise ValueError(f"no f for a fault called {fault}")
    feet = length_m / _METRES_PER_FOOT
    loop = _CONDUCTORS_IN_LOOP[fault] * feet * start_a
    return loop / (c_a_ft_per_v * conductors_per_phase * voltage_v)


def end_of_run_a(
    start_a: float,
    length_m: float,
    c_a_ft_per_v: float,
    conductors_per_phase: int,
    voltage_v: float,
    fault: Fault,
) -> float:
    """Return the fault current at the end of a run of conductors, M·I with M = 1/(1 + f) [A].

    Parameters and errors are those of `f_of_run`. One current is both in f and under M: with two
    different ones (line to line in f, line to neutral under M) the answer comes out far too high.

    Notes
    -----
    Adds the sizes of impedances as if all had one angle, so the answer is never above the complex
    sum's for the same ohms; C goes with its own ohms, cooler than Table 9's at 75 °C, and reads a
    few percent high in feeders and about a fifth high at the end of small branch circuits. Source:
    common practice; the table of C from memory but for a few values read.

    Examples
    --------
    >>> round(end_of_run_a(46_273, 20 * 0.3048, 22_185, 2, 208, "three-phase"))
    39425
    """
    f = f_of_run(start_a, length_m, c_a_ft_per_v, conductors_per_phase, voltage_v, fault)
    return start_a / (1 + f)


def beyond_transformer_a(
    primary_a: float,
    primary_v: float,
    secondary_v: float,
    rating_va: float,
    impedance_percent: float,
    phases: Literal[1, 3],
) -> float:
    """Return the fault current at a further transformer's secondary [A].

    Parameters
    ----------
    primary_a : float
        Fault current at its primary: three-phase, or line to line for one phase [A].
    primary_v, secondary_v : float
        Line to line; of the whole winding for one phase [V].
    rating_va, impedance_percent, phases
        As for `transformer_terminals_a`.

    Raises
    ------
    ValueError
        Something that is not above zero, or other phases.

    Notes
    -----
    f = I·V·√3·%Z/(100·VA), without √3 for one phase; M·I·Vp/Vs, M = 1/(1 + f): the two
    impedances added as sizes. Source: common practice.

    Examples
    --------
    >>> round(beyond_transformer_a(30_059, 480, 208, 225_000, 1.2, 3))
    29735
    """
    _reject_not_positive(primary_a, primary_v, secondary_v)
    unlimited_a = transformer_terminals_a(rating_va, primary_v, impedance_percent, phases)
    return primary_a / (1 + primary_a / unlimited_a) * primary_v / secondary_v


def _reject_not_positive(*values: float) -> None:
    for value in values:
        if not (value > 0 and math.isfinite(value)):
            raise ValueError(
                f"the point-to-point method needs finite numbers above 0, not {value:g}"
            )
