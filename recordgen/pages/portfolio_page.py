"""The first page: every building with what needs attention in it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from recordgen.evidence.fault_life import status
from recordgen.network.model import building_of
from recordgen.pages import paths
from recordgen.pages.page import Heading, Page
from recordgen.pages.view import View


@dataclass(frozen=True)
class BuildingLine:
    """A building with its counts; `known` is the share of loads traced or confirmed, in percent."""

    id: str
    name: str
    use: str
    panels: int
    circuits: int
    loads: int
    known: str
    stops: int
    warnings: int
    open_faults: int


def building_line(view: View, building: str) -> BuildingLine:
    """Return the counts of a building."""
    records = view.loaded(building).records
    loads = [tag for tag in view.network.loads if building_of(tag) == building]
    grades = [view.portfolio.grades.of_load(tag).name for tag in loads]
    known = sum(name != "unverified" for name in grades)
    severities = [p.severity for p in view.findings(building)]
    return BuildingLine(
        id=building,
        name=records.building.name,
        use=records.building.use or "",
        panels=len(records.panels),
        circuits=sum(
            not circuit.space
            for panel in records.panels.values()
            for circuit in panel.circuits.values()
        ),
        loads=len(loads),
        known=f"{100 * known // len(loads)} %" if loads else "no loads",
        stops=severities.count("stop"),
        warnings=severities.count("warning"),
        open_faults=sum(status(fault) != "closed" for fault in records.faults.values()),
    )


def pages(view: View) -> Iterator[Page]:
    """Yield the portfolio page."""
    lines = [building_line(view, building) for building in view.portfolio.buildings]
    title = "Buildings"
    yield view.page(
        paths.PORTFOLIO,
        title,
        "portfolio.html",
        building=None,
        nav="Buildings",
        searched=True,
        contents=[Heading(1, "top", title)],
        context={
            "lines": lines,
            "all_faults": paths.ALL_FAULTS,
            "hrefs": {
                line.id: paths.relative(paths.building(line.id), paths.PORTFOLIO) for line in lines
            },
        },
    )
