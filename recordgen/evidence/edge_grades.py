"""How well it is known what stands between loads and sources: feeds, neutrals, what passes through.

A feed is confirmed where what feeds it was opened and it went dead, and traced where a trace that
bears it was recorded. A look alone verifies no feed; whether conductors pass through a box, or
share a neutral, can only be looked for, and a dated look is as good there as a trace.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from recordgen.evidence.ageing import Ageing
from recordgen.evidence.claims import Claim
from recordgen.evidence.grades import NOT_TRACED, Grade, GradeName, Grades
from recordgen.evidence.trace_answer import LoadsShown
from recordgen.network.cross_references import named_thing
from recordgen.network.model import Network, building_of, local
from recordgen.network.references import circuit_at
from recordgen.records.field import Trace
from recordgen.records.loader import LoadedBuilding
from recordgen.records.parts import Checked
from recordgen.records.supply import Circuit

Feed = tuple[str, str]
"""What is fed, and what feeds it by the records: full tags."""
NEUTRAL_NOT_LOOKED_FOR: Final = "nobody has recorded looking for a shared neutral"
CROSSING_NOT_LOOKED_FOR: Final = "nobody has recorded looking for what passes through"


@dataclass(frozen=True)
class FeedContradiction:
    """A trace that finds another feed than the record has: full tags, but for the trace's own."""

    building: str
    trace: str
    thing: str
    recorded: tuple[str, ...]
    concluded: str


class EdgeGrades:
    """The grade of every feed, and of what was looked for.

    Parameters
    ----------
    buildings : mapping of str to LoadedBuilding
        Building id → its records.
    network : Network
    grades : Grades
        Of the same records, on the same day.
    as_of : date
    """

    def __init__(
        self,
        buildings: Mapping[str, LoadedBuilding],
        network: Network,
        grades: Grades,
        as_of: dt.date,
    ) -> None:
        self._buildings = buildings
        self._grades = grades
        self._verdicts = grades.verdicts
        self.ways = grades.verdicts.ways
        self.loads = network.loads
        self._as_of = as_of
        self._ageing = Ageing(buildings, as_of)
        self._above: dict[str, set[str]] = {}
        self._opened = self._by_loads()
        self._partners = _sharing_neutral(network)
        self._feeds: dict[Feed, Grade] = {}
        self.contradictions = tuple(self._contradictions())

    def of_feed(self, thing: str, by: str) -> Grade:
        """Return how well it is known that a panel or equipment is fed from something."""
        edge = (thing, by)
        if edge not in self._feeds:
            known = (self._by_look(thing, by), self._opened.get(edge, NOT_TRACED))
            self._feeds[edge] = max(known, key=_goodness)
        return self._feeds[edge]

    def of_neutral(self, circuit: str) -> Grade:
        """Return how well it is known whether a circuit shares its neutral, and with which.

        Who looked at a circuit that shares it has looked at this one too.
        """
        found = []
        for tag in (circuit, *self._partners.get(circuit, ())):
            record = self._circuit(tag)
            checked = record.neutral_checked if record is not None else None
            found.append(self._looked(tag, checked, NEUTRAL_NOT_LOOKED_FOR))
        return max(found, key=_goodness)

    def of_crossing(self, box: str) -> Grade:
        """Return how well it is known what passes through a panel or a box without belonging."""
        checked = self._checked(box, "pass_through_checked")
        return self._looked(box, checked, CROSSING_NOT_LOOKED_FOR)

    def _looked(self, tag: str, checked: Checked | None, missing: str) -> Grade:
        if checked is None or checked.date > self._as_of:
            return Grade("unverified", reason=missing)
        home = building_of(tag)
        trace = f"{home}:{checked.trace}" if checked.trace else None
        old = self._ageing.reason(home, "the look", checked.date, (tag,))
        name: GradeName = "unverified" if old else "traced"
        return Grade(
            name, trace, checked.date, old or f"looked for by {checked.by} on {checked.date}"
        )

    def _by_look(self, thing: str, by: str) -> Grade:
        checked = self._checked(thing, "feed_checked")
        if checked is None or checked.date > self._as_of:
            return NOT_TRACED
        found = self._by_named_trace(thing, by, checked)
        if found is not None and found.name == "confirmed":
            return found
        if checked.confirmed_by_opening:
            return self._by_opening(thing, by, checked)
        if found is not None:
            return found
        reason = f"looked at by {checked.by} on {checked.date}, neither traced nor opened"
        return Grade("unverified", None, checked.date, reason)

    def _by_opening(self, thing: str, by: str, checked: Checked) -> Grade:
        home = building_of(thing)
        trace = f"{home}:{checked.trace}" if checked.trace else None
        if len(self.ways.feeders.get(thing, ())) > 1:
            reason = f"which of its feeds was opened on {checked.date} is not recorded"
            return Grade("unverified", trace, checked.date, reason)
        old = self._ageing.reason(home, "the opening", checked.date, (thing, by))
        return Grade("unverified" if old else "confirmed", trace, checked.date, old)

    def _by_named_trace(self, thing: str, by: str, checked: Checked) -> Grade | None:
        """Return the grade by the trace that a look names; None where it names none yet made."""
        home = building_of(thing)
        loaded = self._buildings[home]
        trace = loaded.records.traces.get(checked.trace or "")
        if trace is None or trace.date > self._as_of:
            return None
        tag = f"{home}:{checked.trace}"
        circuit = self._circuit_of(loaded, trace)
        name, opened = f"trace {checked.trace}", bool(trace.confirmed_by_opening)
        reason = self._not_about(name, circuit, by, opened=opened)
        if not reason:
            way = dict.fromkeys(tag for edge in self._one_way(by, circuit or by) for tag in edge)
            reason = self._ageing.reason(home, name, trace.date, (thing, by, *way))
        if not reason and trace.confirmed_by_opening:
            return Grade("confirmed", tag, trace.date)
        reason = reason or self._not_borne(thing, tag, trace)
        return Grade("unverified" if reason else "traced", tag, trace.date, reason)

    def _not_about(self, name: str, circuit: str | None, by: str, *, opened: bool) -> str:
        """Return why a trace says nothing of a feed; empty where it does."""
        if circuit is None:
            return f"{name} names no circuit"
        reached = self._all_above(by) if opened else self.ways.up_to_circuits(by)
        if circuit not in reached:
            return f"{name} is about {local(circuit)}"
        if circuit != by and not self._one_way(by, circuit):
            return f"{name} opened {local(circuit)}, and several ways lead from there"
        return ""

    def _not_borne(self, thing: str, tag: str, trace: Trace) -> str:
        """Return why the readings of a trace do not bear a feed; empty where they do."""
        name = f"trace {local(tag)}"
        if not trace.readings:
            return f"no readings recorded in {name}, and nothing was opened"
        verdict = self._verdicts.of(tag)
        shown = verdict.shows
        if isinstance(shown, LoadsShown) and not all(
            thing in self._above_load(one.load) for one in shown.found
        ):
            return f"{name} found loads that do not hang on it"
        if verdict.bears == "bears":
            return ""
        return f"the readings of {name} do not bear it: {verdict.reasons[0]}"

    def _by_loads(self) -> dict[Feed, Grade]:
        """Return the feeds that loads prove: a circuit before their panel was opened, they died.

        That the load hangs on its own circuit has to be known from another trace.
        """
        found: dict[Feed, Grade] = {}
        for claim in self._grades.claims:
            for feed in claim.below if claim.opened else ():
                if self._grades.of_claim(claim.load, feed).name == "unverified":
                    continue
                edges = self._one_way(feed, claim.circuit)
                grade = self._of_opened(claim, edges)
                for edge in edges:
                    found[edge] = max(found.get(edge, NOT_TRACED), grade, key=_goodness)
        return found

    def _of_opened(self, claim: Claim, edges: tuple[Feed, ...]) -> Grade:
        way = (claim.load, *(tag for edge in edges for tag in edge))
        name = f"trace {claim.trace}"
        old = self._ageing.reason(claim.building, name, claim.date, way)
        return Grade("unverified" if old else "confirmed", claim.tag, claim.date, old)

    def _one_way(self, feed: str, circuit: str) -> tuple[Feed, ...]:
        """Return the feeds on the one way from a feed to a circuit above; none where it forks."""
        on_way = {tag for tag in self._all_above(feed) if circuit in self._all_above(tag)}
        edges = []
        for tag in sorted(on_way - {circuit}):
            feeders = [by for by in self.ways.feeders.get(tag, ()) if by in on_way]
            if len(feeders) > 1:
                return ()
            edges += [(tag, by) for by in feeders]
        return tuple(edges)

    def _above_load(self, load: str) -> set[str]:
        return set().union(*(self._all_above(feed) for feed in self.loads[load].circuits))

    def _all_above(self, tag: str) -> set[str]:
        if tag not in self._above:
            self._above[tag] = self.ways.all_above(tag)
        return self._above[tag]

    def _contradictions(self) -> Iterator[FeedContradiction]:
        """Yield the traces of looks at a feed that concluded on another circuit."""
        for home, loaded in self._buildings.items():
            for name in (*loaded.records.panels, *loaded.records.equipment):
                thing = f"{home}:{name}"
                checked = self._checked(thing, "feed_checked")
                tag = (checked.trace if checked else None) or ""
                trace = loaded.records.traces.get(tag)
                if trace is None or trace.date > self._as_of or trace.resolved is not None:
                    continue
                recorded = tuple(self.ways.feeders.get(thing, ()))
                circuit = self._circuit_of(loaded, trace)
                looked_for_it = trace.purpose == "identify the breaker" and trace.load is None
                if recorded and circuit and looked_for_it and not self._in_line(thing, circuit):
                    yield FeedContradiction(home, tag, thing, recorded, circuit)

    def _in_line(self, thing: str, circuit: str) -> bool:
        """Say whether by the records one of the two feeds the other in the end."""
        return circuit in self._all_above(thing) or thing in self._all_above(circuit)

    def _circuit_of(self, loaded: LoadedBuilding, trace: Trace) -> str | None:
        reference = trace.concluded_circuit or trace.circuit
        there = self._buildings.get(reference.building or loaded.id) if reference else None
        return named_thing(there, reference) if there is not None and reference else None

    def _checked(self, tag: str, field: str) -> Checked | None:
        records = self._buildings[building_of(tag)].records
        record = records.panels.get(local(tag)) or records.equipment.get(local(tag))
        checked: Checked | None = getattr(record, field, None)
        return checked

    def _circuit(self, tag: str) -> Circuit | None:
        name, _, port = local(tag).partition("/")
        panel = self._buildings[building_of(tag)].records.panels.get(name)
        position = circuit_at(panel, port) if panel is not None and port else None
        return panel.circuits[position] if panel is not None and position is not None else None


def _sharing_neutral(network: Network) -> Mapping[str, list[str]]:
    """Return circuit → the circuits recorded as sharing its neutral (full tags)."""
    found: dict[str, list[str]] = {}
    for coupling in network.couplings.values():
        for first, second in coupling.ends if coupling.kind == "shared neutral" else ():
            found.setdefault(first, []).append(second)
            found.setdefault(second, []).append(first)
    return found


def _goodness(grade: Grade) -> tuple[int, dt.date]:
    return grade.rank, grade.date or dt.date.min
