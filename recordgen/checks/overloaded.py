"""What is calculated to carry more than its rating.

Passing: `2-4: {device: 30 A, loads: {WH-1: {kind: water heater, power: 4.5 kW}}}`
Failing: `2-4: {device: 20 A, loads: {WH-1: {kind: water heater, power: 6 kW}}}`

Of a branch circuit the loads themselves count, continuous ones at 125 % (NEC 210.20(A)): what is
fixed, and of outlets and what plugs in the larger, since the one is recorded for the other. Above
it, the demand of article 220 counts, continuous load at 125 % (215.3), against the device; and with
a quarter of the largest motor (430.24, 408.30) against the bus of a panel. Transformers and UPSs
are held against the demand alone (common practice). Clauses from memory.

A demand that was measured as 220.87 asks says more than a calculated one: then there is a note and
no warning. What is not recorded is not in it, so the true load is larger. How a load that needs all
of its feeds divides among them is not recorded either: below one of them, loads with several feeds
are left out; and so are welders on their branch circuit, whose duty cycle allows more (630.11).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from recordgen.calc.load_rules import EDITIONS, rule_of
from recordgen.calc.study.capacity import RATED, ratings
from recordgen.calc.study.distribution import Element, LoadAt
from recordgen.calc.study.load_size import LoadSize
from recordgen.calc.study.loading import volts_a_phase
from recordgen.checks.facts import Facts
from recordgen.network.model import building_of, local
from recordgen.problems import Location, Problem
from recordgen.records.supply import Circuit, Panel

_IN_LINE: Final = frozenset(
    {"junction box", "disconnect", "motor starter", "variable-frequency drive"}
)

_ROUNDING_A: Final = 0.5
"""Nominal volts and rated watts are round numbers: less than this over the rating is none."""


@dataclass(frozen=True)
class _Over:
    """A rating and the current that exceeds it [A]."""

    what: str
    written: str
    used_a: float


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for each element above a rating; a note where a measured demand wins."""
    for element in facts.study.distribution.elements.values():
        if element.kind not in RATED or not ratings(element):
            continue
        loads = _on_branch_circuit(facts, element)
        over = _by_demand(facts, element) if loads is None else _by_loads(facts, element, loads)
        if over:
            yield _problem(facts, element, over, "article 220" if loads is None else "210.20(A)")


def _on_branch_circuit(facts: Facts, element: Element) -> list[LoadAt] | None:
    """Return the loads of a branch circuit; None of what is a feeder or no circuit.

    Gutters, disconnects and starters on the way make no feeder of it.
    """
    if not isinstance(element.record, Circuit):
        return None
    distribution = facts.study.distribution
    found, stack = [], [element.tag]
    while stack:
        here = stack.pop()
        if here != element.tag and distribution.elements[here].kind not in _IN_LINE:
            return None
        found += distribution.loads_at.get(here, [])
        stack += distribution.below[here]
    return None if any(len(one.feeds) > 1 for one in found) else found


def _by_loads(facts: Facts, element: Element, loads: list[LoadAt]) -> list[_Over]:
    per_ampere = volts_a_phase(element)
    if not per_ampere:
        return []
    fixed = outlets = plugged = 0.0
    for one in loads:
        va = _sized_va(facts.study.loading.sizes[one.feeds[0]][one.tag])
        if one.load.kind == "receptacle":
            outlets += va
        elif one.load.kind == "welder":
            continue
        elif one.load.connection == "plug":
            plugged += va
        else:
            fixed += va
    amperes = (fixed + max(outlets, plugged)) / per_ampere
    return [
        _Over(what, written, amperes)
        for what, rating_a, written, _ in ratings(element)
        if amperes > rating_a + _ROUNDING_A
    ]


def _sized_va(size: LoadSize) -> float:
    """Return what a load counts with; motors without the addition, which is for conductors."""
    driven = size.category in ("motor", "cooling")
    factor = rule_of("continuous load", EDITIONS[-1]).share
    return (size.va or 0.0) * (factor if size.counts_continuous and not driven else 1.0)


def _by_demand(facts: Facts, element: Element) -> list[_Over]:
    per_ampere = volts_a_phase(element)
    demand = facts.study.loading.of(element.tag).demand
    if demand is None or not per_ampere or not demand.connected_va:
        return []
    found = []
    for what, rating_a, written, by_demand in ratings(element):
        va = demand.demand_va
        if what == "bus":
            va = demand.sizing_va
        elif not by_demand:
            va += demand.continuous_addition_va
        if va / per_ampere > rating_a + _ROUNDING_A:
            found.append(_Over(what, written, va / per_ampere))
    return found


def _problem(facts: Facts, element: Element, over: list[_Over], clause: str) -> Problem:
    tag = local(element.tag)
    least = "at least " if facts.study.loading.carried[element.tag].needs else ""
    limits = " and ".join(f"{least}{o.used_a:.0f} A on its {o.what} of {o.written}" for o in over)
    message = f"{tag} is calculated to carry {limits} (NEC {clause})"
    hint = "check the loads that are recorded, or measure the demand as NEC 220.87 asks"
    measured = facts.study.capacity.of(element.tag).measured
    note = False
    if measured is not None and measured.existing_a is not None:
        seen = f"{measured.existing_a:.0f} A, the demand recorded there at 125 %"
        note = measured.answer == "yes"
        if note:
            message += f"; by NEC 220.87 {seen}, counts, and that is less"
            hint = "see which loads are recorded too large, or no longer there"
        else:
            lacking = f", by what it says of this: {'; '.join(measured.unmet)}"
            message += f"; {seen}, is too little for NEC 220.87{lacking if measured.unmet else ''}"
    return Problem(
        "note" if note else "warning",
        "overloaded",
        message,
        _place(facts, element, over[0].what),
        hint,
        subjects=(element.tag,),
    )


def _place(facts: Facts, element: Element, what: str) -> Location:
    loaded = facts.buildings[building_of(element.tag)]
    name = local(element.tag)
    if isinstance(element.record, Circuit):
        panel, _, position = name.rpartition("/")
        return loaded.where("panels", panel, "circuits", position, "device")
    if isinstance(element.record, Panel):
        return loaded.where("panels", name, "bus_rating" if what == "bus" else "main")
    return loaded.where("equipment", name, "fuses" if what == "fuses" else "rating")
