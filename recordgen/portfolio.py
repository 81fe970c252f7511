"""The one call from a folder of YAML to a checked, computed portfolio."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from recordgen.calc.study.study import Study
from recordgen.checks.facts import Facts
from recordgen.checks.table import findings
from recordgen.evidence.coverage import Shares, shares
from recordgen.evidence.edge_grades import EdgeGrades
from recordgen.evidence.grades import Grades
from recordgen.evidence.trace_verdict import TraceVerdicts
from recordgen.network.build import build_network
from recordgen.network.cross_references import cross_reference_problems
from recordgen.network.feed_path import FeedPaths
from recordgen.network.hazard import Hazard
from recordgen.network.model import Network
from recordgen.network.references import Resolver
from recordgen.network.supply import Supply
from recordgen.problems import Problem, has_errors, in_order
from recordgen.records.loader import LoadedBuilding, collector_paused, load_records


@dataclass
class Portfolio:
    """Buildings, their network and what was found.

    Attributes
    ----------
    folder : Path
    as_of : date
        The day that ages and deadlines are computed for.
    buildings : mapping
        Building id → its records, in order of id.
    network : Network
    problems : list of Problem
        Errors, or else every finding, in order of place.
    """

    folder: Path
    as_of: dt.date
    buildings: Mapping[str, LoadedBuilding]
    network: Network
    problems: list[Problem] = field(default_factory=list)

    @property
    def readable(self) -> bool:
        """Whether the records hold no error, so that pages and answers may be made."""
        return not has_errors(self.problems)

    @cached_property
    def supply(self) -> Supply:
        """What carries the loads, from the normal switch positions."""
        return Supply(self.network)

    @cached_property
    def present_supply(self) -> Supply:
        """What carries the loads, from the recorded present positions."""
        return Supply(self.network, "present")

    @cached_property
    def hazard(self) -> Hazard:
        """Where voltage can come from in any state of the switches."""
        return Hazard(self.network)

    @cached_property
    def feed_paths(self) -> FeedPaths:
        """The ways from the sources to everything, in the normal state."""
        return FeedPaths(self.supply)

    @cached_property
    def grades(self) -> Grades:
        """How well every claim is known."""
        return Grades(self.buildings, self.network, self.as_of, self.trace_verdicts)

    @cached_property
    def shares(self) -> Shares:
        """How much of each panel, room and building is verified."""
        return shares(self.buildings, self.network, self.grades)

    @cached_property
    def edge_grades(self) -> EdgeGrades:
        """How well it is known what feeds what, and what was looked for."""
        return EdgeGrades(self.buildings, self.network, self.grades, self.as_of)

    @cached_property
    def trace_verdicts(self) -> TraceVerdicts:
        """What every recorded trace shows, and whether that bears its conclusion."""
        return TraceVerdicts(self.buildings, self.network)

    @cached_property
    def study(self) -> Study:
        """What is calculated from the records."""
        return Study(self.buildings, self.network, self.supply)

    @cached_property
    def stops_leaning(self) -> Mapping[str, list[Problem]]:
        """Full tag of a device → each STOP that is about something else, and its list leans on."""
        found: dict[str, list[Problem]] = {}
        for problem in self.problems:
            for tag in problem.leaning if problem.severity == "stop" else ():
                found.setdefault(tag, []).append(problem)
        return found

    @cached_property
    def problems_of(self) -> Mapping[str, list[Problem]]:
        """Full tag → the findings that touch it."""
        found: dict[str, list[Problem]] = {}
        for problem in self.problems:
            for subject in problem.subjects:
                found.setdefault(subject, []).append(problem)
        return found


@collector_paused()
def load_portfolio(folder: Path, as_of: dt.date, shown_as: str | None = None) -> Portfolio:
    """Read, connect and check every building below a folder.

    Parameters
    ----------
    folder : Path
        Holds a folder for each building.
    as_of : date
        The day to compute for.
    shown_as : str or None
        What messages call the folder; as it is given, if None. Pages show it, so it should not
        depend on the machine there.

    Returns
    -------
    Portfolio
        With errors in `problems`, and then no findings, where the records cannot be read.

    Raises
    ------
    FileNotFoundError, NotADirectoryError
        `folder` is no folder.
    """
    loaded = load_records(folder, shown_as)
    problems = list(loaded.problems)
    network = Network()
    # A record that could not be read is missing: what points at it is no mistake of its own, so
    # references are judged only once every record can be read.
    if not problems:
        network, problems = build_network(loaded.buildings)
        resolver = Resolver(loaded.buildings, [])
        for building in loaded.buildings.values():
            problems.extend(cross_reference_problems(building, resolver))
    portfolio = Portfolio(folder, as_of, loaded.buildings, network, in_order(problems))
    if portfolio.readable:
        facts = Facts(
            loaded.buildings,
            network,
            portfolio.grades,
            portfolio.study,
            as_of,
            portfolio.trace_verdicts,
            portfolio.edge_grades,
        )
        portfolio.problems = in_order(findings(facts))
    return portfolio
