"""A run: where a circuit or cable goes, what lies underground, what was read along it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from recordgen.evidence.fault_life import found_on, status
from recordgen.network.model import building_of, local
from recordgen.pages import paths
from recordgen.pages.page import Heading, Page
from recordgen.pages.run_strip import run_strip
from recordgen.pages.run_values import RunFacts, run_facts
from recordgen.pages.strip_parts import Strip
from recordgen.pages.trace_strip import trace_strip
from recordgen.pages.trace_values import TraceFacts, trace_facts
from recordgen.pages.view import View


@dataclass(frozen=True)
class TraceAlong:
    """A trace along a run, and its readings on the strip; None where there are none."""

    facts: TraceFacts
    date: str
    strip: Strip | None


@dataclass(frozen=True)
class FaultAlong:
    """A fault of a run: `where` says how it is known to be on it; `tag` is its full tag."""

    tag: str
    kind: str
    status: str
    found: str
    where: str


def pages(view: View) -> Iterator[Page]:
    """Yield a page for every run."""
    for building, loaded in view.portfolio.buildings.items():
        for tag in loaded.records.runs:
            yield _page(view, run_facts(view, f"{building}:{tag}"))


def _page(view: View, facts: RunFacts) -> Page:
    building = building_of(facts.tag)
    traces = tuple(_traces(view, facts))
    faults = tuple(_faults(view, facts, {trace.facts.name for trace in traces}))
    title = facts.title
    return view.page(
        paths.run(facts.tag),
        title,
        "run.html",
        building=building,
        searched=True,
        contents=[
            Heading(1, "top", title),
            Heading(2, "route", "Route"),
            Heading(2, "traces", "Traces along it"),
            Heading(2, "faults", "Faults"),
        ],
        context={
            "facts": facts,
            "building": building,
            "is_device": facts.thing in view.network.devices,
            "worksheet": paths.worksheet(building, "follow a run", local(facts.tag)),
            "strip": run_strip(facts.run, anchor="run", title=f"{title}, drawn to scale"),
            "traces": traces,
            "faults": faults,
            "rests_on": facts.run.trace,
        },
    )


def _traces(view: View, facts: RunFacts) -> Iterator[TraceAlong]:
    """Yield the traces that name the run and the one that it leans on, the latest first."""
    building, name = building_of(facts.tag), local(facts.tag)
    records = view.loaded(building).records
    tags = [
        tag for tag, trace in records.traces.items() if trace.run == name or tag == facts.run.trace
    ]
    for tag in sorted(tags, key=lambda tag: (records.traces[tag].date, tag), reverse=True):
        found = trace_facts(view, f"{building}:{tag}")
        strip = None
        # One that names no run, or another one, was not read in places of this run.
        if found.trace.run == name:
            title = f"Readings of {tag} along run {name}"
            strip = trace_strip(found, anchor=f"trace-{tag}", title=title)
        # The route alone is drawn above.
        shown = strip if strip and (strip.readings or strip.bands) else None
        yield TraceAlong(found, found.trace.date.isoformat(), shown)


def _faults(view: View, facts: RunFacts, traces: set[str]) -> Iterator[FaultAlong]:
    """Yield the faults that were traced along the run, then the others of its circuit."""
    own = building_of(facts.tag)
    on_circuit = []
    for building, loaded in view.portfolio.buildings.items():
        for tag, fault in loaded.records.faults.items():
            named = {step.trace for step in fault.steps if step.trace in traces}
            located = {step.trace for step in fault.steps if step.step == "located"}
            line = FaultAlong(
                tag=f"{building}:{tag}",
                kind=fault.kind,
                status=status(fault) or "no step recorded",
                found=day.isoformat() if (day := found_on(fault)) else "",
                where="",
            )
            if building == own and named:
                how = "located" if named & located else "traced"
                by = ", ".join(sorted(t for t in named if t))
                yield FaultAlong(line.tag, line.kind, line.status, line.found, f"{how} by {by}")
            elif (
                facts.thing
                and fault.circuit
                and view.canonical(str(fault.circuit), building) == facts.thing
            ):
                on_circuit.append(line)
    yield from on_circuit
