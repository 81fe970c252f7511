"""A voltage drop above what the code's notes recommend.

Passing: `1: {device: 20 A, conductors: {size: 10 AWG Cu, raceway: PVC, length: 90 ft}, loads: {H-1: {kind: heating, power: 1.5 kW, voltage: 120 V}}}`
Failing: `1: {device: 20 A, conductors: {size: 12 AWG Cu, raceway: PVC, length: 160 ft}, loads: {H-1: {kind: heating, power: 1.5 kW, voltage: 120 V}}}`

Informational notes to NEC 210.19(A) and 215.2(A) recommend 3 % at most on a branch circuit or on a
feeder, and 5 % on both together (from memory; the notes are numbered otherwise from edition to
edition). They are no rules. Counted is the connected load of a branch circuit at its end, and the
demand of a feeder; the sum is counted from the source, the service's own conductors included.
Circuits whose own drop is fine, while the sum is not, are told together for each panel: what
feeds the panel is then the place to look at.
"""  # noqa: E501  # an example is one line

from __future__ import annotations

from collections.abc import Iterable, Iterator

from recordgen.calc.answer import Answer, Value
from recordgen.calc.code_limits import code_limit
from recordgen.calc.study.distribution import Element
from recordgen.checks.facts import Facts
from recordgen.network.model import building_of, local
from recordgen.problems import Location, Problem
from recordgen.records.supply import Circuit, Panel

_HINT = "see whether length, size and loads are recorded right; larger conductors drop less"


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a note for each stretch of conductors, and for each panel whose circuits it touches."""
    study = facts.study.voltages
    far: dict[str, list[tuple[str, Value]]] = {}
    alone, together = _limit("branch_or_feeder_drop_percent"), _limit("total_drop_percent")
    for tag, element in facts.study.distribution.elements.items():
        own = _largest(study.drop(tag))
        total = _largest((study.total(tag),))
        if own is not None and own.amount > alone:
            yield _own(facts, element, own, total)
        elif total is not None and total.amount > together and isinstance(element.record, Circuit):
            far.setdefault(tag.rpartition("/")[0], []).append((tag, total))
    for panel, found in far.items():
        yield _together(facts, panel, found)


def _own(facts: Facts, element: Element, own: Value, total: Value | None) -> Problem:
    branch = facts.study.voltages.is_branch[element.tag]
    what, clause = ("branch circuit", "210.19(A)") if branch else ("feeder", "215.2(A)")
    limit = f"{code_limit('branch_or_feeder_drop_percent')} %"
    message = (
        f"{local(element.tag)} is calculated to drop {_amount(own)} on its way, where a note to "
        f"NEC {clause} recommends at most {limit} for a {what}"
    )
    if total is not None and len(total.inputs) > 1:
        recommended = f"{code_limit('total_drop_percent')} %"
        message += f"; from the source it is {_amount(total)}, of {recommended} recommended"
    return Problem(
        "note",
        "voltage-drop",
        message,
        _place(facts, element),
        _HINT,
        subjects=(element.tag,),
    )


def _together(facts: Facts, panel: str, found: list[tuple[str, Value]]) -> Problem:
    worst, total = max(found, key=lambda one: one[1].amount)
    others = len(found) - 1
    more = f", and {others} more of {local(panel)} are over it" if others else ""
    return Problem(
        "note",
        "voltage-drop",
        f"from the source to the end of {local(worst)} the conductors are calculated to drop "
        f"{_amount(total)}, where a note to NEC 210.19(A) recommends at most "
        f"{code_limit('total_drop_percent')} % for feeders and branch circuit together{more}",
        _place(facts, facts.study.distribution.elements[worst]),
        _HINT,
        subjects=tuple(tag for tag, _ in found),
    )


def _amount(value: Value) -> str:
    """Return a drop in words, with what it leaves out and what it takes at its worst."""
    assumed = any(each.origin == "assumed" and "power factor" in each.name for each in value.inputs)
    notes = []
    if assumed:
        notes.append("with power factors that are not recorded at their worst")
    if value.at_least:
        notes.append("what else is not recorded left out")
    said = f" ({'; '.join(notes)})" if notes else ""
    return f"{value.amount:.1f} %{said}"


def _largest(answers: Iterable[Answer | None]) -> Value | None:
    values = [answer for answer in answers if isinstance(answer, Value)]
    return max(values, key=lambda value: value.amount, default=None)


def _limit(name: str) -> float:
    return float(code_limit(name))


def _place(facts: Facts, element: Element) -> Location:
    """Return where the conductors are recorded."""
    loaded = facts.buildings[building_of(element.conductors_of)]
    name = local(element.conductors_of)
    if isinstance(facts.study.distribution.elements[element.conductors_of].record, Circuit):
        panel, _, position = name.rpartition("/")
        return loaded.where("panels", panel, "circuits", position, "conductors")
    if isinstance(element.record, Panel):
        return loaded.where("panels", name, "feeder")
    return loaded.where("equipment", name, "conductors")
