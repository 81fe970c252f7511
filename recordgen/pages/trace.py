"""A trace: what it shows, whether that bears its conclusion, and everything that was read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from recordgen.evidence.run_places import told
from recordgen.evidence.trace_answer import LoadsShown, StretchShown
from recordgen.network.model import building_of
from recordgen.pages import paths
from recordgen.pages.describe import Fact, facts
from recordgen.pages.page import Heading, Page
from recordgen.pages.trace_strip import trace_strip
from recordgen.pages.trace_values import DayOfUse, TraceFacts, day_of_use, trace_facts
from recordgen.pages.view import View
from recordgen.pages.wording import CAUTIONS
from recordgen.problems import Location, Problem
from recordgen.records.field import Reading

_SHOWN_ELSEWHERE = ("readings", "echo", "bridge", "photos", "conclusion", "resolved")


@dataclass(frozen=True)
class ReadingLine:
    """A reading, ready to show; `tag` is the full tag of its place, where it has one."""

    at: str
    tag: str
    values: str
    sensitivity: str
    note: str


@dataclass(frozen=True)
class InstrumentLine:
    """The instrument of a trace (full tag), and whether it was in calibration that day."""

    tag: str
    what: str
    day: DayOfUse


@dataclass(frozen=True)
class MethodLine:
    """Where one method has the fault, as a stretch in words."""

    method: str
    along: str


def pages(view: View) -> Iterator[Page]:
    """Yield a page for every trace."""
    found: dict[Location, list[Problem]] = {}
    for problem in view.portfolio.problems:
        for place in (problem.location, *problem.related):
            found.setdefault(place, []).append(problem)
    for building, loaded in view.portfolio.buildings.items():
        for tag in loaded.records.traces:
            yield _page(view, trace_facts(view, f"{building}:{tag}"), found)


def _page(view: View, this: TraceFacts, found: Mapping[Location, list[Problem]]) -> Page:
    building, trace = building_of(this.tag), this.trace
    loaded = view.loaded(building)
    title = f"Trace {this.name}: {trace.purpose}"
    problems = [
        problem
        for keys in ((), ("date",), ("instrument",))
        for problem in found.get(loaded.where("traces", this.name, *keys), ())
    ]
    along = f"Readings of trace {this.name} along {trace.run or 'a run not recorded'}"
    return view.page(
        paths.trace(this.tag),
        title,
        "trace.html",
        building=building,
        searched=True,
        depends_on=view.network_digest(building),
        contents=[
            Heading(1, "top", title),
            Heading(2, "conclusion", "What was concluded"),
            Heading(2, "readings", "What was read"),
            Heading(2, "next", "What to measure next"),
            Heading(2, "instrument", "Instrument"),
            Heading(2, "grades", "What rests on it"),
            Heading(2, "record", "The record"),
        ],
        context={
            "this": this,
            "trace": trace,
            "building": building,
            "future": trace.date > view.portfolio.as_of,
            "date": trace.date.isoformat(),
            "stops": [p for p in dict.fromkeys(problems) if p.severity == "stop"],
            "remarks": [p for p in dict.fromkeys(problems) if p.severity != "stop"],
            "opened": _opened(this),
            "readings": [_reading(view, building, one) for one in trace.readings],
            "strip": trace_strip(this, anchor="strip", title=along),
            "methods": _methods(this),
            "loads": this.verdict.shows if isinstance(this.verdict.shows, LoadsShown) else None,
            "figures": tuple(_figures(this)),
            "instrument": _instrument(view, building, this),
            "leaning": view.portfolio.trace_verdicts.leaning(this.tag),
            "facts": facts(trace, always=("connection",), skip=_SHOWN_ELSEWHERE),
            "cautions": tuple(dict.fromkeys((*this.verdict.cautions, *CAUTIONS))),
        },
    )


def _opened(this: TraceFacts) -> str:
    """Return what is recorded of opening the circuit; empty where the purpose needs none."""
    if this.trace.confirmed_by_opening is None:
        grading = this.trace.purpose in ("identify the breaker", "list what is downstream")
        return "not recorded" if grading else ""
    return "opened, and the load went dead" if this.trace.confirmed_by_opening else "not opened"


def _reading(view: View, building: str, reading: Reading) -> ReadingLine:
    try:
        tag = view.canonical(reading.at, building)
    except ValueError:  # a distance, or words
        tag = ""
    return ReadingLine(
        at=reading.at,
        tag=tag if tag and view.place_of(tag) else "",
        values=", ".join(str(value) for value in reading.values),
        sensitivity="" if reading.sensitivity is None else str(reading.sensitivity),
        note=reading.note or "",
    )


def _methods(this: TraceFacts) -> tuple[MethodLine, ...]:
    if not isinstance(this.verdict.shows, StretchShown):
        return ()
    return tuple(
        MethodLine(one.method, told(one.stretch, feet=this.feet))
        for one in this.verdict.shows.by_method
    )


def _figures(this: TraceFacts) -> Iterator[tuple[str, tuple[Fact, ...]]]:
    """Yield what other instruments showed, with every figure that is not recorded."""
    for title, record in (("Reflectometer", this.trace.echo), ("Bridge", this.trace.bridge)):
        if record is not None:
            yield title, facts(record, always=tuple(type(record).model_fields))


def _instrument(view: View, building: str, this: TraceFacts) -> InstrumentLine | None:
    tag = this.trace.instrument
    if tag is None:
        return None
    record = view.loaded(building).records.instruments[tag]
    what = f"{record.kind}{f', {record.model_class}' if record.model_class else ''}"
    return InstrumentLine(
        f"{building}:{tag}", what, day_of_use(view, building, tag, this.trace.date)
    )
