"""Feeders of a building in one table: from where to where, by what, and how full."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from recordgen.calc.answer import NoValue
from recordgen.calc.study.distribution import Element
from recordgen.calc.study.study import Study
from recordgen.network.model import building_of
from recordgen.pages import paths
from recordgen.pages.calculated import NOT_KNOWN, amount_text, answer_text, exceeds, percent_text
from recordgen.pages.page import Heading, Page
from recordgen.pages.view import View
from recordgen.pages.wording import SCREENING
from recordgen.records.parts import Conductors

TITLE = "Feeders"


@dataclass(frozen=True)
class FeederLine:
    """A feeder; every cell is a finished text, empty where nothing is recorded.

    `tag` is the full tag of what it feeds, `feed` that of what it hangs on.
    """

    tag: str
    feed: str
    conductors: str
    device: str
    demand: str
    used: str
    full: bool
    percent: float
    cells: tuple[tuple[str, str], ...]


def pages(view: View) -> Iterator[Page]:
    """Yield the feeder table of every building."""
    study = view.portfolio.study
    for building in view.portfolio.buildings:
        lines = [
            _line(study, element)
            for tag, element in study.distribution.elements.items()
            if building_of(tag) == building and element.feed and element.kind != "circuit"
        ]
        lines.sort(key=lambda line: (-line.percent, line.tag))
        title = f"{TITLE}: {view.building_name(building)}"
        yield view.page(
            paths.index(building, "feeders"),
            title,
            "feeders.html",
            building=building,
            nav=TITLE,
            depends_on=view.network_digest(building),
            contents=[Heading(1, "top", title)],
            context={
                "lines": lines,
                "headings": [label for label, _ in lines[0].cells] if lines else [],
                "screening": SCREENING,
            },
        )


def _line(study: Study, element: Element) -> FeederLine:
    feed = study.distribution.elements[element.feed or ""]
    # What is behind the device that feeds it: a circuit carries what its feeder carries.
    fed_by = study.capacity.of(feed.tag) if feed.kind == "circuit" else None
    own = study.capacity.of(element.tag)
    limits = [
        *((capacity, limit) for capacity in (own, fed_by) if capacity for limit in capacity.limits)
    ]
    fullest = max(limits, key=lambda pair: pair[1].percent, default=None)
    least = "at least " if own.needs else ""
    demand_a = own.loading.demand_a
    used = NOT_KNOWN
    if fullest is not None:
        capacity, limit = fullest
        of = f"{limit.what}, {limit.written}"
        used = f"{'at least ' if capacity.needs else ''}{percent_text(limit.percent)} of {of}"
    answer = study.conductors.of(element.tag)
    device = answer if isinstance(answer, NoValue) else answer.device
    return FeederLine(
        tag=element.tag,
        feed=feed.tag,
        conductors=conductors_text(element.conductors),
        device=NOT_KNOWN if isinstance(device, NoValue) else str(device),
        demand=NOT_KNOWN if demand_a is None else f"{least}{amount_text(demand_a, 'A')}",
        used=used,
        full=fullest is not None and exceeds(fullest[1].percent),
        percent=fullest[1].percent if fullest else -1.0,
        cells=tuple(cell(study, element) for cell in CELLS),
    )


def conductors_text(conductors: Conductors | None) -> str:
    """Return recorded conductors in short: "2 × 3/0 AWG Cu THHN, EMT, 95 ft"."""
    if conductors is None or conductors.size is None:
        return ""
    sets = f"{conductors.parallel} × " if (conductors.parallel or 1) > 1 else ""
    kind = f" {conductors.insulation}" if conductors.insulation else ""
    raceway = f", {conductors.raceway}" if conductors.raceway else ""
    length = "length not recorded" if conductors.length_m is None else str(conductors.length_m)
    return f"{sets}{conductors.size}{kind}{raceway}, {length}"


def _ampacity(study: Study, element: Element) -> tuple[str, str]:
    found = study.conductors.of(element.tag)
    answer = found if isinstance(found, NoValue) else found.ampacity
    return "Allowable ampacity", answer_text(answer)


def _drop(study: Study, element: Element) -> tuple[str, str]:
    found = study.voltages.of(element.tag).drop_percent
    return "Drop", "" if found is None else answer_text(found)


def _fault(study: Study, element: Element) -> tuple[str, str]:
    return "Fault current", answer_text(study.faults.at(element.tag).largest.largest_a)


Cell = Callable[[Study, Element], tuple[str, str]]
CELLS: Final[tuple[Cell, ...]] = (_ampacity, _drop, _fault)
"""Columns of the table after the fixed ones: heading and text of a feeder."""
