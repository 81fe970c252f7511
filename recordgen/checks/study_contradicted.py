"""A recorded study, label or measurement that does not go with what the records give.

Passing: `LP-1: {kind: panelboard, system: 208Y/120, arc_flash: {nominal_voltage: 208 V}}`
Failing: `LP-1: {kind: panelboard, system: 208Y/120, arc_flash: {nominal_voltage: 480 V}}`

What is recorded wins over what is calculated, and stands beside it. Where they lie apart, one of
them is wrong, or something has changed since: a fault current of a study well below the calculated
one (devices may be chosen too small by it) or well above it (a source or a larger transformer may
be missing in the records); a label of another voltage; a measured demand above everything that is
recorded as connected. How far apart is common practice: the tolerance of a transformer's impedance
and the temperature of conductors explain a tenth (see `transformer_impedance`, `faults`).
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.calc.answer import Value
from recordgen.calc.practice_levels import practice_level
from recordgen.checks.facts import Facts
from recordgen.network.model import building_of, local
from recordgen.problems import Problem, Severity
from recordgen.records.supply import Panel

_EDITED = "see which of the two is out of date, and have the study or the record renewed"


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a problem for each recorded figure of a panel that contradicts the records."""
    for tag, element in facts.study.distribution.elements.items():
        if isinstance(element.record, Panel):
            yield from _fault(facts, tag, element.record)
            yield from _label(facts, tag, element.record)
            yield from _demand(facts, tag, element.record)


def _fault(facts: Facts, tag: str, panel: Panel) -> Iterator[Problem]:
    if panel.recorded_fault is None:
        return
    recorded = float(panel.recorded_fault.current_a)
    found = facts.study.faults.at(tag).largest
    calculated = found.three_phase_a
    if not isinstance(calculated, Value):
        calculated = found.largest_a
    if not isinstance(calculated, Value) or calculated.amount <= 0:
        return
    percent = 100 * (recorded / calculated.amount - 1)
    least = "at least " if calculated.at_least else ""
    said = f"{recorded:,.0f} A, the recorded fault current"
    worked_out = f"{least}{calculated.amount:,.0f} A, what follows from the records"
    if percent < -practice_level("recorded fault current below"):
        yield _problem(
            facts,
            tag,
            "warning",
            "fault-current-differs",
            "recorded_fault",
            f"{local(tag)}: {said}, is {-percent:.0f} % less than {worked_out}; an interrupting "
            "rating chosen by it may be too small (NEC 110.9)",
        )
    elif percent > practice_level("recorded fault current above") and not calculated.at_least:
        yield _problem(
            facts,
            tag,
            "note",
            "fault-current-differs",
            "recorded_fault",
            f"{local(tag)}: {said}, is {percent:.0f} % more than {worked_out}: a source, a motor "
            "or a shorter run may be missing in the records",
        )


def _label(facts: Facts, tag: str, panel: Panel) -> Iterator[Problem]:
    label = panel.arc_flash
    if label is None or label.nominal_v is None or panel.system is None:
        return
    percent = 100 * abs(label.nominal_v / panel.system.line_v - 1)
    if percent > practice_level("label voltage"):
        yield _problem(
            facts,
            tag,
            "warning",
            "label-voltage",
            "arc_flash",
            f"{local(tag)}: its label is for {label.nominal_v}, and it is recorded as "
            f"{panel.system}: boundaries and protective equipment on it may be those of another "
            "panel",
        )


def _demand(facts: Facts, tag: str, panel: Panel) -> Iterator[Problem]:
    if panel.recorded_demand is None:
        return
    carried = facts.study.loading.carried[tag]
    measured = float(panel.recorded_demand.demand_va)
    if measured > carried.connected_va and not carried.needs:
        kva = carried.connected_va / 1000
        connected = f"{kva:,.1f} kVA are" if carried.pieces else "no load is"
        yield _problem(
            facts,
            tag,
            "warning",
            "more-measured-than-connected",
            "recorded_demand",
            f"{local(tag)}: {panel.recorded_demand.demand_va} were measured, and "
            f"{connected} recorded as connected: loads are missing "
            "in the records, or recorded too small",
        )


def _problem(
    facts: Facts, tag: str, severity: Severity, code: str, key: str, message: str
) -> Problem:
    place = facts.buildings[building_of(tag)].where_key("panels", local(tag), key)
    return Problem(severity, code, message, place, _EDITED, subjects=(tag,))
