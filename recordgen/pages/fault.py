"""One fault: where it stands, what is missing, what was done and measured, where it lies."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from recordgen.evidence.concerned import concerned
from recordgen.pages import paths
from recordgen.pages.fault_place import places_of
from recordgen.pages.fault_timeline import gaps, timeline
from recordgen.pages.fault_trend import trend_tables
from recordgen.pages.fault_values import FaultBook, FaultFacts
from recordgen.pages.page import Heading, Page
from recordgen.pages.view import View
from recordgen.pages.wording import CAUTIONS
from recordgen.problems import Problem

FAULT_CAUTIONS: Final = (
    *CAUTIONS,
    "That it was made safe is no proof that it is so today: use the lockout sheet, and test.",
    "Where readings put a fault is where to look next. Calculated values are for screening.",
)


@dataclass(frozen=True)
class SafeLine:
    """Whether the fault was made safe: as recorded, or that it is not."""

    recorded: bool
    text: str


@dataclass(frozen=True)
class Related:
    """Faults that have something in common with this one, and what."""

    what: str
    faults: tuple[FaultFacts, ...]
    note: str


def pages(view: View) -> Iterator[Page]:
    """Yield a page for every fault."""
    for facts in view.faults.all.values():
        yield _page(view, facts)


def _page(view: View, facts: FaultFacts) -> Page:
    loaded = view.loaded(facts.building)
    fault = facts.fault
    title = f"{facts.name}: {fault.kind}"
    places = places_of(facts, loaded)
    safe = _safe(facts, view.portfolio.as_of)
    found, stops = gaps(facts, loaded), stops_of(view, facts)
    return view.page(
        paths.fault(facts.tag),
        title,
        "fault.html",
        building=facts.building,
        searched=True,
        contents=[
            Heading(1, "top", title),
            Heading(2, "steps", "Step by step"),
            *((Heading(2, "place", "Where it lies"),) if places else ()),
            Heading(2, "insulation", "Insulation resistance of its circuit"),
            Heading(2, "related", "Related faults"),
            Heading(2, "record", "The record"),
        ],
        context={
            "facts": facts,
            "fault": fault,
            "verdict": _verdict(facts, safe, sure=not (found or stops)),
            "safe": safe,
            "days": days_text(facts),
            "found": facts.found.isoformat() if facts.found else "",
            "to_come": facts.to_come if facts.is_open else (),
            "gaps": found,
            "stops": stops,
            "lines": timeline(facts, loaded, view.portfolio.as_of),
            "places": places,
            "is_repaired": bool(facts.steps("repaired")) or not facts.is_open,
            "trends": trend_tables(view.faults, facts),
            "related": related(view.faults, facts),
            "sheets": _sheets(view, facts),
            "worksheet": paths.worksheet(facts.building, "fault", facts.name),
            "place": str(loaded.where("faults", facts.name)),
            "cautions": FAULT_CAUTIONS,
        },
    )


def _verdict(facts: FaultFacts, safe: SafeLine, *, sure: bool) -> str:
    """Return the class of the answer: how much a reader has to beware."""
    if facts.is_open:
        return "unproven" if safe.recorded else "no"
    return "yes" if sure else "unproven"


def _safe(facts: FaultFacts, as_of: dt.date) -> SafeLine:
    # A step that is dated later has not been done.
    steps = [step for step in facts.steps("made safe") if step.date <= as_of]
    if not steps:
        return SafeLine(False, "")
    last = steps[-1]
    return SafeLine(True, f"{last.date}, by {last.by}: {last.what or 'how is not recorded'}")


def days_text(facts: FaultFacts) -> str:
    """Return how long a fault has been open, or was; empty where that is not known."""
    if facts.days is None:
        return ""
    return f"{facts.days} day{'' if facts.days == 1 else 's'}"


def stops_of(view: View, facts: FaultFacts) -> tuple[Problem, ...]:
    """Return every STOP on what the fault is about, its panel, and what its traces are about."""
    loaded = view.loaded(facts.building)
    tags = [*facts.subjects, facts.panel]
    for step in facts.fault.steps:
        if step.trace:
            trace = loaded.records.traces[step.trace]
            tags += concerned(view.portfolio.buildings, loaded, trace)
    return view.answers.stops(tag for tag in tags if tag)


def related(book: FaultBook, facts: FaultFacts) -> tuple[Related, ...]:
    """Return what a fault has in common with others: what came back, its circuit, its load.

    Parameters
    ----------
    book : FaultBook
    facts : FaultFacts

    Returns
    -------
    tuple of Related
        Each fault in the first of the groups that holds it.
    """
    found = []
    seen = {facts.tag}
    for recurrence in book.recurrences:
        if facts.tag in recurrence.faults:
            others = [tag for tag in recurrence.faults if tag not in seen]
            seen.update(others)
            count = len(recurrence.faults)
            note = f"{recurrence.kind} on this circuit {count} times in all"
            if recurrence.shortest_d is not None:
                note += f"; the shortest time from one to the next was {recurrence.shortest_d} days"
            found.append(Related("It has come back", tuple(book.all[tag] for tag in others), note))
    for what, tag in (("On the same circuit", facts.circuit), ("On the same load", facts.load)):
        others = [other.tag for other in book.about(tag) if other.tag not in seen]
        seen.update(others)
        if others:
            found.append(Related(what, tuple(book.all[tag] for tag in others), ""))
    return tuple(found)


@dataclass(frozen=True)
class Sheets:
    """Full tags of what has a downstream list, and of what has a lockout sheet."""

    dark: tuple[str, ...]
    lockout: tuple[str, ...]


def _sheets(view: View, facts: FaultFacts) -> Sheets:
    named = [tag for tag in (facts.circuit, facts.load) if tag]
    return Sheets(
        tuple(tag for tag in named if tag in view.network.devices),
        tuple(tag for tag in named if view.sheet_path(tag)),
    )
