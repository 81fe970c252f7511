"""A trace that finds a load, or a feed, elsewhere than the record says, or than another trace.

Passing: a trace with `concluded_circuit: LP-1/14` for a load recorded on LP-1/14
Failing: the same trace for a load recorded on LP-1/16

It stands until somebody corrects the record, or says in the trace how it was settled. Every device
above the circuit that the trace concludes on carries it too: the load is missing in its list of
what goes dark. Where no feed is recorded, two traces may contradict each other alone.
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.checks.facts import Facts
from recordgen.evidence.contradictions import Contradiction
from recordgen.evidence.edge_grades import FeedContradiction
from recordgen.network.model import building_of, local
from recordgen.problems import Location, Problem

HINT = "correct the record, or add `resolved:` to the trace"


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a STOP for each unsettled contradiction, with every place that takes part."""
    for found in facts.grades.contradictions:
        yield _of_load(facts, found)
    for feed in facts.edge_grades.contradictions:
        yield _of_feed(facts, feed)


def _of_load(facts: Facts, found: Contradiction) -> Problem:
    load, home = found.load, found.building
    others = tuple(
        facts.buildings[other.building].where("traces", other.trace) for other in found.others
    )
    said = f"trace {found.trace} finds {local(load)} on {_name(found.concluded, home)}"
    traces = " and ".join(
        dict.fromkeys(f"trace {_name(other.tag, home)}" for other in found.others)
    )
    if found.recorded:
        agreeing = f", and so does {traces}" if traces else ""
        message = f"{said}, the record says {_names(found.recorded, home)}{agreeing}"
    else:
        places = _names(tuple(dict.fromkeys(other.circuit for other in found.others)), home)
        message = f"{said}, {traces} on {places}, and what feeds it is not recorded"
    elsewhere = [other.circuit for other in found.others if other.circuit not in found.recorded]
    concluded = (found.concluded, *(() if found.recorded else elsewhere))
    return Problem(
        "stop",
        "contradiction",
        message,
        facts.buildings[home].where("traces", found.trace),
        HINT,
        related=(facts.network.loads[load].place, *others),
        subjects=tuple(dict.fromkeys((load, *concluded, *found.recorded))),
        leaning=_devices_above(facts, concluded),
    )


def _of_feed(facts: Facts, found: FeedContradiction) -> Problem:
    home = found.building
    return Problem(
        "stop",
        "contradiction",
        f"trace {found.trace} finds that {_name(found.thing, home)} is fed from "
        f"{_name(found.concluded, home)}, the record says {_names(found.recorded, home)}",
        facts.buildings[home].where("traces", found.trace),
        HINT,
        related=(_place(facts, found.thing),),
        subjects=(found.thing, found.concluded, *found.recorded),
        leaning=_devices_above(facts, (found.concluded,)),
    )


def _devices_above(facts: Facts, circuits: tuple[str, ...]) -> tuple[str, ...]:
    """Return the devices whose opening darkens a circuit by the recorded feeds, itself left out."""
    above = {tag for circuit in circuits for tag in facts.trace_verdicts.ways.all_above(circuit)}
    devices = (name for tag in above for name in (tag, f"{tag}/main"))
    return tuple(
        sorted(tag for tag in devices if tag in facts.network.devices and tag not in circuits)
    )


def _place(facts: Facts, thing: str) -> Location:
    loaded, tag = facts.buildings[building_of(thing)], local(thing)
    section = "panels" if tag in loaded.records.panels else "equipment"
    return loaded.where(section, tag, "fed_from")


def _name(tag: str, home: str) -> str:
    return local(tag) if building_of(tag) == home else tag


def _names(tags: tuple[str, ...], home: str) -> str:
    return " and ".join(_name(tag, home) for tag in tags)
