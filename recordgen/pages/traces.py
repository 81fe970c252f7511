"""All traces of a building, by purpose: what each shows, and whether it bears its conclusion."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from recordgen.evidence.grades import Grade
from recordgen.pages import paths
from recordgen.pages.page import Heading, Page
from recordgen.pages.trace_values import TraceFacts, trace_facts
from recordgen.pages.view import View

SECTIONS = (
    ("identify the breaker", "breakers", "Breakers identified"),
    ("list what is downstream", "downstream", "Loads listed by circuit"),
    ("locate an open", "opens", "Opens located"),
    ("locate a ground fault", "ground-faults", "Ground faults located"),
    ("locate a short", "shorts", "Shorts located"),
    ("follow a run", "runs", "Runs followed"),
    ("follow an underground cable", "underground", "Underground cables followed"),
    ("sort a bundle", "bundles", "Bundles sorted"),
)
"""Purpose of a trace, anchor and heading of its section."""


@dataclass(frozen=True)
class GradeCount:
    """How many claims have a grade by a trace, and none better for the same reason."""

    grade: Grade
    count: int


@dataclass(frozen=True)
class TraceLine:
    """A trace in the list; `instrument` is a full tag or empty."""

    facts: TraceFacts
    date: str
    about: tuple[str, ...]
    instrument: str
    grades: tuple[GradeCount, ...]


@dataclass(frozen=True)
class Section:
    """The traces of one purpose, the latest first."""

    anchor: str
    heading: str
    lines: tuple[TraceLine, ...]


def pages(view: View) -> Iterator[Page]:
    """Yield the list of traces of every building."""
    for building, loaded in view.portfolio.buildings.items():
        title = f"Traces: {loaded.records.building.name}"
        lines = [_line(view, building, tag) for tag in loaded.records.traces]
        lines.sort(key=lambda line: line.facts.trace.date, reverse=True)
        sections = [
            Section(anchor, heading, found)
            for purpose, anchor, heading in SECTIONS
            if (found := tuple(line for line in lines if line.facts.trace.purpose == purpose))
        ]
        yield view.page(
            paths.index(building, "traces"),
            title,
            "traces.html",
            building=building,
            nav="Traces",
            depends_on=view.network_digest(building),
            contents=[
                Heading(1, "top", title),
                *(Heading(2, section.anchor, section.heading) for section in sections),
            ],
            context={
                "sections": sections,
                "count": len(lines),
                "borne": sum(line.facts.verdict.bears == "bears" for line in lines),
                "unborne": [
                    line.facts
                    for line in lines
                    if line.facts.verdict.bears in ("does not bear", "bears in part")
                ],
            },
        )


def _line(view: View, building: str, tag: str) -> TraceLine:
    facts = trace_facts(view, f"{building}:{tag}")
    counts: dict[tuple[str, str], list[Grade]] = {}
    for line in facts.resting:
        counts.setdefault((line.grade.name, line.grade.reason), []).append(line.grade)
    trace = facts.trace
    return TraceLine(
        facts=facts,
        date=trace.date.isoformat(),
        about=facts.about,
        instrument=f"{building}:{trace.instrument}" if trace.instrument else "",
        grades=tuple(GradeCount(grades[0], len(grades)) for grades in counts.values()),
    )
