"""Voltage drop along one stretch of conductors, and through one transformer."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from recordgen.calc.answer import Answer, Input, Need, NoValue, Value
from recordgen.calc.connected_load import LoadPart
from recordgen.calc.line_current import phasor_amperes
from recordgen.calc.study.load_power import Power
from recordgen.calc.study.stretch import Stretch
from recordgen.calc.transformer_impedance import impedance_at_angle_ohm
from recordgen.calc.unbalanced_drop import drop_of_currents
from recordgen.calc.voltage_drop import approximate_drop_v, drop_percent, exact_drop_v
from recordgen.records.equipment import Transformer
from recordgen.records.system import NominalSystem

_TABLES: Final = "impedances: NEC 2014 chapter 9 table 9"


def approximate_percent(
    stretch: Stretch, power: Power, load: str, at_least: tuple[Need, ...]
) -> Value:
    """Return the drop along a stretch by the usual formula [% of nominal].

    Parameters
    ----------
    stretch : Stretch
    power : Power
        At its end. What has no power factor counts at the angle of the conductors' impedance, at
        which the drop is largest.
    load : str
        What the load is: "connected load", "demand".
    at_least : tuple of Need
        What is not in the power.
    """
    va = _turned(stretch, power)
    current_a = abs(va) * stretch.share / (stretch.nominal_v * _root(stretch))
    factor = _power_factor(va)
    drop_v = approximate_drop_v(
        current_a, factor, stretch.one_way_ohm, stretch.phases, lagging=va.imag >= 0
    )
    ways = "√3" if stretch.phases == 3 else "2"
    return Value(
        amount=drop_percent(drop_v, stretch.nominal_v),
        unit="%",
        formula=f"100 · {ways} · I · (R · cos φ + X · sin φ) / V",
        source=f"common practice; {_TABLES}",
        inputs=(*stretch.inputs, *_load_inputs(power, load), _current(current_a)),
        at_least=at_least,
    )


def exact_percent(stretch: Stretch, power: Power, load: str, at_least: tuple[Need, ...]) -> Answer:
    """Return the drop to a load that takes its power at any voltage [% of nominal].

    Returns
    -------
    Value or NoValue
        NoValue where these conductors cannot carry that power at all.
    """
    va = _turned(stretch, power) * stretch.share
    try:
        drop_v = exact_drop_v(
            abs(va),
            _power_factor(va),
            stretch.nominal_v,
            stretch.one_way_ohm,
            stretch.phases,
            lagging=va.imag >= 0,
        )
    except ValueError as error:
        return NoValue((Need(stretch.tag, "loads", str(error)),))
    return Value(
        amount=drop_percent(drop_v, stretch.nominal_v),
        unit="%",
        formula="from V = Vs - Z · (S / V)*, repeated until V stands still",
        source=f"circuit theory; {_TABLES}",
        inputs=(*stretch.inputs, *_load_inputs(power, load)),
        at_least=at_least,
    )


def worst_phase_percent(
    stretch: Stretch,
    system: NominalSystem,
    parts: Sequence[LoadPart],
    scale: float,
    at_least: tuple[Need, ...],
) -> Value | None:
    """Return the drop on the phase that drops most, the neutral's drop included [% of nominal].

    Parameters
    ----------
    stretch : Stretch
        With a neutral.
    system : NominalSystem
        A wye, or single-phase three-wire.
    parts : sequence of LoadPart
        What hangs on it, by phase; without a power factor, the angle of the conductors counts.
    scale : float
        Demand over connected load.
    at_least : tuple of Need
        What is not in the parts.

    Returns
    -------
    Value or None
        None where the system or the parts have no such answer.
    """
    neutral_ohm = stretch.run.neutral_ohm
    wye = system.phases == 3
    if neutral_ohm is None or system.neutral_v is None or system.high_leg:
        return None
    if stretch.poles != (3 if wye else 2):
        return None
    worst = math.cos(cmath.phase(stretch.one_way_ohm))
    known = [part if part.power_factor else replace(part, power_factor=worst) for part in parts]
    try:
        currents = phasor_amperes(known, system.line_v, system.neutral_v, system.phases)
    except ValueError:  # a load on a leg that the system has not: the checks speak of that
        return None
    legs = (currents.a, currents.b, currents.c)[: 3 if wye else 2]
    result = drop_of_currents(
        [scale * current for current in legs],
        system.neutral_v,
        stretch.run.phase_ohm,
        neutral_ohm,
        "wye" if wye else "split",
    )
    each = ", ".join(f"{abs(current):.1f} A" for current in result.currents_a)
    inputs = [
        *stretch.inputs,
        Input("currents of the phases", each, "calculated", stretch.tag),
        Input("current of the neutral", f"{abs(result.neutral_a):.1f} A", "calculated"),
    ]
    if any(part.power_factor is None for part in parts):
        inputs.append(_at_its_worst("where it is not recorded"))
    return Value(
        amount=drop_percent(max(result.drops_v), system.neutral_v),
        unit="%",
        formula="100 · (E - |E - Z · I - Zn · In|) / E, the largest of the phases",
        source=f"circuit theory; {_TABLES}",
        inputs=tuple(inputs),
        at_least=at_least,
    )


def transformer_percent(
    tag: str, record: Transformer, power: Power, at_least: tuple[Need, ...]
) -> Answer:
    """Return a transformer's own drop under a load [% of nominal].

    Returns
    -------
    Value or NoValue
        NoValue where its rating or impedance is not recorded. Without its X/R the whole impedance
        counts, as if the load's angle were its own.
    """
    rating_va, percent = record.rating_va, record.impedance_percent
    given = (("rating", rating_va), ("impedance", percent))
    if not rating_va or not percent:
        return NoValue(tuple(Need(tag, key) for key, value in given if not value))
    inputs = [
        Input("rating", str(rating_va), "recorded", tag),
        Input("impedance", str(percent), "recorded", tag),
    ]
    if record.x_over_r is None:
        all_va = power.size_va
        seen = percent * all_va / rating_va
        inputs.append(_at_its_worst("since its X/R is not recorded"))
    else:
        per_va = impedance_at_angle_ohm(percent / rating_va, record.x_over_r)
        va = power.at(cmath.phase(per_va))
        seen = per_va.real * va.real + per_va.imag * va.imag
        inputs.append(Input("X/R", str(record.x_over_r), "recorded", tag))
    return Value(
        amount=seen,
        unit="%",
        formula="(%R · P + %X · Q) / rating",
        source="per-unit definition; leaves out the angle between both voltages",
        inputs=(*inputs, *_load_inputs(power, "demand")),
        at_least=at_least,
    )


def _turned(stretch: Stretch, power: Power) -> complex:
    return power.at(cmath.phase(stretch.one_way_ohm))


def _power_factor(va: complex) -> float:
    return min(1.0, max(0.0, va.real / abs(va))) if va else 1.0


def _root(stretch: Stretch) -> float:
    return math.sqrt(3) if stretch.phases == 3 else 1.0


def _current(current_a: float) -> Input:
    return Input("current", f"{current_a:.1f} A", "calculated")


def _load_inputs(power: Power, load: str) -> list[Input]:
    found = [Input(load, f"{power.size_va:,.0f} VA", "calculated")]
    if power.known:
        factor = f"{_power_factor(power.known):.2f}"
        found.append(Input("power factor of what is recorded", factor, "calculated"))
    if power.open_va:
        found.append(_at_its_worst(f"of {power.open_va:,.0f} VA, not recorded"))
    return found


def _at_its_worst(of_what: str) -> Input:
    return Input(f"power factor {of_what}", "that of the impedance, the worst: I · |Z|", "assumed")
