"""Findings of a building, gravest first, each with file and line."""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.pages import paths
from recordgen.pages.page import Heading, Page
from recordgen.pages.record_places import RecordPlaces
from recordgen.pages.view import View
from recordgen.problems import Severity

_HEADINGS: tuple[tuple[Severity, str, str], ...] = (
    ("stop", "STOP", "Published with a notice on every page they touch; `check` fails on them."),
    ("warning", "Warnings", "What seems wrong, and gaps that make sheets less certain."),
    ("note", "Notes", "What stands otherwise than normal, and what is worth a look."),
)


def pages(view: View) -> Iterator[Page]:
    """Yield the findings of every building."""
    places = RecordPlaces(view.portfolio.buildings)
    for building, loaded in view.portfolio.buildings.items():
        title = f"Findings: {loaded.records.building.name}"
        found = view.findings(building)
        groups = [
            (severity, heading, text, [p for p in found if p.severity == severity])
            for severity, heading, text in _HEADINGS
        ]
        yield view.page(
            paths.index(building, "findings"),
            title,
            "findings.html",
            building=building,
            nav="Findings",
            searched=True,
            contents=[
                Heading(1, "top", title),
                *(Heading(2, severity, heading) for severity, heading, _, _ in groups),
            ],
            context={
                "groups": groups,
                "faults": {
                    problem: record[1]
                    for problem in found
                    if (record := places.at(problem.location)) and record[0] == "faults"
                },
            },
        )
