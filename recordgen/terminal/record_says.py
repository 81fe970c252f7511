"""What the program reads from what has been typed so far, in lines for the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from recordgen.evidence.fault_steps import StepFlaw, step_flaws
from recordgen.evidence.follow_run import FollowedRun
from recordgen.evidence.interrupter import has_interrupter
from recordgen.evidence.run_places import in_feet, told
from recordgen.evidence.trace_answer import (
    Bears,
    BreakerShown,
    CableShown,
    Shown,
    StretchShown,
    TraceVerdict,
)
from recordgen.evidence.trace_verdict import TraceVerdicts
from recordgen.records.field import Fault, Run, Trace
from recordgen.terminal.lines import name, wrap
from recordgen.terminal.record_names import Names


def trace_verdict(names: Names, tag: str, trace: Trace) -> TraceVerdict:
    """Return what a trace shows that is not recorded yet."""
    buildings = names.buildings_with("traces", tag, trace)
    return TraceVerdicts(buildings, names.portfolio.network).of(f"{names.loaded.id}:{tag}")


def verdict_text(
    names: Names, trace: Trace, found: TraceVerdict, told: TraceVerdict | None = None
) -> Iterator[str]:
    """Yield the verdict on a trace, why, and what to measure next.

    Parameters
    ----------
    names : Names
    trace : Trace
    found : TraceVerdict
    told : TraceVerdict or None
        What was told before: its sentences are not told again.
    """
    home = names.loaded.id
    run = names.known("runs").get(trace.run) if trace.run else None
    shows = "; ".join(_shown(found.shows, trace, run, home))
    yield ""
    yield from wrap(f"The program reads: {found.word}{f', {shows}' if shows else ''}.", "", "  ")
    if found.bears in _BEARS:
        yield from wrap(f"{_BEARS[found.bears]}.", "  ", "    ")
    known = (*told.reasons, *told.measure_next, *told.cautions) if told is not None else ()
    for head, sentences in (
        ("why", found.reasons),
        ("measure next", found.measure_next),
        ("note", found.cautions),
    ):
        for sentence in sentences:
            if sentence not in known:
                yield from wrap(f"{head}: {sentence}", "  ", "    ")


_BEARS: Final[Mapping[Bears, str]] = {
    "bears": "This bears what is concluded",
    "bears in part": "This bears what is concluded in part",
    "does not bear": "This does NOT bear what is concluded",
    "words only": "Your conclusion is in words, which are not read: hold them against this",
}


def _shown(shows: Shown, trace: Trace, run: Run | None, home: str) -> Iterator[str]:
    match shows:
        case BreakerShown(breaker=str(breaker)):
            yield name(breaker, home)
        case CableShown(cable=str(cable)):
            yield cable
        case StretchShown(stretch=stretch, nearest_landmark=mark) if stretch is not None:
            yield told(stretch, feet=in_feet(trace.readings, run))
            if mark:
                yield f"nearest landmark: {mark}"
        case FollowedRun(gaps=gaps) if gaps:
            feet = in_feet(trace.readings, run)
            yield f"not shown: {', '.join(told(gap, feet=feet) for gap in gaps)}"


def flaws(names: Names, tag: str, fault: Fault) -> tuple[StepFlaw, ...]:
    """Return what does not bear out where a fault stands, as `recordgen check` has it."""
    return step_flaws(fault, names.portfolio.as_of, interrupter=interrupter(names, tag, fault))


def interrupter(names: Names, tag: str, fault: Fault) -> bool:
    """Return whether a ground-fault circuit-interrupter is recorded before what is at fault."""
    buildings = names.buildings_with("faults", tag, fault)
    return has_interrupter(buildings, names.loaded, fault)
