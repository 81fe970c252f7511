"""The table of all checks: name of the module → its function, in the order they run."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType

from recordgen.checks import (
    branch_mixed,
    bus_protection,
    changed_from_normal,
    contradicted_record,
    device_over_conductor,
    duplicate_entry,
    evidence_not_enough,
    fault_steps,
    feed_voltage,
    gfci_place,
    ground_too_small,
    handle_tie_partner,
    high_leg_load,
    inspection_overdue,
    instrument_kind,
    interrupting_rating,
    load_voltage,
    lockable_not_recorded,
    multiwire_circuit,
    neutral_bonded_again,
    nonstandard_rating,
    operation_not_recorded,
    out_of_calibration,
    overloaded,
    parallel_too_small,
    phase_assumed,
    photo_path,
    reading_places,
    reading_values,
    several_feeds,
    spare_with_loads,
    study_contradicted,
    too_few_poles,
    trace_dates,
    unbalanced,
    unknown_loads,
    unknown_source,
    vague_entry,
    voltage_drop,
)
from recordgen.checks.facts import Facts
from recordgen.problems import Problem

CHECKS: Mapping[str, Callable[[Facts], Iterator[Problem]]] = MappingProxyType(
    {
        "unknown_source": unknown_source.check,
        "unknown_loads": unknown_loads.check,
        "contradicted_record": contradicted_record.check,
        "evidence_not_enough": evidence_not_enough.check,
        "spare_with_loads": spare_with_loads.check,
        "too_few_poles": too_few_poles.check,
        "handle_tie_partner": handle_tie_partner.check,
        "lockable_not_recorded": lockable_not_recorded.check,
        "operation_not_recorded": operation_not_recorded.check,
        "several_feeds": several_feeds.check,
        "changed_from_normal": changed_from_normal.check,
        "device_over_conductor": device_over_conductor.check,
        "ground_too_small": ground_too_small.check,
        "parallel_too_small": parallel_too_small.check,
        "nonstandard_rating": nonstandard_rating.check,
        "vague_entry": vague_entry.check,
        "duplicate_entry": duplicate_entry.check,
        "multiwire_circuit": multiwire_circuit.check,
        "high_leg_load": high_leg_load.check,
        "phase_assumed": phase_assumed.check,
        "neutral_bonded_again": neutral_bonded_again.check,
        "bus_protection": bus_protection.check,
        "load_voltage": load_voltage.check,
        "feed_voltage": feed_voltage.check,
        "branch_mixed": branch_mixed.check,
        "overloaded": overloaded.check,
        "unbalanced": unbalanced.check,
        "gfci_place": gfci_place.check,
        "study_contradicted": study_contradicted.check,
        "voltage_drop": voltage_drop.check,
        "interrupting_rating": interrupting_rating.check,
        "fault_steps": fault_steps.check,
        "out_of_calibration": out_of_calibration.check,
        "inspection_overdue": inspection_overdue.check,
        "trace_dates": trace_dates.check,
        "reading_places": reading_places.check,
        "reading_values": reading_values.check,
        "instrument_kind": instrument_kind.check,
        "photo_path": photo_path.check,
    }
)


def findings(facts: Facts) -> Iterator[Problem]:
    """Yield what every check finds."""
    for check in CHECKS.values():
        yield from check(facts)
