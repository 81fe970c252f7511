"""Periodic inspections that are overdue or due soon, and who did the last one.

Passing: `date: 2026-02-24`
Failing: `date: 2025-02-24`

Both are the last inspection of a lockout sheet, on a day in November 2026. What was never
inspected has no day to count from, and is no finding here.
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.checks.facts import Facts
from recordgen.evidence.due import AS_RECORDED, Due, inspected_by_user, inspections_due
from recordgen.network.model import local
from recordgen.problems import Location, Problem

_DONE = {
    "lockout sheet": "the inspection of the lockout sheet",
    "directory walk-through": "the walk-through of the directory",
    "arc-flash label review": "the review of the arc-flash label",
    "thermographic survey": "the thermographic survey",
}


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning where overdue, a note where due soon, a warning where a user inspected."""
    for due in inspections_due(facts.buildings, facts.as_of):
        if due.due is not None and due.state in ("overdue", "due soon"):
            late = due.state == "overdue"
            yield Problem(
                "warning" if late else "note",
                "inspection-overdue" if late else "inspection-due",
                f"{_DONE[due.kind]} of {', '.join(local(subject) for subject in due.subjects)} "
                f"{'was' if late else 'is'} due by {due.due} ({due.basis})"
                f"{'' if due.last is None else f'; last done on {due.last}'}",
                _place(facts, due),
                "do it, and record it under `inspections`",
                subjects=due.subjects,
            )
        if due.inspection is not None:
            yield from _by_user(facts, due, due.inspection)


def _by_user(facts: Facts, due: Due, tag: str) -> Iterator[Problem]:
    loaded = facts.buildings[due.building]
    inspection = loaded.records.inspections[tag]
    if inspected_by_user(inspection):
        yield Problem(
            "warning",
            "inspected-by-user",
            f"{inspection.by} inspected the lockout sheet of "
            f"{', '.join(local(subject) for subject in due.subjects)} and stands "
            "among its employees; 29 CFR 1910.147(c)(6)(i)(A) wants somebody other than those who "
            "use it",
            loaded.where("inspections", tag, "by"),
            "let somebody inspect it who does not use it",
            subjects=due.subjects,
        )


def _place(facts: Facts, due: Due) -> Location:
    """Return the place of the recorded day, or of the day that a rule counts from."""
    if due.inspection is not None:
        inspection = facts.buildings[due.building].records.inspections[due.inspection]
        name = "next_due" if inspection.next_due is not None else "date"
    else:
        name = "review_due" if due.basis == AS_RECORDED else "study_date"
    return facts.buildings[due.building].where(*due.where, name)
