"""How well it is known that a load is on a circuit: unverified, traced, confirmed.

A trace counts as far as its readings bear it, or as the circuit was opened and the load went dead.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from recordgen.evidence.ageing import Ageing
from recordgen.evidence.claims import Claim, Claims
from recordgen.evidence.contradictions import Contradiction, contradictions
from recordgen.evidence.trace_verdict import TraceVerdicts
from recordgen.network.model import Network, building_of, local
from recordgen.records.loader import LoadedBuilding

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
        The day of that trace, or of the look that it rests on.
    reason : str
        Why it is not better; empty where there is nothing to add.
    """

    name: GradeName
    trace: str | None = None
    date: dt.date | None = None
    reason: str = ""

    @property
    def rank(self) -> int:
        """Its place from the weakest, 0, upwards."""
        return GRADES.index(self.name)


NOT_TRACED = Grade("unverified", reason="no trace recorded")


def weakest(grades: Iterable[Grade]) -> Grade:
    """Return the weakest of some grades, the first of equals.

    Raises
    ------
    ValueError
        There are none.
    """
    return min(grades, key=lambda grade: grade.rank)


class Grades:
    """The grade of every claim "this load is on this circuit", and what contradicts the record."""

    def __init__(
        self,
        buildings: Mapping[str, LoadedBuilding],
        network: Network,
        as_of: dt.date,
        verdicts: TraceVerdicts | None = None,
    ) -> None:
        self._network = network
        self._ageing = Ageing(buildings, as_of)
        self.verdicts = verdicts or TraceVerdicts(buildings, network)
        self.claims = tuple(Claims(buildings, network, self.verdicts).until(as_of))
        self.contradictions: list[Contradiction] = list(contradictions(self.claims))
        self._grades: dict[tuple[str, str], Grade] = {}
        for claim in self.claims:
            for feed in claim.feeds:
                self._keep_best(claim.load, feed, self._graded(claim, feed))
        for claim in self.claims:
            for feed in claim.below:
                self._keep_best(claim.load, feed, _of_more(claim))
        for found in self.contradictions:
            for feed in found.recorded:
                self._grades[found.load, feed] = _disputed(
                    found, self._grades.get((found.load, feed))
                )

    def of_claim(self, load: str, circuit: str) -> Grade:
        """Return the grade of the claim that a load is on a circuit (full tags)."""
        return self._grades.get((load, circuit), NOT_TRACED)

    def of_load(self, load: str) -> Grade:
        """Return the weakest grade among the feeds of a load."""
        circuits = self._network.loads[load].circuits
        if not circuits:
            return Grade("unverified", reason="source not recorded")
        return weakest(self.of_claim(load, circuit) for circuit in circuits)

    def _graded(self, claim: Claim, feed: str) -> Grade:
        way = (claim.load, *self.verdicts.ways.passed(feed, claim.circuit))
        reason = claim.not_borne or self._ageing.reason(
            claim.building, f"trace {claim.trace}", claim.date, way
        )
        if not reason and not claim.opened:
            reason = self._behind_a_drive(claim, feed)
        if reason:
            return Grade("unverified", claim.tag, claim.date, reason)
        name: GradeName = "confirmed" if claim.opened else "traced"
        return Grade(name, claim.tag, claim.date, claim.remark)

    def _behind_a_drive(self, claim: Claim, feed: str) -> str:
        """Return why a signal alone does not bear a feed: a drive rectifies (common practice)."""
        for tag in self.verdicts.ways.passed(feed, claim.circuit):
            device = self._network.devices.get(tag)
            if device is not None and device.kind == "variable-frequency drive":
                return f"{local(tag)} passes no tracer's signal: only opening shows what feeds it"
        return ""

    def _keep_best(self, load: str, circuit: str, grade: Grade) -> None:
        before = self._grades.get((load, circuit))
        earliest = dt.date.min
        if before is None or (grade.rank, grade.date or earliest) >= (
            before.rank,
            before.date or earliest,
        ):
            self._grades[load, circuit] = grade


def _of_more(claim: Claim) -> Grade:
    """Return the grade of a feed below a circuit that was traced: it tells no one feed there."""
    what = "opened" if claim.opened else "traced"
    reason = (
        f"trace {claim.trace} of {claim.date} {what} {local(claim.circuit)}, further up: it does "
        "not tell which feed below it"
    )
    return Grade("unverified", claim.tag, claim.date, reason)


def _disputed(found: Contradiction, before: Grade | None) -> Grade:
    """Return the grade of a recorded feed while a trace has the load elsewhere."""
    there = found.concluded
    name = local(there) if building_of(there) == building_of(found.load) else there
    reason = f"trace {found.trace} finds it on {name}"
    if before is not None and before.trace is not None and before.name != "unverified":
        reason += f", trace {local(before.trace)} on the recorded one"
    return Grade("unverified", f"{found.building}:{found.trace}", reason=reason)
