"""Overview of a building: its panels, what is known, what needs attention, whom to tell."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from recordgen.pages import paths
from recordgen.pages.describe import Fact, facts
from recordgen.pages.finder import finder_file
from recordgen.pages.page import Heading, Page
from recordgen.pages.portfolio_page import building_line
from recordgen.pages.print_changes import changes_file
from recordgen.pages.share import Share, share_of
from recordgen.pages.view import View


@dataclass(frozen=True)
class PanelLine:
    """A panel in the list of a building; `fed_from` are full tags."""

    tag: str
    name: str
    system: str
    room: str
    fed_from: tuple[str, ...]
    circuits: int
    share: Share | None
    stop: bool


FIRST = (
    ("planner", "Plan an outage"),
    ("one-line", "One-line diagram"),
    ("rooms/index", "Rooms"),
)
"""What is asked for most, besides a panel."""
MORE = (
    (
        "What is here",
        (
            ("equipment", "Sources and equipment"),
            ("feeders", "Feeders"),
            ("labels/index", "Labels"),
            ("cables", "Cables and runs"),
        ),
    ),
    (
        "In the field",
        (
            ("faults", "Faults"),
            ("traces", "Traces"),
            ("trace-next", "What to trace next"),
            ("worksheets", "Worksheets"),
        ),
    ),
    (
        "For the auditor",
        (
            ("audit", "Audit"),
            ("inspections", "Inspections"),
            ("instruments", "Instruments"),
            ("findings", "Findings"),
            ("missing", "What is missing"),
        ),
    ),
)
"""Every other index of a building, by who asks for it."""


def pages(view: View) -> Iterator[Page]:
    """Yield the overview of every building."""
    for building, loaded in view.portfolio.buildings.items():
        record = loaded.records.building
        line = building_line(view, building)
        stops = [p for p in view.findings(building) if p.severity == "stop"]
        title = record.name
        yield view.page(
            paths.building(building),
            title,
            "overview.html",
            building=building,
            nav=record.name,
            searched=True,
            scripts=paths.FINDER_SCRIPTS,
            files=(finder_file(view, building), changes_file(view, building)),
            contents=[
                Heading(1, "top", title),
                Heading(2, "panels", "Panels"),
                Heading(2, "more", "More of this building"),
                Heading(2, "building", "The building"),
            ],
            context={
                "building": building,
                "finder": paths.relative(paths.finder_data(building), paths.building(building)),
                "line": line,
                "panels": [_panel(view, building, tag) for tag in loaded.records.panels],
                "first": _linked(building, FIRST),
                "more": [(heading, _linked(building, names)) for heading, names in MORE],
                "stops": stops,
                "facts": (*facts(record, skip=("name", "notify")), *_owner(record.record_owner)),
                "contacts": record.notify,
            },
        )


def _linked(building: str, names: Iterable[tuple[str, str]]) -> list[tuple[str, str]]:
    """Return path and label of indexes."""
    return [(paths.index(building, name), label) for name, label in names]


def _owner(owner: str | None) -> tuple[Fact, ...]:
    return () if owner else (Fact("Record owner", "", known=False),)


def _panel(view: View, building: str, tag: str) -> PanelLine:
    panel = view.loaded(building).records.panels[tag]
    full = f"{building}:{tag}"
    tags = [full, *(f"{full}/{position}" for position in panel.circuits)]
    fed_from = [ref if ref.building else f"{building}:{ref}" for ref in panel.fed_from or ()]
    return PanelLine(
        tag=full,
        name=panel.name or "",
        system=str(panel.system) if panel.system else "",
        room=panel.room or "",
        fed_from=tuple(view.canonical(str(ref)) for ref in fed_from),
        circuits=sum(not circuit.space for circuit in panel.circuits.values()),
        share=share_of(view.portfolio.shares.panels.get(full)),
        stop=bool(view.answers.stops(tags)),
    )
