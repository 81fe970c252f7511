"""Periodic inspections: what was inspected last, by when it is due again, and who looked.

A day that is recorded (`next_due`, `review_due`) holds, but never later than a rule allows:
lockout sheets are inspected at least annually (29 CFR 1910.147(c)(6)(i), read), arc-flash labels
are reviewed at least every five years (NFPA 70E 130.5, from memory). For thermographic surveys and
walk-throughs of the directory only the owner's day counts.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final, Literal, get_args

from recordgen.evidence.calibration import Where
from recordgen.evidence.concerned import full_tag
from recordgen.evidence.periodic import due_on
from recordgen.network.model import building_of
from recordgen.records.field import Inspection
from recordgen.records.loader import LoadedBuilding
from recordgen.records.parts import ArcFlashLabel

InspectionKind = Literal[
    "lockout sheet", "directory walk-through", "arc-flash label review", "thermographic survey"
]
DueState = Literal["overdue", "due soon", "in time", "no day recorded"]
DUE_STATES: Final[tuple[DueState, ...]] = get_args(DueState)

SOON_D: Final = 30
"""So many days ahead a thing is called due soon: own choice, time enough to plan an outage."""

AS_RECORDED: Final = "as recorded"
EVERY_YEARS: Final[Mapping[str, tuple[int, str]]] = {
    "lockout sheet": (1, "29 CFR 1910.147(c)(6)(i): at least annually"),
    "arc-flash label review": (5, "NFPA 70E 130.5 (from memory): at least every five years"),
}
"""Kind → at least once in so many years, and by which rule."""


@dataclass(frozen=True)
class Due:
    """When something is due to be inspected again.

    Attributes
    ----------
    kind : InspectionKind
    subjects : tuple of str
        Full tags of what was inspected together and not since.
    building : str
        Where it is recorded.
    inspection : str or None
        The latest inspection; None where the label itself is the latest that is known.
    where : tuple of str or int
        Section, tag and keys down to what the day is counted from.
    last : date or None
        None where that day is not recorded.
    due : date or None
        The last day that is in time; None where neither a day nor a rule gives one.
    basis : str
        What gives that day.
    state : DueState
    """

    kind: InspectionKind
    subjects: tuple[str, ...]
    building: str
    inspection: str | None
    where: Where
    last: dt.date | None
    due: dt.date | None
    basis: str
    state: DueState


@dataclass(frozen=True)
class _Done:
    """One inspection of one thing, or the label on it."""

    kind: InspectionKind
    building: str
    inspection: str | None
    where: Where
    last: dt.date | None
    named: dt.date | None


def inspections_due(buildings: Mapping[str, LoadedBuilding], as_of: dt.date) -> tuple[Due, ...]:
    """Return when everything that was ever inspected is due again.

    Parameters
    ----------
    buildings : mapping of str to LoadedBuilding
        Building id → its records.
    as_of : date
        The day to judge for; what is dated later is left out.

    Returns
    -------
    tuple of Due
        In order of the records; things whose latest inspection is the same one stand together.
        What nobody ever inspected is not among them: it has no day to count from.
    """
    latest: dict[tuple[InspectionKind, str], _Done] = {}
    for loaded in buildings.values():
        for subject, done in _all_done(buildings, loaded):
            if done.last is not None and done.last > as_of:
                continue
            before = latest.get((done.kind, subject))
            # A label without its day says less than any inspection with one.
            if before is None or (done.last or dt.date.min) >= (before.last or dt.date.min):
                latest[done.kind, subject] = done
    together: dict[_Done, list[str]] = {}
    for (_, subject), done in latest.items():
        together.setdefault(done, []).append(subject)
    return tuple(_due(done, tuple(subjects), as_of) for done, subjects in together.items())


def due_by(kind: str, last: dt.date | None, named: dt.date | None) -> tuple[dt.date | None, str]:
    """Return the last day in time for the next inspection, and what gives it.

    Parameters
    ----------
    kind : str
        As an inspection names it.
    last : date or None
        The day of the last one; None where not recorded.
    named : date or None
        The day that the record names for the next; None where it names none.

    Returns
    -------
    tuple of (date or None, str)
        The earlier of the recorded day and the one that a rule gives.

    Examples
    --------
    >>> due_by("lockout sheet", dt.date(2025, 9, 16), dt.date(2027, 9, 16))
    (datetime.date(2026, 9, 16), '29 CFR 1910.147(c)(6)(i): at least annually')
    >>> due_by("thermographic survey", dt.date(2025, 9, 16), None)
    (None, 'no day is recorded')
    """
    years, rule = EVERY_YEARS.get(kind, (None, ""))
    if years is not None and last is not None:
        by_rule = due_on(last, years)
        if named is None or by_rule < named:
            return by_rule, rule
    return (named, AS_RECORDED) if named is not None else (None, "no day is recorded")


def inspected_by_user(inspection: Inspection) -> bool:
    """Return whether the inspector of a lockout sheet is recorded among those who use it.

    Parameters
    ----------
    inspection : Inspection

    Returns
    -------
    bool
        False for other kinds of inspection.

    Notes
    -----
    29 CFR 1910.147(c)(6)(i)(A) (read): done by an authorized employee other than those who
    use the procedure that is inspected. Names are held against each other letter for letter, but
    for capitals: one person under two names is not noticed.

    Examples
    --------
    >>> inspected_by_user(
    ...     Inspection(kind="lockout sheet", of="AHU-1", date="2026-01-05", by="JD", employees="JD")
    ... )
    True
    """
    users = {name.casefold().strip() for name in inspection.employees}
    return inspection.kind == "lockout sheet" and inspection.by.casefold().strip() in users


def _all_done(
    buildings: Mapping[str, LoadedBuilding], loaded: LoadedBuilding
) -> Iterator[tuple[str, _Done]]:
    """Yield what is labelled or was inspected, full tags, with when; labels first."""
    for tag, label, path in _labels(loaded):
        if label is not None and (label.study_date or label.review_due):
            where = (*path, "arc_flash")
            yield (
                f"{loaded.id}:{tag}",
                _Done(
                    "arc-flash label review",
                    loaded.id,
                    None,
                    where,
                    label.study_date,
                    label.review_due,
                ),
            )
    for tag, record in loaded.records.inspections.items():
        own_place = ("inspections", tag)
        done = _Done(record.kind, loaded.id, tag, own_place, record.date, record.next_due)
        for reference in record.of:
            # A cable is no part of the network, and is known by its own tag.
            own = f"{reference.building or loaded.id}:{reference.tag}"
            yield full_tag(buildings, loaded, reference) or own, done


def _labels(loaded: LoadedBuilding) -> Iterator[tuple[str, ArcFlashLabel | None, Where]]:
    """Yield everything that may bear a label: its tag, the label, its section and keys."""
    records = loaded.records
    for tag, panel in records.panels.items():
        yield tag, panel.arc_flash, ("panels", tag)
        for position, circuit in panel.circuits.items():
            path = ("panels", tag, "circuits", str(position))
            yield f"{tag}/{position}", circuit.arc_flash, path
    for tag, equipment in records.equipment.items():
        yield tag, equipment.arc_flash, ("equipment", tag)
    for tag, source in records.sources.items():
        yield tag, source.arc_flash, ("sources", tag)
    for tag, recorded in loaded.loads.items():
        section, owner, *keys = recorded.path
        yield tag, recorded.load.arc_flash, (section, owner, *keys)


def _due(done: _Done, subjects: tuple[str, ...], as_of: dt.date) -> Due:
    due, basis = due_by(done.kind, done.last, done.named)
    state: DueState = "in time"
    if due is None:
        state = "no day recorded"
    elif as_of > due:
        state = "overdue"
    elif (due - as_of).days <= SOON_D:
        state = "due soon"
    return Due(
        done.kind,
        subjects,
        done.building,
        done.inspection,
        done.where,
        done.last,
        due,
        basis,
        state,
    )


def of_building(found: tuple[Due, ...], building: str) -> tuple[Due, ...]:
    """Return what is due for things in one building, by state and day, the most urgent first."""
    mine = [due for due in found if any(building_of(tag) == building for tag in due.subjects)]
    mine.sort(key=lambda due: (DUE_STATES.index(due.state), due.due or dt.date.max))
    return tuple(mine)
