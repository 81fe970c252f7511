"""The first steps of a reach: the source, and conductors."""

from __future__ import annotations

import math
from dataclasses import replace

from recordgen.calc.answer import Input, Need, NoValue
from recordgen.calc.fault_current import source_impedance_ohm
from recordgen.calc.point_to_point import Raceway, c_value, end_of_run_a
from recordgen.calc.raceway_material import raceway_material
from recordgen.calc.study.distribution import Element
from recordgen.calc.study.feed_ways import INVERTERS, Way
from recordgen.calc.study.reach import Ohms, Reach, joined, neutral_volts, unusable
from recordgen.calc.study.segments import segment
from recordgen.calc.transformer_impedance import half_winding_impedance_ohm
from recordgen.records.equipment import Transformer
from recordgen.records.parts import Conductors
from recordgen.records.supply import Source
from recordgen.records.system import NominalSystem


def source_reach(element: Element) -> Reach | NoValue:
    """Return how a source reaches its own terminals.

    Notes
    -----
    The recorded current is taken as three-phase and symmetrical; of a single-phase source, as that
    between lines. To neutral, a utility's transformer is taken to have Z0 = Z1, and a single-phase
    one to be a winding tapped at its middle. All this stands among the inputs as assumed. A
    generator's current to neutral differs from its three-phase current by its own reactances,
    which are not recorded, and none is given.
    """
    record = element.record
    assert isinstance(record, Source)  # noqa: S101  # for mypy: whoever asks has looked
    system, tag = record.system, element.tag
    if system is None or system.phases == 0:
        why = "" if system is None else "of direct current: no fault current is calculated"
        return NoValue((Need(tag, "system", why),))
    needs, size, ohms = [], 0.0, Ohms()
    if record.available_fault_a:
        per_line_v = system.line_v / (math.sqrt(3) if system.phases == 3 else 2)
        size = per_line_v / record.available_fault_a
        ohms = Ohms(0j, size)
    if record.kind in INVERTERS:
        why = "an inverter limits it and no impedance stands for that; take the maker's figure"
        needs.append(Need(tag, "available_fault_current", why))
    elif not size:
        needs.append(unusable(tag, "available_fault_current", record.available_fault_a))
    elif record.x_over_r is None:
        needs.append(Need(tag, "x_over_r"))
    else:
        assert record.available_fault_a is not None  # noqa: S101  # size says so
        wye_v = system.line_v if system.phases == 3 else per_line_v * math.sqrt(3)
        ohms = Ohms(source_impedance_ohm(record.available_fault_a, wye_v, record.x_over_r))
    loop, neutral_needs, neutral_inputs = _source_to_neutral(tag, record, system, ohms)
    kind = "three-phase" if system.phases == 3 else "between lines"
    inputs = [
        Input("available fault current", str(record.available_fault_a), "recorded", tag),
        Input("taken as", f"{kind}, symmetrical", "assumed"),
        Input("X/R", str(record.x_over_r), "recorded", tag),
    ]
    return Reach(
        source=tag,
        line_v=system.line_v,
        neutral_v=neutral_volts(system),
        phases=system.phases,
        poles=3 if system.phases == 3 else 2,
        line_ohm=ohms,
        neutral_ohm=loop,
        needs=tuple(needs),
        neutral_needs=neutral_needs,
        by_hand_a=None if needs else record.available_fault_a,
        inputs=tuple(inputs) if not needs else (),
        neutral_inputs=neutral_inputs,
    )


def _source_to_neutral(
    tag: str, record: Source, system: NominalSystem, ohms: Ohms
) -> tuple[Ohms, tuple[Need, ...], tuple[Input, ...]]:
    if system.high_leg:
        why = "a fault to neutral of a high-leg delta is not calculated"
        return Ohms(), (Need(tag, "system", why),), ()
    if system.phases == 1:
        winding = 2 * ohms.known
        said = Input("to neutral", "as a winding tapped at its middle", "assumed")
        # The least that half a winding can be of the whole: 0.3, all of it reactance.
        least = abs(half_winding_impedance_ohm(1j))
        return (
            Ohms(half_winding_impedance_ohm(winding), 2 * ohms.unturned * least),
            (),
            (said,),
        )
    if record.kind == "utility":
        said = Input("source, to neutral", "zero-sequence as positive: Z0 = Z1", "assumed")
        return ohms, (), (said,)
    why = f"that of a {record.kind} differs from its three-phase one; take the maker's figure"
    # Nothing in Z2 and Z0 is the least there can be.
    return ohms.times(1 / 3), (Need(tag, "fault current to neutral", why),), ()


def along(before: Reach, way: Way, element: Element, temperature_c: float) -> Reach:
    """Return the reach at the end of the conductors of a way, before any transformer there.

    What is not recorded of them is left out and named.
    """
    poles = min(before.poles, element.poles or before.poles)
    if isinstance(element.record, Transformer):
        poles = before.poles
    if way.joined and way.conductors is None:
        said = Input(way.what, "no impedance", "assumed")
        return replace(before, before=before, inputs=(said,), neutral_inputs=(), what=way.what)
    kind = element.kind if way.conductors_of == element.tag else "circuit"
    run = segment(
        replace(element, conductors=way.conductors, conductors_of=way.conductors_of, kind=kind),
        temperature_c,
    )
    if isinstance(run, NoValue):
        return replace(
            before,
            poles=poles,
            needs=joined(before.needs, run.needs),
            by_hand_a=None,
            inputs=(),
            neutral_inputs=(),
            before=before,
            what=way.what,
        )
    neutral_needs, back = before.neutral_needs, 0j
    neutral_inputs: tuple[Input, ...] = ()
    if run.neutral_ohm is None:
        missing = Need(way.conductors_of, "neutral of the conductors")
        neutral_needs = joined(neutral_needs, (missing,))
    else:
        back = run.neutral_ohm
        size = way.conductors.neutral if way.conductors else None
        neutral_inputs = (
            Input("neutral", str(size), "recorded", way.conductors_of)
            if size
            else Input("neutral", "as large as the ungrounded conductor", "assumed"),
        )
    return replace(
        before,
        poles=poles,
        line_ohm=before.line_ohm + Ohms(run.phase_ohm),
        neutral_ohm=before.neutral_ohm + Ohms(run.phase_ohm + back),
        neutral_needs=neutral_needs,
        by_hand_a=_run_by_hand(before, way.conductors),
        inputs=run.inputs,
        neutral_inputs=neutral_inputs,
        before=before,
        what=way.what,
    )


def _run_by_hand(before: Reach, conductors: Conductors | None) -> float | None:
    if before.by_hand_a is None or conductors is None or conductors.size is None:
        return None
    raceway: Raceway = (
        "steel" if raceway_material(conductors.raceway or "") == "steel" else "nonmagnetic"
    )
    try:
        return end_of_run_a(
            before.by_hand_a,
            conductors.length_m or 0.0,
            c_value(conductors.size, raceway),
            conductors.parallel or 1,
            before.line_v,
            "three-phase" if before.phases == 3 else "line to line",
        )
    except ValueError:  # the method's table has no such conductor
        return None
