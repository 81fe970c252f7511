"""Field records of a building: traces, cables, runs, instruments, inspections, all as recorded."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from recordgen.pages import paths
from recordgen.pages.describe import Fact, facts
from recordgen.pages.page import Heading, Page
from recordgen.pages.view import View
from recordgen.records.field import Reading, Trace

_SECTIONS = (
    ("traces", "trace", "Traces"),
    ("cables", "cable", "Low-voltage and communication cables"),
    ("runs", "run", "Runs"),
    ("instruments", "instrument", "Instruments"),
    ("inspections", "inspection", "Inspections"),
)


@dataclass(frozen=True)
class FieldRecord:
    """A record, ready to show; `tags` are full tags it names."""

    tag: str
    anchor: str
    facts: tuple[Fact, ...]
    tags: tuple[str, ...]
    readings: tuple[Reading, ...]


def pages(view: View) -> Iterator[Page]:
    """Yield the page of field records of every building."""
    for building, loaded in view.portfolio.buildings.items():
        title = f"Field records: {loaded.records.building.name}"
        sections = [
            (anchor, heading, list(_records(view, building, name, anchor)))
            for name, anchor, heading in _SECTIONS
        ]
        yield view.page(
            paths.index(building, "evidence"),
            title,
            "evidence.html",
            building=building,
            nav="Field records",
            searched=True,
            contents=[
                Heading(1, "top", title),
                *(Heading(2, f"{anchor}s", heading) for anchor, heading, _ in sections),
            ],
            context={"sections": sections},
        )


def _records(view: View, building: str, section: str, anchor: str) -> Iterator[FieldRecord]:
    for tag, record in getattr(view.loaded(building).records, section).items():
        tags = _tags(view, building, record)
        readings = record.readings if isinstance(record, Trace) else ()
        known = facts(record, skip=("readings",))
        yield FieldRecord(tag, f"{anchor}-{tag}", known, tags, readings)


def _tags(view: View, building: str, record: object) -> tuple[str, ...]:
    """Return full tags of the loads and circuits that a field record names."""
    found = [
        view.canonical(str(reference), building)
        for name in ("circuit", "concluded_circuit", "of")
        for reference in _as_tuple(getattr(record, name, None))
    ]
    if isinstance(record, Trace):
        loads = (*_as_tuple(record.load), *record.found)
        found += [f"{building}:{tag}" for tag in loads]
    return tuple(tag for tag in dict.fromkeys(found) if view.place_of(tag))


def _as_tuple(value: object) -> tuple[object, ...]:
    if value is None:
        return ()
    return value if isinstance(value, tuple) else (value,)
