"""The first page: every building with what needs attention in it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from recordgen.evidence.fault_life import status
from recordgen.pages import paths
from recordgen.pages.page import Heading, Page
from recordgen.pages.share import Share, share_of
from recordgen.pages.view import View


@dataclass(frozen=True)
class BuildingLine:
    """A building with its counts; `share` is None where it has no loads."""

    id: str
    name: str
    use: str
    panels: int
    circuits: int
    loads: int
    share: Share | None
    stops: int
    warnings: int
    open_faults: int


def building_line(view: View, building: str) -> BuildingLine:
    """Return the counts of a building."""
    records = view.loaded(building).records
    coverage = view.portfolio.shares.buildings[building]
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
        loads=coverage.total,
        share=share_of(coverage),
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
            "all_audit": paths.ALL_AUDIT,
            "hrefs": {
                line.id: paths.relative(paths.building(line.id), paths.PORTFOLIO) for line in lines
            },
        },
    )
