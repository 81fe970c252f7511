"""Every fault of a portfolio with what follows from its record: history, pages and files use it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from recordgen.evidence.concerned import concerned, full_tag
from recordgen.evidence.fault_life import STEPS, days_open, found_on, missing_steps, status
from recordgen.evidence.fault_statistics import Recurrence, recurrences
from recordgen.evidence.fault_steps import StepFlaw, step_flaws
from recordgen.evidence.insulation_trend import InsulationTrend, insulation_trends
from recordgen.evidence.interrupter import has_interrupter
from recordgen.records.field import Fault, FaultStep, Step
from recordgen.records.loader import LoadedBuilding

if TYPE_CHECKING:
    from recordgen.portfolio import Portfolio


@dataclass(frozen=True)
class FaultFacts:
    """A fault and what follows from its record.

    Attributes
    ----------
    tag : str
        `building:FAULT`.
    building : str
    fault : Fault
    state : FaultStep or None
        The furthest step recorded.
    found : date or None
    days : int or None
        Days [d] that it has been open, or was.
    circuit, load, panel : str
        Full tags; empty where not recorded.
    subjects : tuple of str
        Full tags of all that the record names.
    missing : tuple of FaultStep
        Steps before the furthest one that nobody has recorded.
    flaws : tuple of StepFlaw
        What does not bear out where it is said to stand; the missing steps are among them.
    """

    tag: str
    building: str
    fault: Fault
    state: FaultStep | None
    found: dt.date | None
    days: int | None
    circuit: str
    load: str
    panel: str
    subjects: tuple[str, ...]
    missing: tuple[FaultStep, ...]
    flaws: tuple[StepFlaw, ...]

    @property
    def name(self) -> str:
        """Its tag in its own building."""
        return self.tag.partition(":")[2]

    @property
    def is_open(self) -> bool:
        """Whether it is not recorded as closed."""
        return self.state != "closed"

    @property
    def state_words(self) -> str:
        """How far it has come: "open, located", "closed", "open, no step recorded"."""
        if not self.is_open:
            return "closed"
        return f"open, {self.state or 'no step recorded'}"

    def steps(self, name: FaultStep) -> tuple[Step, ...]:
        """Return the recorded steps of one kind, in order of date."""
        found = [step for step in self.fault.steps if step.step == name]
        return tuple(sorted(found, key=lambda step: step.date))

    @property
    def to_come(self) -> tuple[FaultStep, ...]:
        """The steps after the furthest one recorded."""
        return STEPS[STEPS.index(self.state) + 1 :] if self.state else STEPS


class FaultBook:
    """All faults of a checked portfolio."""

    def __init__(self, portfolio: Portfolio) -> None:
        self._portfolio = portfolio

    @cached_property
    def all(self) -> Mapping[str, FaultFacts]:
        """Full tag → fault, in the order of the records."""
        return {facts.tag: facts for facts in self._each()}

    def of_building(self, building: str) -> tuple[FaultFacts, ...]:
        """Return the faults that a building records, in the order of the records."""
        return tuple(facts for facts in self.all.values() if facts.building == building)

    def about(self, tag: str) -> tuple[FaultFacts, ...]:
        """Return the faults whose record names a circuit, load or other thing (full tag)."""
        return self._by_subject.get(tag, ())

    def circuits_of(self, facts: FaultFacts) -> tuple[str, ...]:
        """Return the circuit that a fault names; where it names none, those that feed its load."""
        if facts.circuit:
            return (facts.circuit,)
        load = self._portfolio.network.loads.get(facts.load)
        return load.circuits if load else ()

    def on_circuit(self, circuit: str) -> tuple[FaultFacts, ...]:
        """Return the faults of a circuit (full tag), as `circuits_of` has it."""
        return self._by_circuit.get(circuit, ())

    @cached_property
    def _by_circuit(self) -> Mapping[str, tuple[FaultFacts, ...]]:
        found: dict[str, tuple[FaultFacts, ...]] = {}
        for facts in self.all.values():
            for circuit in self.circuits_of(facts):
                found[circuit] = (*found.get(circuit, ()), facts)
        return found

    def open_about(self, tags: Iterable[str]) -> tuple[FaultFacts, ...]:
        """Return the open faults whose record names any of some things (full tags), each once."""
        found = {facts.tag: facts for tag in tags for facts in self.about(tag) if facts.is_open}
        return tuple(found.values())

    @cached_property
    def _by_subject(self) -> Mapping[str, tuple[FaultFacts, ...]]:
        found: dict[str, tuple[FaultFacts, ...]] = {}
        for facts in self.all.values():
            for subject in facts.subjects:
                found[subject] = (*found.get(subject, ()), facts)
        return found

    @cached_property
    def recurrences(self) -> tuple[Recurrence, ...]:
        """What has come back, in the whole portfolio."""
        return recurrences(self._portfolio.buildings)

    @cached_property
    def _trends(self) -> Mapping[str, tuple[InsulationTrend, ...]]:
        found: dict[str, tuple[InsulationTrend, ...]] = {}
        for trend in insulation_trends(self._portfolio.buildings):
            found[trend.circuit] = (*found.get(trend.circuit, ()), trend)
        return found

    def trends(self, circuit: str) -> tuple[InsulationTrend, ...]:
        """Return the trends of the insulation of a circuit (full tag)."""
        return self._trends.get(circuit, ())

    def _each(self) -> Iterator[FaultFacts]:
        for loaded in self._portfolio.buildings.values():
            for tag, fault in loaded.records.faults.items():
                yield self._facts(loaded, tag, fault)

    def _facts(self, loaded: LoadedBuilding, tag: str, fault: Fault) -> FaultFacts:
        buildings, as_of = self._portfolio.buildings, self._portfolio.as_of
        circuit = full_tag(buildings, loaded, fault.circuit) if fault.circuit else None
        box = (circuit or "").partition("/")[0]
        interrupter = has_interrupter(buildings, loaded, fault)
        return FaultFacts(
            tag=f"{loaded.id}:{tag}",
            building=loaded.id,
            fault=fault,
            state=status(fault),
            found=found_on(fault),
            days=days_open(fault, as_of),
            circuit=circuit or "",
            load=f"{loaded.id}:{fault.load}" if fault.load else "",
            panel=box if _is_panel(buildings, box) else "",
            subjects=concerned(buildings, loaded, fault),
            missing=missing_steps(fault),
            flaws=step_flaws(fault, as_of, interrupter=interrupter),
        )


def _is_panel(buildings: Mapping[str, LoadedBuilding], tag: str) -> bool:
    building, _, name = tag.partition(":")
    return building in buildings and name in buildings[building].records.panels
