"""The inspections of a building: what is due and by which rule, what was done, what never was."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from recordgen.evidence.concerned import full_tag
from recordgen.evidence.due import (
    AS_RECORDED,
    EVERY_YEARS,
    Due,
    inspected_by_user,
    inspections_due,
    of_building,
)
from recordgen.network.model import building_of
from recordgen.pages import paths
from recordgen.pages.lockout import targets
from recordgen.pages.page import Heading, Page
from recordgen.pages.trace_values import DayOfUse, day_of_use
from recordgen.pages.view import View
from recordgen.records.field import Inspection
from recordgen.records.positions import Reference

SHEET: Final = "lockout sheet"
_MARKS: Final = {"overdue": "no", "due soon": "unproven", "in time": "yes"}


@dataclass(frozen=True)
class DueLine:
    """Something that is due: `subjects` are full tags, `inspection` a full tag or empty."""

    kind: str
    state: str
    mark: str
    subjects: tuple[str, ...]
    last: str
    due: str
    basis: str
    inspection: str


@dataclass(frozen=True)
class DoneLine:
    """An inspection that was done; `of` are full tags, `users` those who inspected their own."""

    tag: str
    name: str
    anchor: str
    record: Inspection
    date: str
    of: tuple[str, ...]
    by_user: bool
    next_due: str
    instrument: str
    day: DayOfUse | None
    future: bool


@dataclass(frozen=True)
class Year:
    """The inspections of a year, the latest first; `sheets` are the lockout sheets among them."""

    year: int
    lines: tuple[DoneLine, ...]
    sheets: tuple[str, ...]


@dataclass(frozen=True)
class Sheets:
    """The lockout sheets of a building, and which of them were inspected.

    Attributes
    ----------
    total : int
    this_year : tuple of str
        Full tags of those inspected in the year of the page.
    by_user : tuple of str
        Those of them whose inspector stands among those who use them.
    ever : int
        How many were inspected at any time.
    never : mapping of str to tuple of str
        Kind of target → full tags of those that no inspection is recorded of.
    never_count : int
    """

    total: int
    this_year: tuple[str, ...]
    by_user: tuple[str, ...]
    ever: int
    never: Mapping[str, tuple[str, ...]]
    never_count: int


def pages(view: View) -> Iterator[Page]:
    """Yield the list of inspections of every building."""
    as_of = view.portfolio.as_of
    due = inspections_due(view.portfolio.buildings, as_of)
    sheets: dict[str, list[str]] = {}
    for tag in targets(view):
        sheets.setdefault(building_of(tag), []).append(tag)
    done = {
        f"{building}:{tag}": _done(view, building, tag)
        for building, loaded in view.portfolio.buildings.items()
        for tag in loaded.records.inspections
    }
    for building, loaded in view.portfolio.buildings.items():
        title = f"Inspections: {loaded.records.building.name}"
        mine = [
            line
            for line in done.values()
            if building_of(line.tag) == building
            or any(building_of(tag) == building for tag in line.of)
        ]
        years = _by_year(mine)
        yield view.page(
            paths.index(building, "inspections"),
            title,
            "inspections.html",
            building=building,
            nav="Inspections",
            searched=True,
            contents=[
                Heading(1, "top", title),
                Heading(2, "due", "What is due"),
                Heading(2, "sheets", "Lockout sheets"),
                *(Heading(2, f"year-{year.year}", str(year.year)) for year in years),
            ],
            context={
                "due": [_due(line) for line in of_building(due, building)],
                "rules": [f"{kind}: {rule}" for kind, (_, rule) in EVERY_YEARS.items()],
                "sheets": _sheets(view, sheets.get(building, []), mine),
                "years": years,
                "year": as_of.year,
                "as_of": as_of.isoformat(),
                "building": building,
            },
        )


def _due(due: Due) -> DueLine:
    return DueLine(
        kind=due.kind,
        state=due.state,
        mark=_MARKS.get(due.state, "unproven"),
        subjects=due.subjects,
        last=due.last.isoformat() if due.last else "",
        due=due.due.isoformat() if due.due else "",
        basis=_basis(due),
        inspection=f"{due.building}:{due.inspection}" if due.inspection else "",
    )


def _basis(due: Due) -> str:
    """Return what gives the day, and the rule that it may not go beyond."""
    _, rule = EVERY_YEARS.get(due.kind, (0, ""))
    if due.basis != AS_RECORDED or not rule:
        return due.basis
    return f"{due.basis}, within {rule}"


def _done(view: View, building: str, tag: str) -> DoneLine:
    loaded = view.loaded(building)
    record = loaded.records.inspections[tag]
    return DoneLine(
        tag=f"{building}:{tag}",
        name=tag,
        anchor=paths.record_anchor(tag),
        record=record,
        date=record.date.isoformat(),
        of=tuple(_of(view, building, reference) for reference in record.of),
        by_user=inspected_by_user(record),
        next_due=record.next_due.isoformat() if record.next_due else "",
        instrument=f"{building}:{record.instrument}" if record.instrument else "",
        day=(
            day_of_use(view, building, record.instrument, record.date)
            if record.instrument
            else None
        ),
        future=record.date > view.portfolio.as_of,
    )


def _of(view: View, building: str, reference: Reference) -> str:
    """Return the full tag of what was inspected; a cable has its own."""
    found = full_tag(view.portfolio.buildings, view.loaded(building), reference)
    return found or f"{reference.building or building}:{reference.tag}"


def _by_year(lines: list[DoneLine]) -> tuple[Year, ...]:
    years: dict[int, list[DoneLine]] = {}
    for line in sorted(lines, key=lambda line: line.date, reverse=True):
        years.setdefault(line.record.date.year, []).append(line)
    return tuple(
        Year(
            year,
            tuple(found),
            tuple(
                dict.fromkeys(tag for line in found if line.record.kind == SHEET for tag in line.of)
            ),
        )
        for year, found in years.items()
    )


def _sheets(view: View, all_sheets: list[str], lines: list[DoneLine]) -> Sheets:
    as_of = view.portfolio.as_of
    inspected: dict[str, list[int]] = {}
    for line in lines:
        if line.record.kind == SHEET and not line.future:
            for tag in line.of:
                inspected.setdefault(tag, []).append(line.record.date.year)
    never: dict[str, list[str]] = {}
    for tag in all_sheets:
        if tag not in inspected:
            never.setdefault(_kind(view, tag), []).append(tag)
    return Sheets(
        total=len(all_sheets),
        this_year=tuple(tag for tag in all_sheets if as_of.year in inspected.get(tag, ())),
        by_user=tuple(
            dict.fromkeys(
                tag
                for line in lines
                if line.by_user and line.record.date.year == as_of.year and not line.future
                for tag in line.of
            )
        ),
        ever=sum(tag in inspected for tag in all_sheets),
        never={kind: tuple(tags) for kind, tags in never.items()},
        never_count=sum(len(tags) for tags in never.values()),
    )


def _kind(view: View, tag: str) -> str:
    if tag in view.network.loads:
        return "loads"
    if view.is_panel(tag):
        return "panels"
    return "equipment" if view.is_equipment(tag) else "circuits"
