"""Voltage at loads that differ from phase to phase, with the neutral's own drop."""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal

from recordgen.calc.constant_power import Volts, settled_volts

System = Literal["wye", "split"]

# Degrees of each ungrounded conductor's volts to neutral: three phases, or a winding tapped at
# its middle.
_ANGLES_DEGREES: Final[Mapping[str, tuple[int, ...]]] = MappingProxyType(
    {"wye": (0, -120, 120), "split": (0, 180)}
)


@dataclass(frozen=True)
class UnbalancedDrop:
    """What arrives at loads that differ from phase to phase.

    Attributes
    ----------
    volts : tuple of complex
        At the loads, from each ungrounded conductor to neutral: a, b, c, or the two legs [V].
    currents_a : tuple of complex
        In each ungrounded conductor, towards the loads [A].
    neutral_a : complex
        In the neutral, back to the source [A].
    drops_v : tuple of float
        Source volts less load volts, each to neutral; negative where the neutral's drop lifts a
        lightly loaded phase [V].
    neutral_drop_v : float
        Between the two ends of the neutral [V].
    """

    volts: Volts
    currents_a: tuple[complex, ...]
    neutral_a: complex
    drops_v: tuple[float, ...]
    neutral_drop_v: float


def source_volts(line_to_neutral_v: float, system: System) -> Volts:
    """Return the volts to neutral at the source: a, b, c at 0°, -120°, 120°; legs at 0°, 180° [V].

    Raises
    ------
    ValueError
        Volts that are not above zero, or another system.

    Examples
    --------
    >>> [round(volts.real) for volts in source_volts(120, "split")]
    [120, -120]
    """
    if system not in _ANGLES_DEGREES:
        raise ValueError(f"a system with a neutral is wye or split here, not {system}")
    if not (line_to_neutral_v > 0 and math.isfinite(line_to_neutral_v)):
        raise ValueError(f"a source has more than 0 V, not {line_to_neutral_v:g} V")
    angles = _ANGLES_DEGREES[system]
    return tuple(cmath.rect(line_to_neutral_v, math.radians(angle)) for angle in angles)


def drop_of_currents(
    currents_a: Sequence[complex],
    line_to_neutral_v: float,
    phase_impedance_ohm: complex,
    neutral_impedance_ohm: complex,
    system: System,
) -> UnbalancedDrop:
    """Return the voltages that given line currents leave at the loads.

    Parameters
    ----------
    currents_a : sequence of complex
        In each ungrounded conductor towards the loads, as phasors against a's (or the first
        leg's) source volts: three for a wye, two for a split system [A].
    line_to_neutral_v : float
        At the source [V].
    phase_impedance_ohm, neutral_impedance_ohm : complex
        Of one ungrounded conductor and of the neutral, source to loads [Ω].
    system : {"wye", "split"}
        Three phases with neutral, or single-phase three-wire. Two ungrounded conductors and the
        neutral of a wye are a wye with no current in the third.

    Returns
    -------
    UnbalancedDrop

    Raises
    ------
    ValueError
        Another number of currents than the system has conductors, a resistance below zero, an
        impedance that is not finite (an open neutral has no answer here), or no source volts.

    Notes
    -----
    V = E - Z·I - Zn·ΣI for each conductor; couplings between conductors are taken as equal, as in
    a raceway or cable. Source: circuit theory.

    Examples
    --------
    Three 120 V circuits of 20 A on one neutral, one of them off:

    >>> a, b, _ = source_volts(120, "wye")
    >>> result = drop_of_currents((a / 6, b / 6, 0), 120, 0.1 + 0j, 0.1 + 0j, "wye")
    >>> round(abs(result.neutral_a), 6), [round(drop, 2) for drop in result.drops_v]
    (20.0, [2.99, 2.99, -2.0])
    """
    source = source_volts(line_to_neutral_v, system)
    if len(currents_a) != len(source):
        raise ValueError(f"a {system} system has {len(source)} currents, not {len(currents_a)}")
    for impedance in (phase_impedance_ohm, neutral_impedance_ohm):
        if not (impedance.real >= 0 and cmath.isfinite(impedance)):
            raise ValueError(f"an impedance is finite, with a resistance from 0 Ω on: {impedance}")
    neutral = sum(currents_a, 0j)
    shift = neutral_impedance_ohm * neutral
    volts = tuple(
        e - phase_impedance_ohm * i - shift for e, i in zip(source, currents_a, strict=True)
    )
    return UnbalancedDrop(
        volts=volts,
        currents_a=tuple(currents_a),
        neutral_a=neutral,
        drops_v=tuple(abs(e) - abs(v) for e, v in zip(source, volts, strict=True)),
        neutral_drop_v=abs(shift),
    )


def unbalanced_drop(
    neutral_loads_va: Sequence[complex],
    line_to_neutral_v: float,
    phase_impedance_ohm: complex,
    neutral_impedance_ohm: complex,
    system: System,
    *,
    line_loads_va: Sequence[complex] = (),
) -> UnbalancedDrop:
    """Return the voltages at loads of constant power that differ from phase to phase.

    Parameters
    ----------
    neutral_loads_va : sequence of complex
        From each ungrounded conductor to neutral, W + j·var, lagging positive: three for a wye,
        two for a split system [VA].
    line_to_neutral_v, phase_impedance_ohm, neutral_impedance_ohm, system
        As for `drop_of_currents`.
    line_loads_va : sequence of complex
        Between ungrounded conductors: a-b, b-c, c-a for a wye, one for a split system; left out
        where there are none [VA].

    Returns
    -------
    UnbalancedDrop

    Raises
    ------
    ValueError
        The loads cannot be supplied (the voltage collapses), another number of loads than the
        system has places for, or as for `drop_of_currents`.

    Notes
    -----
    Currents I = (S/V)* from the volts, volts from the currents, until they settle: one pass at
    nominal volts is a few percent off, and without the neutral far more. A balanced three-phase
    load is a third of its VA on each phase. Source: circuit theory.

    Examples
    --------
    All the load on one leg, nothing on the other, whose voltage rises:

    >>> result = unbalanced_drop((2400, 0), 120, 0.1 + 0j, 0.1 + 0j, "split")
    >>> [round(abs(volts), 2) for volts in result.volts]
    [115.86, 122.07]
    """
    source = source_volts(line_to_neutral_v, system)
    pairs = ((0, 1), (1, 2), (2, 0)) if system == "wye" else ((0, 1),)
    if len(neutral_loads_va) != len(source):
        raise ValueError(
            f"a {system} system has {len(source)} loads to neutral, not {len(neutral_loads_va)}"
        )
    if line_loads_va and len(line_loads_va) != len(pairs):
        raise ValueError(
            f"a {system} system has {len(pairs)} loads line to line, not {len(line_loads_va)}"
        )
    if not all(cmath.isfinite(load) for load in (*neutral_loads_va, *line_loads_va)):
        raise ValueError("a load is a finite number of VA")

    def currents(volts: Volts) -> tuple[complex, ...]:
        found = [(s / v).conjugate() for s, v in zip(neutral_loads_va, volts, strict=True)]
        for load, (out, back) in zip(line_loads_va, pairs, strict=False):
            current = (load / (volts[out] - volts[back])).conjugate()
            found[out] += current
            found[back] -= current
        return tuple(found)

    def arriving(volts: Volts) -> UnbalancedDrop:
        return drop_of_currents(
            currents(volts), line_to_neutral_v, phase_impedance_ohm, neutral_impedance_ohm, system
        )

    return arriving(settled_volts(source, lambda volts: arriving(volts).volts))
