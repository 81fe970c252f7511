"""The stages that are measured, each run whole in a process of its own."""

from __future__ import annotations

import datetime as dt
import logging
import resource
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

AS_OF = dt.date(2026, 11, 25)


def read(folder: Path) -> str:
    from recordgen.records.loader import load_records

    found = load_records(folder / "buildings")
    return f"{len(found.buildings)} buildings"


def graph(folder: Path) -> str:
    from recordgen.network.build import build_network
    from recordgen.network.hazard import Hazard
    from recordgen.network.supply import Supply
    from recordgen.records.loader import load_records

    network, _ = build_network(load_records(folder / "buildings").buildings)
    trees, hazard = Supply(network).dominators, Hazard(network)
    return f"{len(hazard.network.hazard)} nodes, {len(trees)} dominator trees"


def check(folder: Path) -> str:
    from recordgen.portfolio import load_portfolio

    found = load_portfolio(folder / "buildings", AS_OF)
    return f"{len(found.network.devices)} devices, {len(found.network.loads)} loads"


def calculations(folder: Path) -> str:
    from recordgen.portfolio import load_portfolio

    study = load_portfolio(folder / "buildings", AS_OF).study
    elements = study.distribution.elements
    for tag in elements:
        study.capacity.of(tag)
        study.conductors.of(tag)
        study.faults.at(tag)
        study.voltages.of(tag)
    panels = [tag for tag, element in elements.items() if element.kind == "panel"]
    for tag in panels:
        study.loading.parts(tag)
    return f"{len(elements)} elements, {len(panels)} panels"


def answers(folder: Path) -> str:
    from recordgen.pages.answers import Answers
    from recordgen.pages.lockout import targets
    from recordgen.pages.view import View
    from recordgen.portfolio import load_portfolio

    portfolio = load_portfolio(folder / "buildings", AS_OF)
    asked = Answers(portfolio)
    for tag in portfolio.network.devices:
        asked.downstream([tag])
    sheets = list(targets(View(portfolio)))
    for tag in sheets:
        asked.isolation(tag)
    return f"{len(portfolio.network.devices)} lists, {len(sheets)} sheets"


def pages(folder: Path) -> str:
    from recordgen.pages.table import all_pages
    from recordgen.portfolio import load_portfolio

    count = size = 0
    for page in all_pages(load_portfolio(folder / "buildings", AS_OF)):
        count += 1
        size += len(page.html)
    return f"{count} pages, {size / 1e6:.0f} MB"


def build(folder: Path) -> str:
    from recordgen.site.build import build_site

    logging.getLogger("mkdocs").setLevel(logging.CRITICAL)
    target = build_site(site_dir=folder / "site", folder=folder, as_of=AS_OF)
    size = sum(path.stat().st_size for path in target.rglob("*") if path.is_file())
    return f"{size / 1e6:.0f} MB on disk"


STAGES: dict[str, Callable[[Path], str]] = {
    "read": read,
    "graph": graph,
    "check": check,
    "calculations": calculations,
    "answers": answers,
    "pages": pages,
    "build": build,
}


@dataclass(frozen=True)
class Measured:
    """What a stage took, and what it made."""

    wall_s: float
    cpu_s: float
    peak_mb: float
    made: str


def measured(stage: str, folder: str) -> Measured:
    """Run one stage and return what it took; the peak is that of this whole process."""
    wall, cpu = time.perf_counter(), time.process_time()
    made = STAGES[stage](Path(folder))
    wall, cpu = time.perf_counter() - wall, time.process_time() - cpu
    peak_kb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return Measured(wall, cpu, peak_kb / 1024, made)
