"""Voltage drop at the loads along one circuit."""

from __future__ import annotations

import cmath
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from recordgen.calc.constant_power import Volts, settled_volts
from recordgen.calc.voltage_drop import Phases, loop_impedance_ohm


@dataclass(frozen=True)
class Tap:
    """A load along a circuit.

    Attributes
    ----------
    distance_m : float
        From the source, along the circuit [m].
    load_va : complex
        What it takes, on all phases together, W + j·var; lagging is positive [VA].
    """

    distance_m: float
    load_va: complex


def distributed_drop_v(
    taps: Sequence[Tap], source_v: float, impedance_ohm_per_km: complex, phases: Phases
) -> tuple[float, ...]:
    """Return the drop at each of the loads along one circuit, in the order given [V].

    Parameters
    ----------
    taps : sequence of Tap
        Loads on the same conductors, in order of their distance.
    source_v : float
        As for `exact_drop_v` [V].
    impedance_ohm_per_km : complex
        Of one conductor [Ω/km].
    phases : {1, 3}
        As for `approximate_drop_v`.

    Raises
    ------
    ValueError
        No loads, distances out of order, or as for `exact_drop_v`.

    Examples
    --------
    Half of the load half-way causes a quarter less of drop at the end:

    >>> taps = [Tap(25, 500), Tap(50, 500)]
    >>> [round(drop, 2) for drop in distributed_drop_v(taps, 120, 5.2 + 0j, 1)]
    [2.22, 3.33]
    """
    if not taps:
        raise ValueError("a circuit needs at least one load for its voltage drop")
    distances = [0.0, *(tap.distance_m for tap in taps)]
    lengths = [end - start for start, end in pairwise(distances)]
    if min(lengths) < 0:
        raise ValueError("loads along a circuit are given in order of distance, from 0 m on")
    if not all(cmath.isfinite(tap.load_va) for tap in taps):
        raise ValueError("a load is a finite number of VA")
    if not source_v > 0:
        raise ValueError(f"a source has more than 0 V, not {source_v:g} V")
    loop_ohm_per_m = loop_impedance_ohm(impedance_ohm_per_km, phases) / 1000

    def at_loads(volts: Volts) -> Volts:
        currents = [(tap.load_va / volt).conjugate() for tap, volt in zip(taps, volts, strict=True)]
        here, following = complex(source_v), []
        for index, length_m in enumerate(lengths):
            here -= loop_ohm_per_m * length_m * sum(currents[index:])
            following.append(here)
        return tuple(following)

    volts = settled_volts((complex(source_v),) * len(taps), at_loads)
    return tuple(source_v - abs(volt) for volt in volts)
