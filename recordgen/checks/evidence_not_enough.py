"""A trace whose readings do not bear its conclusion.

Passing: `[86, 79, 74]` on LP-1/14, which is concluded, and `[61, 33, 22]` on LP-1/16
Failing: `[76, 41, 22]` on LP-1/14, which is concluded, and `[61, 33, 22]` on LP-1/16

A breaker that was opened, and the load went dead, needs no readings. A trace that somebody settled
(`resolved:`) is left alone. A sorted bundle has a conclusion where a cable is said to be
`identified` by it. What the conclusion itself contradicts is `contradiction`.
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.checks.facts import Facts
from recordgen.evidence.breaker_readings import BreakerReading
from recordgen.evidence.bundle_readings import bundle_reading
from recordgen.evidence.trace_breaker import TraceReader
from recordgen.problems import Problem
from recordgen.records.field import Trace
from recordgen.records.loader import LoadedBuilding


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for each conclusion that its readings do not bear."""
    reader = facts.grades.reader
    for loaded in facts.buildings.values():
        for tag, trace in loaded.records.traces.items():
            if trace.date > facts.as_of or trace.resolved is not None:
                continue
            if trace.purpose == "identify the breaker":
                yield from _breaker(reader, loaded, tag, trace)
            elif trace.purpose == "sort a bundle":
                yield from _bundle(loaded, tag, trace)


def _breaker(
    reader: TraceReader, loaded: LoadedBuilding, tag: str, trace: Trace
) -> Iterator[Problem]:
    found = reader.readings_say(loaded, trace)
    concluded = reader.concluded(loaded, trace)
    name = str(trace.concluded_circuit)
    load = f"{loaded.id}:{trace.load}" if trace.load else None
    if concluded is None:
        if found.verdict == "contradicts the record":
            message = (
                f"the readings of trace {tag} point at {_short(found.breaker, loaded)}: "
                f"{found.reasons[-1]}"
            )
            hint = "read again, then add `concluded_circuit:`"
            yield _problem(message, hint, loaded, tag, load, found.breaker)
        return
    if found.breaker is not None and not reader.leads_back(concluded, found.breaker):
        breaker = _short(found.breaker, loaded)
        message = f"the readings of trace {tag} point at {breaker}, its conclusion is {name}"
        hint = "read again, and open the breaker where that may be done"
        if trace.confirmed_by_opening:
            message += ", which was opened and the load went dead"
            hint = "one of the two is written wrong: correct the trace"
        yield _problem(message, hint, loaded, tag, load, concluded, found.breaker)
    elif found.breaker is None and not trace.confirmed_by_opening:
        message = f"the readings of trace {tag} do not bear its conclusion {name}: {_why(found)}"
        yield _problem(message, found.measure_next, loaded, tag, load, concluded)


def _bundle(loaded: LoadedBuilding, tag: str, trace: Trace) -> Iterator[Problem]:
    leaning = [
        cable
        for cable, record in loaded.records.cables.items()
        if record.trace == tag and record.identified is not None
    ]
    found = bundle_reading(trace.readings)
    for cable in leaning:
        if found.cable is None:
            why = found.reasons[0]
            message = f"{cable} is identified by trace {tag}, whose readings do not bear it: {why}"
            yield _problem(message, found.measure_next, loaded, tag)
        elif found.cable != cable:
            message = f"{cable} is identified by trace {tag}, whose readings point at {found.cable}"
            yield _problem(message, found.measure_next, loaded, tag)


def _why(found: BreakerReading) -> str:
    if found.verdict == "ambiguous":
        return f"ambiguous, since {found.reasons[0]}"
    return found.reasons[0]


def _short(breaker: str | None, loaded: LoadedBuilding) -> str:
    return (breaker or "").removeprefix(f"{loaded.id}:")


def _problem(
    message: str, hint: str | None, loaded: LoadedBuilding, tag: str, *subjects: str | None
) -> Problem:
    return Problem(
        "warning",
        "evidence-not-enough",
        message,
        loaded.where("traces", tag),
        hint,
        subjects=tuple(dict.fromkeys(subject for subject in subjects if subject)),
    )
