"""A trace whose readings do not bear its conclusion.

Passing: `[86, 79, 74]` on LP-1/14, which is concluded, and `[61, 33, 22]` on LP-1/16
Failing: `[76, 41, 22]` on LP-1/14, which is concluded, and `[61, 33, 22]` on LP-1/16

A breaker that was opened, and the load went dead, needs no readings. A trace that somebody settled
(`resolved:`) is left alone. A sorted bundle has a conclusion where it names a cable, or a cable is
said to be `identified` by it; a run where words are concluded, or a fault or a run leans on it. The
words themselves are not read. What the conclusion itself contradicts is `contradiction`.
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.checks.facts import Facts
from recordgen.evidence.breaker_readings import BreakerReading
from recordgen.evidence.concerned import concerned
from recordgen.evidence.trace_answer import CableShown, LoadsShown, TraceVerdict
from recordgen.evidence.trace_breaker import TraceReader
from recordgen.evidence.trace_leaning import Leaning
from recordgen.problems import Problem, Severity
from recordgen.records.field import Trace
from recordgen.records.loader import LoadedBuilding


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for each conclusion that its readings do not bear, a note where in part."""
    for loaded in facts.buildings.values():
        for tag, trace in loaded.records.traces.items():
            if trace.date > facts.as_of or trace.resolved is not None:
                continue
            if trace.purpose == "identify the breaker":
                yield from _breaker(facts.trace_verdicts.reader, loaded, tag, trace)
                continue
            found = facts.trace_verdicts.of(f"{loaded.id}:{tag}")
            leaning = facts.trace_verdicts.leaning(f"{loaded.id}:{tag}")
            if isinstance(found.shows, CableShown):
                yield from _bundle(loaded, tag, found, found.shows, leaning)
            elif isinstance(found.shows, LoadsShown):
                yield from _list(facts, loaded, tag, found, found.shows)
            elif trace.purpose.startswith("follow"):
                yield from _followed(facts, loaded, tag, found, leaning)
            else:
                yield from _located(facts, loaded, tag, found, leaning)


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


def _bundle(
    loaded: LoadedBuilding, tag: str, found: TraceVerdict, shown: CableShown, leaning: Leaning
) -> Iterator[Problem]:
    said = {cable: f"{cable} is identified by trace {tag}" for cable in leaning.identified}
    concluded = loaded.records.traces[tag].concluded_cable
    if concluded is not None:
        said.setdefault(concluded, f"trace {tag} concludes {concluded}")
    for cable, start in said.items():
        if shown.cable is None:
            message = f"{start}, whose readings do not bear it: {found.reasons[0]}"
            yield _problem(message, _next(found), loaded, tag)
        elif shown.cable != cable:
            message = f"{start}, whose readings point at {shown.cable}"
            yield _problem(message, _next(found), loaded, tag)


def _located(
    facts: Facts, loaded: LoadedBuilding, tag: str, found: TraceVerdict, leaning: Leaning
) -> Iterator[Problem]:
    about = concerned(facts.buildings, loaded, loaded.records.traces[tag])
    why = _plain(found.reasons)
    if found.word == "methods disagree":
        why = "; ".join(said.removesuffix(".") for said in found.reasons if said.startswith("By "))
    if found.bears == "does not bear":
        start = f"trace {tag} has a conclusion"
        if leaning.located:
            start = f"{' and '.join(leaning.located)} was located by trace {tag}"
        message = f"{start}, and what was read gives no place ({found.word}): {why}"
        yield _problem(message, _next(found), loaded, tag, *about)
    elif found.bears == "words only":
        message = f"what was read in trace {tag} gives no place ({found.word}): {why}"
        hint = "hold the words of its conclusion against that, and say in `resolved` how it ended"
        yield _problem(message, hint, loaded, tag, *about, severity="note")


def _followed(
    facts: Facts, loaded: LoadedBuilding, tag: str, found: TraceVerdict, leaning: Leaning
) -> Iterator[Problem]:
    if found.bears not in ("does not bear", "bears in part"):
        return
    what = "the run"
    if leaning.runs:
        what = f"{' and '.join(leaning.runs)}, which leans on it"
    shown = "does not show" if found.bears == "does not bear" else "shows in part"
    about = concerned(facts.buildings, loaded, loaded.records.traces[tag])
    severity: Severity = "note" if found.word == "followed in part" else "warning"
    message = f"trace {tag} {shown} {what} ({found.word}): {_plain(found.reasons)}"
    yield _problem(message, _next(found), loaded, tag, *about, severity=severity)


def _list(
    facts: Facts, loaded: LoadedBuilding, tag: str, found: TraceVerdict, shown: LoadsShown
) -> Iterator[Problem]:
    circuit = _short(shown.circuit, loaded)
    if found.bears in ("does not bear", "bears in part"):
        bare = [one.load for one in shown.found if not one.shown]
        names = ", ".join(_short(load, loaded) for load in bare)
        message = (
            f"trace {tag} has {names} on {circuit}, which was not opened, and its readings do not "
            f"bear it: {_plain(found.reasons)}"
        )
        yield _problem(message, _next(found), loaded, tag, *bare, shown.circuit)
    trace = loaded.records.traces[tag]
    left = [load for load in shown.not_found if not _known_since(facts, load, shown, trace)]
    if found.by_opening and left:
        names = ", ".join(_short(load, loaded) for load in left)
        message = f"trace {tag} does not name {names}, which the record has on {circuit}"
        hint = f"look whether {names} went dead with it, and add what did to `found`"
        yield _problem(message, hint, loaded, tag, *left, severity="note")


def _known_since(facts: Facts, load: str, shown: LoadsShown, trace: Trace) -> bool:
    """Say whether another trace, of that day or later, has a load on the circuit."""
    grades = [
        facts.grades.of_claim(load, feed)
        for feed in facts.network.loads[load].circuits
        if shown.circuit in facts.trace_verdicts.ways.up_to_circuits(feed)
    ]
    return any(
        grade.name != "unverified" and grade.date is not None and grade.date >= trace.date
        for grade in grades
    )


def _why(found: BreakerReading) -> str:
    if found.verdict == "ambiguous":
        return f"ambiguous, since {found.reasons[0]}"
    return found.reasons[0]


def _plain(reasons: tuple[str, ...]) -> str:
    """Return the first reason that is not about a single reading; the first if all are."""
    whole = [reason for reason in reasons if not reason.startswith("The reading at ")]
    return (*whole, *reasons)[0].removesuffix(".")


def _next(found: TraceVerdict) -> str | None:
    return found.measure_next[0] if found.measure_next else None


def _short(tag: str | None, loaded: LoadedBuilding) -> str:
    return (tag or "").removeprefix(f"{loaded.id}:")


def _problem(
    message: str,
    hint: str | None,
    loaded: LoadedBuilding,
    tag: str,
    *subjects: str | None,
    severity: Severity = "warning",
) -> Problem:
    return Problem(
        severity,
        "evidence-not-enough",
        message,
        loaded.where("traces", tag),
        hint,
        subjects=tuple(dict.fromkeys(subject for subject in subjects if subject)),
    )
