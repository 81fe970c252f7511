"""What happened on which day, as far as the records are dated: for the auditor's next visit.

Records say what holds now; what they said before is in their version history. Here stands every day
that a record names: traces, steps of faults, inspections, calibrations, changed circuits, locks,
positions other than normal, temporary feeds, studies and measured demands.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from pydantic import BaseModel

from recordgen.evidence.calibration import Where
from recordgen.evidence.concerned import concerned
from recordgen.records.loader import LoadedBuilding
from recordgen.records.parts import (
    ArcFlashLabel,
    Checked,
    LockInForce,
    Placed,
    Present,
    TemporaryFeed,
)
from recordgen.records.supply import Circuit, Demand, RecordedFault

_PLACES: Final = ("sources", "panels", "equipment", "loads")
_SINGULAR: Final = {"circuits": "circuit", "panels": "panel", "loads": "load"}


@dataclass(frozen=True)
class Change:
    """Something that happened on a day.

    Attributes
    ----------
    date : date
    building : str
    section, record : str
        Where it is recorded: `faults` and the tag of the fault, `panels` and the tag of the panel.
    what : str
        A sentence without a full stop, in lower case.
    by : str
        Who; empty where not recorded.
    where : tuple of str or int
        Section, tag and keys down to the entry.
    about : tuple of str
        Full tags of circuits, panels, equipment and loads that it touches.
    """

    date: dt.date
    building: str
    section: str
    record: str
    what: str
    by: str
    where: Where
    about: tuple[str, ...]


def changes(buildings: Mapping[str, LoadedBuilding]) -> tuple[Change, ...]:
    """Return everything that is dated.

    Parameters
    ----------
    buildings : mapping of str to LoadedBuilding
        Building id → its records.

    Returns
    -------
    tuple of Change
        The latest first; those of one day by building and in the order of the records. What is
        dated after the day that everything is computed for is among them.
    """
    found = [change for loaded in buildings.values() for change in _all(buildings, loaded)]
    found.sort(key=lambda change: (-change.date.toordinal(), change.building))
    return tuple(found)


def _all(buildings: Mapping[str, LoadedBuilding], loaded: LoadedBuilding) -> Iterator[Change]:
    records, here = loaded.records, loaded.id
    for tag, trace in records.traces.items():
        about = concerned(buildings, loaded, trace)
        said = f"trace to {trace.purpose}"
        if trace.conclusion:
            said += f": {trace.conclusion}"
        where: Where = ("traces", tag)
        yield Change(trace.date, here, "traces", tag, said, trace.by, where, about)
    for tag, fault in records.faults.items():
        about = concerned(buildings, loaded, fault)
        for index, step in enumerate(fault.steps):
            said = f"{fault.kind} {step.step}" + (f": {step.what}" if step.what else "")
            where = ("faults", tag, "steps", index)
            yield Change(step.date, here, "faults", tag, said, step.by, where, about)
    for tag, inspection in records.inspections.items():
        about = concerned(buildings, loaded, inspection)
        said = inspection.kind + (f": {inspection.found}" if inspection.found else "")
        where = ("inspections", tag)
        yield Change(inspection.date, here, "inspections", tag, said, inspection.by, where, about)
    for tag, instrument in records.instruments.items():
        if instrument.calibrated is not None:
            said = f"{instrument.kind} calibrated"
            where = ("instruments", tag, "calibrated")
            yield Change(instrument.calibrated, here, "instruments", tag, said, "", where, ())
    for section in _PLACES:
        for tag, record in getattr(records, section).items():
            yield from _inside(here, record, (section, tag), tag)


def _inside(here: str, record: object, where: Where, about: str) -> Iterator[Change]:
    """Yield what is dated in a part of a record; `about` is the tag of what it belongs to."""
    if isinstance(record, BaseModel):
        dated = _dated(record, where)
        if dated is not None:
            day, said, by = dated
            section, tag = where[0], where[1]
            yield Change(day, here, section, tag, said, by, where, (f"{here}:{about}",))
        fields = type(record).model_fields
        for name in fields:
            # Only what was written can hold a day.
            if name in record.model_fields_set:
                key = fields[name].alias or name
                yield from _inside(here, getattr(record, name), (*where, key), about)
    elif isinstance(record, Mapping):
        for key, part in record.items():
            owner = f"{about}/{key}" if where[-1] == "circuits" else str(key)
            yield from _inside(here, part, (*where, str(key)), owner)
    elif isinstance(record, tuple):
        for index, part in enumerate(record):
            yield from _inside(here, part, (*where, index), about)


def _dated(part: BaseModel, where: Where) -> tuple[dt.date, str, str] | None:
    """Return day, sentence and person of a part that names a day."""
    found: tuple[dt.date | None, str, str | None] = (None, "", None)
    match part:
        case Circuit() | Placed():
            # Sources are placed too, and have no such day.
            found = (getattr(part, "changed", None), _changed(where), None)
        case LockInForce():
            found = (part.since, f"locked{_because(part.reason)}", part.by)
        case Present():
            found = (part.since, f"put to {part.position}{_because(part.reason)}", part.by)
        case TemporaryFeed():
            until = f" until {part.until}" if part.until else ""
            said = f"temporary feed from {part.fed_from}{until}{_because(part.reason)}"
            found = (part.since, said, part.by)
        case Checked():
            name = str(where[-1]).removesuffix("_checked").replace("_", " ")
            found = (part.date, f"{name} looked for{_because(part.found)}", part.by)
        case ArcFlashLabel():
            found = (part.study_date, "arc-flash study of its label", None)
        case Demand():
            found = (part.last_day, f"demand of {part.demand_va} recorded to this day", None)
        case RecordedFault():
            found = (part.date, f"fault current of {part.current_a} recorded", part.by)
    day, said, by = found
    return (day, said, by or "") if day is not None else None


def _changed(where: Where) -> str:
    """Return what was changed: a circuit by its position, all else by its section."""
    section = "circuits" if len(where) > 2 and where[-2] == "circuits" else str(where[0])
    if "loads" in where:
        section = "loads"
    return f"{_SINGULAR.get(section, section)} changed"


def _because(reason: str | None) -> str:
    return f": {reason}" if reason else ""
