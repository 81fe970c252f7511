"""Fault history of a building and of all of them: by year, with who did what, as a file to take."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from recordgen.evidence.fault_life import STEPS
from recordgen.pages import paths
from recordgen.pages.fault_figures import fault_figures
from recordgen.pages.fault_files import fault_files
from recordgen.pages.fault_timeline import LATE, gaps
from recordgen.pages.fault_values import FaultFacts
from recordgen.pages.page import Heading, Page
from recordgen.pages.view import View

SCRIPTS: Final = ("assets/fault-filter.js",)
NO_CIRCUIT: Final = "none"
NO_DAY: Final = "no-day"
"""Anchor of the faults of which the day is not recorded that they were found."""


@dataclass(frozen=True)
class StepCell:
    """One kind of step of a fault: days and by whom; `gap` where it is missing before a later one.

    Each of `done` is the day and by whom.
    """

    name: str
    done: tuple[tuple[str, str], ...]
    gap: bool


@dataclass(frozen=True)
class FaultRow:
    """A fault in the history.

    `at` holds what the filter knows it by, full tags: its panel and its circuit; without a recorded
    circuit "none", and the circuits that feed its load. `doubts` says in short what does not bear
    out where it stands, beside missing steps.
    """

    facts: FaultFacts
    days: str
    cells: tuple[StepCell, ...]
    at: tuple[str, ...]
    doubts: tuple[str, ...]


@dataclass(frozen=True)
class Year:
    """The faults found in a year, the latest first; `name` is empty where no day is recorded."""

    anchor: str
    name: str
    rows: tuple[FaultRow, ...]


@dataclass(frozen=True)
class Choices:
    """What the filter offers: what occurs in the rows.

    `at` is panel → its circuits, full tags.
    """

    buildings: tuple[tuple[str, str], ...]
    at: Mapping[str, tuple[str, ...]]
    kinds: tuple[str, ...]


def pages(view: View) -> Iterator[Page]:
    """Yield the fault history of every building, then that of the portfolio."""
    for building in view.portfolio.buildings:
        title = f"Fault history: {view.building_name(building)}"
        yield _page(view, building, title)
    yield _page(view, "", "Fault history of all buildings")


def _page(view: View, building: str, title: str) -> Page:
    loaded = view.portfolio.buildings
    own = {building: loaded[building]} if building else loaded
    faults = [facts for facts in view.faults.all.values() if facts.building in own]
    years = tuple(_years(view, faults))
    files = fault_files(view, faults, building)
    digest = hashlib.sha256("".join(file.text for file in files).encode()).hexdigest()
    return view.page(
        paths.index(building, "faults") if building else paths.ALL_FAULTS,
        title,
        "faults.html",
        building=building or None,
        nav="Faults" if building else "Faults, all buildings",
        # The lists to take say more than the page.
        depends_on=digest,
        contents=[
            Heading(1, "top", title),
            Heading(2, "figures", "In figures"),
            Heading(2, "list", "All faults"),
            *(Heading(3, year.anchor, year.name or "Day not recorded") for year in years),
        ],
        scripts=SCRIPTS,
        files=files,
        context={
            "building": building,
            "figures": fault_figures(view.faults, own, view.portfolio.as_of),
            "years": years,
            "choices": _choices(view, faults, own),
            "steps": STEPS,
            "no_circuit": NO_CIRCUIT,
            "files": [file.path for file in files],
            "all_faults": paths.ALL_FAULTS,
            "several": len(loaded) > 1,
        },
    )


def _years(view: View, faults: list[FaultFacts]) -> Iterator[Year]:
    by_year: dict[int, list[FaultFacts]] = {}
    for facts in faults:
        by_year.setdefault(facts.found.year if facts.found else 0, []).append(facts)
    for year in sorted(by_year, reverse=True):
        # Latest first; of one day, in the order of the records.
        ordered = sorted(
            by_year[year], key=lambda f: f.found.toordinal() if f.found else 0, reverse=True
        )
        rows = tuple(_row(view, facts) for facts in ordered)
        yield Year(f"year-{year}", str(year), rows) if year else Year(NO_DAY, "", rows)


def _row(view: View, facts: FaultFacts) -> FaultRow:
    return FaultRow(
        facts=facts,
        days=str(facts.days) if facts.days is not None else "",
        cells=tuple(
            StepCell(
                name,
                tuple((step.date.isoformat(), step.by) for step in facts.steps(name)),
                name in facts.missing,
            )
            for name in STEPS
        ),
        at=_at(view, facts),
        doubts=tuple(_doubts(view, facts)),
    )


def _doubts(view: View, facts: FaultFacts) -> Iterator[str]:
    yield from dict.fromkeys(flaw.kind for flaw in facts.flaws if flaw.kind != "missing step")
    if any(item.word == LATE for item in gaps(facts, view.loaded(facts.building))):
        yield LATE


def _at(view: View, facts: FaultFacts) -> tuple[str, ...]:
    if facts.circuit:
        return tuple(tag for tag in (facts.panel, facts.circuit) if tag)
    feeds = view.faults.circuits_of(facts)
    panels = (tag.partition("/")[0] for tag in feeds)
    return (NO_CIRCUIT, *dict.fromkeys((*panels, *feeds)))


def _choices(view: View, faults: list[FaultFacts], own: Mapping[str, object]) -> Choices:
    at: dict[str, dict[str, None]] = {}
    for facts in faults:
        if facts.panel:
            at.setdefault(facts.panel, {})[facts.circuit] = None
        elif facts.circuit:
            at.setdefault(facts.circuit, {})
    return Choices(
        tuple((name, view.building_name(name)) for name in own) if len(own) > 1 else (),
        {panel: tuple(sorted(tag for tag in at[panel] if tag != panel)) for panel in sorted(at)},
        tuple(sorted({facts.fault.kind for facts in faults})),
    )
