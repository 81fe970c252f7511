"""Worksheets: blanks to print and take along, made out for what is recorded, and empty ones.

One for each purpose of a trace, for the life of a fault and for inspections. The fields stand in
the order and under the keys of the record that they become. A panel has a sheet for readings at
its positions, which is used at the panel, and one for what is downstream, which is carried through
the rooms; a run has one sheet for all that is traced along it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from recordgen.evidence.follow_run import PURPOSES as FOLLOW
from recordgen.evidence.run_places import DIGGING
from recordgen.evidence.run_readings import PURPOSES as LOCATE
from recordgen.pages import paths
from recordgen.pages.page import Heading, Page
from recordgen.pages.view import View
from recordgen.pages.worksheet_faults import fault_page, open_faults
from recordgen.pages.worksheet_inspections import (
    LOCKOUT_QUESTIONS,
    inspection_sheet,
    lockout_sheets_due,
)
from recordgen.pages.worksheet_panels import panel_pages
from recordgen.pages.worksheet_parts import choices
from recordgen.pages.worksheet_runs import bundle_pages, bundles, distance_blanks, run_page
from recordgen.pages.worksheet_traces import trace_sheet
from recordgen.pages.worksheet_wording import NO_RECORD_PROVES
from recordgen.records.field import Trace

PURPOSES: Final = choices(Trace, "purpose")
LABELS: Final = (
    *((purpose, purpose[0].upper() + purpose[1:]) for purpose in PURPOSES),
    ("fault", "Life of a fault"),
    ("lockout sheet", "Inspection of a lockout sheet"),
    ("directory walk-through", "Directory walk-through"),
)
"""What there is an empty worksheet for, and what it is called."""

_ROWS: Final = 14
_TIES: Final = 6


def pages(view: View) -> Iterator[Page]:
    """Yield the worksheets of every building, and the page that lists them."""
    for building, loaded in view.portfolio.buildings.items():
        yield _index(view, building)
        for purpose, _ in LABELS:
            yield _empty(view, building, purpose)
        for tag in loaded.records.panels:
            yield from panel_pages(view, building, tag)
        for tag in loaded.records.runs:
            yield run_page(view, building, tag)
        yield from bundle_pages(view, building)
        for tag in open_faults(view, building):
            yield fault_page(view, building, tag)


def _index(view: View, building: str) -> Page:
    records = view.loaded(building).records
    title = f"Worksheets: {records.building.name}"
    return view.page(
        paths.index(building, "worksheets"),
        title,
        "worksheets.html",
        building=building,
        nav="Worksheets",
        contents=[
            Heading(1, "top", title),
            Heading(2, "empty", "Empty ones"),
            Heading(2, "panels", "By panel"),
            Heading(2, "others", "By run, bundle and open fault"),
        ],
        context={
            "empty": [(paths.worksheet(building, purpose), label) for purpose, label in LABELS],
            "panels": [
                (
                    f"{building}:{tag}",
                    panel.room or "",
                    paths.worksheet(building, "identify the breaker", tag),
                    paths.worksheet(building, "list what is downstream", tag),
                    paths.worksheet(building, "directory walk-through", tag),
                )
                for tag, panel in records.panels.items()
            ],
            "groups": [
                (
                    "Runs",
                    [
                        (paths.worksheet(building, "along a run", tag), tag, run.description or "")
                        for tag, run in records.runs.items()
                    ],
                ),
                (
                    "Bundles",
                    [
                        (
                            paths.worksheet(building, "sort a bundle", name),
                            name,
                            f"{len(cables)} cable{'' if len(cables) == 1 else 's'} recorded",
                        )
                        for name, cables in bundles(view, building).values()
                    ],
                ),
                (
                    "Open faults",
                    [
                        (
                            paths.worksheet(building, "fault", tag),
                            tag,
                            records.faults[tag].description,
                        )
                        for tag in open_faults(view, building)
                    ],
                ),
            ],
        },
    )


def _empty(view: View, building: str, purpose: str) -> Page:
    """Return the worksheet that is made out for nothing."""
    if purpose == "fault":
        return fault_page(view, building)
    template, context = _content(view, building, purpose)
    title = f"Worksheet: {dict(LABELS)[purpose].lower()}"
    return view.page(
        paths.worksheet(building, purpose),
        title,
        template,
        building=building,
        contents=[Heading(1, "top", title)],
        context={"cautions": NO_RECORD_PROVES, "purpose": purpose, "tag": "", **context},
    )


def _content(view: View, building: str, purpose: str) -> tuple[str, dict[str, Any]]:
    panel = {"rows": None, "devices": (), "unknown_positions": _ROWS, "stops": None, "name": ""}
    if purpose == "lockout sheet":
        return "worksheet_lockout.html", {
            "sheet": inspection_sheet(purpose),
            "questions": LOCKOUT_QUESTIONS,
            "due": lockout_sheets_due(view, building),
        }
    if purpose == "directory walk-through":
        return "worksheet_walk.html", {"sheet": inspection_sheet(purpose), **panel}
    sheet = trace_sheet(view, building, purpose)
    if purpose == "identify the breaker":
        covers = [
            (tag, record.room or "") for tag, record in view.loaded(building).records.panels.items()
        ]
        return "worksheet_breakers.html", {
            "sheet": sheet,
            **panel,
            "covers": covers,
            "more_covers": 2,
            "ties": _TIES,
        }
    if purpose == "list what is downstream":
        return "worksheet_found.html", {"sheet": sheet, "more": _ROWS}
    if purpose in (*FOLLOW, *LOCATE):
        return "worksheet_run.html", {
            "sheet": sheet,
            "run": None,
            "rows": (),
            "more": _ROWS,
            "distances": distance_blanks(purpose),
            # Said by the cautions already where the cable is known to lie in the ground.
            "digging": DIGGING if purpose in LOCATE else "",
            "fibre": "",
        }
    return "worksheet_bundle.html", {
        "sheet": sheet,
        "bundle": "",
        "rows": (),
        "more": _ROWS,
        "fibre": "",
    }
