"""Audit: what an auditor asks first, of one building and of all, with where it is recorded."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from recordgen.evidence.calibration import calibration_on, uses
from recordgen.evidence.changes import Change, changes
from recordgen.evidence.coverage import Coverage, by_building
from recordgen.evidence.due import DUE_STATES, Due, inspections_due
from recordgen.network.model import building_of
from recordgen.pages import paths
from recordgen.pages.fault_values import FaultFacts
from recordgen.pages.page import Heading, Page
from recordgen.pages.view import View
from recordgen.problems import Location, Problem, Severity

_SEVERITIES: tuple[tuple[Severity, str], ...] = (
    ("stop", "STOP"),
    ("warning", "Warnings"),
    ("note", "Notes"),
)
_URGENT = ("overdue", "due soon", "no day recorded")


@dataclass(frozen=True)
class Finding:
    """A finding and the building whose files it stands in."""

    building: str
    problem: Problem


@dataclass(frozen=True)
class Group:
    """Findings of one severity; `codes` is kind of finding → how many, the most first."""

    severity: Severity
    heading: str
    findings: tuple[Finding, ...]
    codes: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class Verified:
    """How much of a building is verified."""

    building: str
    name: str
    coverage: Coverage
    percent: str


@dataclass(frozen=True)
class DueLine:
    """Something to be inspected again; `place` is where its day is recorded."""

    due: Due
    late: str
    place: Location


@dataclass(frozen=True)
class UseLine:
    """A use of an instrument that was out of calibration, or is not shown to have been in it."""

    building: str
    instrument: str
    date: dt.date
    record: str
    section: str
    verdict: str
    reason: str
    place: Location


@dataclass(frozen=True)
class ChangeLine:
    """Something dated; `place` is where it is recorded."""

    change: Change
    place: Location


@dataclass(frozen=True)
class Month:
    """What is dated in one month; `anchor` is `2026-03`."""

    anchor: str
    lines: tuple[ChangeLine, ...]


class _Audit:
    """What the audit pages share, worked out once."""

    def __init__(self, view: View) -> None:
        self.view = view
        self.buildings = view.portfolio.buildings
        self.as_of = view.portfolio.as_of
        # The 28th exists in every month; a day or two more do no harm.
        self.since = self.as_of.replace(year=self.as_of.year - 1, day=min(self.as_of.day, 28))

    @cached_property
    def coverage(self) -> Mapping[str, Coverage]:
        return by_building(self.buildings, self.view.portfolio.grades)

    @cached_property
    def due(self) -> tuple[Due, ...]:
        found = [d for d in inspections_due(self.buildings, self.as_of) if d.state in _URGENT]
        found.sort(key=lambda d: (DUE_STATES.index(d.state), d.due or dt.date.max))
        return tuple(found)

    @cached_property
    def changes(self) -> tuple[Change, ...]:
        return changes(self.buildings)

    @cached_property
    def uses(self) -> tuple[UseLine, ...]:
        return tuple(line for building in self.buildings for line in self._uses(building))

    def _uses(self, building: str) -> Iterator[UseLine]:
        loaded = self.buildings[building]
        for use in uses(loaded.records):
            if not use.measures or use.date > self.as_of:
                continue
            found = calibration_on(loaded.records.instruments[use.instrument], use.date)
            if found.verdict != "in calibration":
                yield UseLine(
                    building,
                    use.instrument,
                    use.date,
                    use.record,
                    use.section,
                    found.verdict,
                    found.reasons[0],
                    loaded.where(*use.where),
                )

    def place(self, change: Change) -> Location:
        return self.buildings[change.building].where(*change.where)


def pages(view: View) -> Iterator[Page]:
    """Yield the audit page of the portfolio, and that of every building."""
    audit = _Audit(view)
    names = list(view.portfolio.buildings)
    yield _page(audit, names, paths.ALL_AUDIT, "Audit: all buildings", None)
    for building in names:
        title = f"Audit: {view.building_name(building)}"
        yield _page(audit, [building], paths.index(building, "audit"), title, building)


def _page(audit: _Audit, names: Sequence[str], path: str, title: str, building: str | None) -> Page:
    view = audit.view
    faults = _open_faults(view, names)
    due = [_due_line(audit, d) for d in audit.due if d.building in names]
    later = [c for c in audit.changes if c.building in names and c.date > audit.as_of]
    recent = [
        c for c in audit.changes if c.building in names and audit.since <= c.date <= audit.as_of
    ]
    groups = [_group(view, names, severity, heading) for severity, heading in _SEVERITIES]
    instrument_uses = [line for line in audit.uses if line.building in names]
    return view.page(
        path,
        title,
        "audit.html",
        building=building,
        nav="Audit" if building else "Audit, all buildings",
        searched=True,
        contents=[
            Heading(1, "top", title),
            Heading(2, "findings", "Findings"),
            Heading(2, "verified", "How much is verified"),
            Heading(2, "due", "Overdue and due"),
            Heading(2, "instruments", "Instruments out of calibration"),
            Heading(2, "faults", "Open faults, the oldest first"),
            Heading(2, "changed", "What changed"),
        ],
        context={
            "buildings": [(name, view.building_name(name)) for name in names],
            "one": building,
            "groups": groups,
            "verified": [_verified(audit, name) for name in names],
            "due": due,
            "overdue": sum(line.due.state == "overdue" for line in due),
            "uses": instrument_uses,
            "out": sum(line.verdict == "out of calibration" for line in instrument_uses),
            "faults": faults,
            "oldest": next((f.days for f in faults if f.days is not None), None),
            "later": [ChangeLine(c, audit.place(c)) for c in later],
            "months": _months(audit, recent),
            "since": audit.since.isoformat(),
            "as_of": audit.as_of.isoformat(),
            "place_of": {
                "audit": {name: _link(path, paths.index(name, "audit")) for name in names},
                "findings": {name: _link(path, paths.index(name, "findings")) for name in names},
                "faults": _link(
                    path, paths.index(building, "faults") if building else paths.ALL_FAULTS
                ),
            },
        },
    )


def _link(page: str, target: str) -> str:
    return paths.relative(target, page)


def _group(view: View, names: Sequence[str], severity: Severity, heading: str) -> Group:
    found = [
        Finding(name, problem)
        for name in names
        for problem in view.findings(name)
        if problem.severity == severity
    ]
    counts = Counter(finding.problem.code for finding in found)
    return Group(severity, heading, tuple(found), tuple(counts.most_common()))


def _verified(audit: _Audit, name: str) -> Verified:
    coverage = audit.coverage[name]
    share = coverage.verified_percent
    percent = "no loads recorded" if share is None else f"{share:.0f} %"
    return Verified(name, audit.view.building_name(name), coverage, percent)


def _due_line(audit: _Audit, due: Due) -> DueLine:
    late = ""
    if due.due is not None:
        days = (audit.as_of - due.due).days
        late = f"{days} d late" if days > 0 else f"in {-days} d"
    return DueLine(due, late, audit.buildings[due.building].where(*due.where))


def _open_faults(view: View, names: Sequence[str]) -> list[FaultFacts]:
    """Return the open faults, the oldest first; those whose age cannot be told before all others.

    An age that is not recorded may be the highest.
    """
    found = [f for f in view.faults.all.values() if f.is_open and building_of(f.tag) in names]
    found.sort(key=lambda f: (f.days is not None, -(f.days or 0), f.tag))
    return found


def _months(audit: _Audit, found: Iterable[Change]) -> tuple[Month, ...]:
    together: dict[str, list[ChangeLine]] = {}
    for change in found:
        line = ChangeLine(change, audit.place(change))
        together.setdefault(f"{change.date:%Y-%m}", []).append(line)
    return tuple(Month(anchor, tuple(lines)) for anchor, lines in together.items())
