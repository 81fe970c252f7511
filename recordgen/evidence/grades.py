"""How well it is known that a load is on a circuit: unverified, traced, confirmed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from recordgen.evidence.trace_breaker import TraceReader
from recordgen.evidence.ways_back import WaysBack
from recordgen.network.cross_references import named_thing
from recordgen.network.model import Network
from recordgen.records.field import Trace
from recordgen.records.loader import LoadedBuilding
from recordgen.records.positions import read_position

GradeName = Literal["unverified", "traced", "confirmed"]
GRADES: tuple[GradeName, ...] = ("unverified", "traced", "confirmed")
"""Weakest first."""


@dataclass(frozen=True)
class Grade:
    """How a claim is known.

    Attributes
    ----------
    name : GradeName
    trace : str or None
        Full tag of the trace it rests on, `building:TAG`.
    date : date or None
        The day of that trace.
    reason : str
        Why it is not better; empty where there is nothing to add.
    """

    name: GradeName
    trace: str | None = None
    date: dt.date | None = None
    reason: str = ""


@dataclass(frozen=True)
class Contradiction:
    """A trace that puts a load on another circuit than the record does.

    `recorded` and `concluded` are full tags of circuits; `recorded` holds every recorded feed.
    """

    building: str
    trace: str
    load: str
    recorded: tuple[str, ...]
    concluded: str


NOT_TRACED = Grade("unverified", reason="no trace recorded")


class Grades:
    """The grade of every claim "this load is on this circuit", and what contradicts the record."""

    def __init__(
        self, buildings: Mapping[str, LoadedBuilding], network: Network, as_of: dt.date
    ) -> None:
        self._network = network
        self.ways = WaysBack(network)
        self.reader = TraceReader(buildings, network, self.ways)
        self._claims: dict[tuple[str, str], Grade] = {}
        self.contradictions: list[Contradiction] = []
        for loaded in buildings.values():
            for tag, trace in loaded.records.traces.items():
                self._take(buildings, loaded, tag, trace, as_of)

    def of_claim(self, load: str, circuit: str) -> Grade:
        """Return the grade of the claim that a load is on a circuit (full tags)."""
        return self._claims.get((load, circuit), NOT_TRACED)

    def of_load(self, load: str) -> Grade:
        """Return the weakest grade among the feeds of a load."""
        circuits = self._network.loads[load].circuits
        if not circuits:
            return Grade("unverified", reason="source not recorded")
        grades = [self.of_claim(load, circuit) for circuit in circuits]
        return min(grades, key=lambda grade: GRADES.index(grade.name))

    def _take(
        self,
        buildings: Mapping[str, LoadedBuilding],
        loaded: LoadedBuilding,
        tag: str,
        trace: Trace,
        as_of: dt.date,
    ) -> None:
        reference = trace.concluded_circuit or (
            trace.circuit if trace.purpose == "list what is downstream" else None
        )
        if reference is None or trace.date > as_of:
            return
        target = buildings[reference.building or loaded.id]
        circuit = named_thing(target, reference)
        if circuit is None:
            return
        for name in dict.fromkeys((*((trace.load,) if trace.load else ()), *trace.found)):
            load = f"{loaded.id}:{name}"
            recorded = self._network.loads[load].circuits
            borne = [feed for feed in recorded if circuit in self.ways.up_to_circuits(feed)]
            for feed in borne:
                grade = _graded(loaded, buildings, tag, trace, circuit, as_of)
                self._keep_best(load, feed, grade)
            if not borne and trace.resolved is None and recorded:
                self.contradictions.append(Contradiction(loaded.id, tag, load, recorded, circuit))

    def _keep_best(self, load: str, circuit: str, grade: Grade) -> None:
        before = self._claims.get((load, circuit))
        rank = (GRADES.index(grade.name), grade.date or dt.date.min)
        if before is None or rank >= (GRADES.index(before.name), before.date or dt.date.min):
            self._claims[load, circuit] = grade


def _graded(
    loaded: LoadedBuilding,
    buildings: Mapping[str, LoadedBuilding],
    tag: str,
    trace: Trace,
    circuit: str,
    as_of: dt.date,
) -> Grade:
    full = f"{loaded.id}:{tag}"
    changed = next(_changes_after(buildings, circuit, trace.date), None)
    if changed is not None:
        reason = f"the circuit was changed on {changed}, after trace {tag} of {trace.date}"
        return Grade("unverified", full, trace.date, reason)
    limit = loaded.records.building.evidence_valid_days
    if limit is not None and (as_of - trace.date).days > limit:
        reason = f"trace {tag} of {trace.date} is older than {limit}"
        return Grade("unverified", full, trace.date, reason)
    name: GradeName = "confirmed" if trace.confirmed_by_opening else "traced"
    return Grade(name, full, trace.date)


def _changes_after(
    buildings: Mapping[str, LoadedBuilding], circuit: str, date: dt.date
) -> Iterator[dt.date]:
    building, _, rest = circuit.partition(":")
    panel, _, position = rest.partition("/")
    record = buildings[building].records.panels.get(panel)
    if record is not None and position and position != "main":
        changed = record.circuits[read_position(position)].changed
        if changed is not None and changed > date:
            yield changed
