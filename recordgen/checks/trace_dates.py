"""Dates that cannot be: in the future, an end before its beginning, evidence after its use.

Passing: `date: 2026-03-18`
Failing: `date: 2062-03-18`

Both are the date of a trace, read on a day in November 2026. A trace dated later than the day that
everything is worked out for bears nothing yet; most such dates are slips of the pen.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Final, get_args

from pydantic import BaseModel

from recordgen.checks.facts import Facts
from recordgen.evidence.concerned import concerned
from recordgen.problems import Location, Problem
from recordgen.records.building import BuildingRecords
from recordgen.records.field import Fault, Inspection, Trace
from recordgen.records.loader import LoadedBuilding

END_OF: Final[Mapping[str, str]] = {
    "due": "calibrated",
    "next_due": "date",
    "review_due": "study_date",
    "until": "since",
    "last_day": "first_day",
}
"""Field that ends a time → the field that begins it, in the same record."""
AHEAD: Final = frozenset(END_OF) - {"last_day"}
"""Fields that may well lie in the future."""
SHOWN: Final = 5
"""So many are named in one finding; a longer list says no more."""

Step = str | int


@dataclass(frozen=True)
class _Dated:
    """A date as recorded: section, tag and keys down to it; what begins where this one ends."""

    path: tuple[Step, ...]
    date: dt.date
    begun: dt.date | None

    @property
    def name(self) -> str:
        return str(self.path[-1])

    def __str__(self) -> str:
        return f"{self.owner} of {self.date}"

    @property
    def owner(self) -> str:
        _, tag, *keys = self.path
        return f"{tag}/{keys[1]}" if keys[0] == "circuits" else str(tag)


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for the future dates of each section, and for each order that cannot be."""
    for loaded in facts.buildings.values():
        for section in BuildingRecords.model_fields:
            if section == "building":
                continue
            dates = list(_dates_in(getattr(loaded.records, section), (section,)))
            late = [d for d in dates if d.name not in AHEAD and d.date > facts.as_of]
            if late:
                yield _in_the_future(facts, loaded, late)
            for dated in dates:
                if dated.begun is not None and dated.date < dated.begun:
                    yield _ends_first(facts, loaded, dated)
        yield from _evidence_after(facts, loaded)


def _in_the_future(facts: Facts, loaded: LoadedBuilding, late: list[_Dated]) -> Problem:
    late = list({str(dated): dated for dated in reversed(late)}.values())[::-1]
    named = ", ".join(str(dated) for dated in late[:SHOWN])
    more = f" and {len(late) - SHOWN} more" if len(late) > SHOWN else ""
    places = [_place(loaded, dated) for dated in late[:SHOWN]]
    subjects = (tag for dated in late for tag in _subjects(facts, loaded, dated.path))
    return Problem(
        "warning",
        "date-in-future",
        f"dated after {facts.as_of}, the day that this is worked out for: {named}{more}",
        places[0],
        "correct the date",
        related=tuple(places[1:]),
        subjects=tuple(dict.fromkeys(subjects)),
    )


def _ends_first(facts: Facts, loaded: LoadedBuilding, dated: _Dated) -> Problem:
    return Problem(
        "warning",
        "date-order",
        f"{dated.owner}: `{dated.name}` {dated.date} lies before "
        f"`{END_OF[dated.name]}` {dated.begun}",
        _place(loaded, dated),
        "correct one of them",
        subjects=_subjects(facts, loaded, dated.path),
    )


def _evidence_after(facts: Facts, loaded: LoadedBuilding) -> Iterator[Problem]:
    """Yield a warning for each step of a fault that rests on a trace made after it."""
    for tag, fault in loaded.records.faults.items():
        for index, step in enumerate(fault.steps):
            trace = loaded.records.traces[step.trace] if step.trace else None
            if trace is not None and trace.date > step.date:
                yield Problem(
                    "warning",
                    "date-order",
                    f"{tag}: {step.step} on {step.date}, by trace {step.trace} of {trace.date}",
                    loaded.where("faults", tag, "steps", index, "trace"),
                    "correct one of the dates, or name another trace",
                    related=(loaded.where("traces", step.trace or "", "date"),),
                    subjects=concerned(facts.buildings, loaded, fault),
                )


def _dates_in(value: Any, path: tuple[Step, ...]) -> Iterator[_Dated]:
    """Yield every date in a record, a dict or a tuple of them, in the order of the fields."""
    match value:
        case BaseModel():
            for name, key in _dated_fields(type(value)):
                found = getattr(value, name)
                if isinstance(found, dt.date):
                    begun = getattr(value, END_OF.get(name, ""), None)
                    yield _Dated((*path, key), found, begun)
                elif found:
                    yield from _dates_in(found, (*path, key))
        case dict():
            for key, item in value.items():
                yield from _dates_in(item, (*path, str(key)))
        case tuple():
            for index, item in enumerate(value):
                yield from _dates_in(item, (*path, index))


@cache
def _dated_fields(model: type[BaseModel]) -> tuple[tuple[str, str], ...]:
    """Return the fields that may hold a date at any depth, each with its key in the records.

    Most records hold none; a walk through every field of large records would take seconds.
    """
    return tuple(
        (name, field.alias or name)
        for name, field in model.model_fields.items()
        if _may_hold_a_date(field.annotation)
    )


def _may_hold_a_date(annotation: Any) -> bool:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return bool(_dated_fields(annotation))
    return annotation is dt.date or any(_may_hold_a_date(part) for part in get_args(annotation))


def _place(loaded: LoadedBuilding, dated: _Dated) -> Location:
    section, tag, *keys = dated.path
    return loaded.where(str(section), str(tag), *keys)


def _subjects(facts: Facts, loaded: LoadedBuilding, path: tuple[Step, ...]) -> tuple[str, ...]:
    """Return what a record is about: what it names, or else itself."""
    section, tag, *keys = (str(step) for step in path)
    record = getattr(loaded.records, section)[tag]
    if isinstance(record, Fault | Inspection | Trace):
        return concerned(facts.buildings, loaded, record)
    if section not in ("panels", "equipment", "loads", "sources"):
        return ()
    if "loads" in keys[:-1]:
        return (f"{loaded.id}:{keys[keys.index('loads') + 1]}",)
    return (f"{loaded.id}:{tag}/{keys[1]}" if keys[0] == "circuits" else f"{loaded.id}:{tag}",)
