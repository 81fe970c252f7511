"""What is calculated of one element, each as a question with its answer.

`QUESTIONS` is the table: one line makes a question appear on the cards of circuits and equipment,
and in the count of what is missing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Final

from recordgen.calc.answer import Answer, Input, NoValue, Value
from recordgen.calc.study.distribution import Element
from recordgen.calc.study.load_size import LoadSize
from recordgen.calc.study.study import Study
from recordgen.network.model import local
from recordgen.pages.calculated import Asked, amount_text, answer_text, exceeds, percent_text
from recordgen.records.supply import Circuit

_RATED: Final = frozenset(
    {"panel", "circuit", "transformer", "UPS", "transfer switch", "disconnect"}
)
"""Kinds of element whose rating limits what they carry."""


def asked_of(study: Study, tag: str) -> Iterator[Asked]:
    """Yield every question that is asked of an element (full tag), in the order of a page."""
    element = study.distribution.elements[tag]
    if isinstance(element.record, Circuit) and element.record.spare:
        return
    for question in QUESTIONS:
        yield from question(study, element)


def connected(study: Study, element: Element) -> Iterator[Asked]:
    """Yield the connected load of an element, piece by piece."""
    carried = study.loading.carried[element.tag]
    if not carried.pieces:
        if carried.needs:
            yield Asked("Connected load", NoValue(carried.needs))
        return
    inputs: list[Input] = []
    for size in study.loading.sizes.get(element.tag, {}).values():
        inputs += _of_load(size)
    for below in study.distribution.below[element.tag]:
        if not study.loading.carried[below].pieces:
            continue
        va = amount_text(study.loading.carried[below].connected_va, "VA")
        inputs.append(Input(local(below), va, "calculated", below))
    yield Asked(
        "Connected load",
        Value(
            carried.connected_va,
            "VA",
            "sum of all that hangs on it in the normal state; a load with several feeds counts in "
            "full on each, and once where they come together",
            "common practice",
            tuple(inputs),
            carried.needs,
        ),
    )


def _of_load(size: LoadSize) -> Iterator[Input]:
    name = local(size.tag)
    for each in size.inputs:
        yield Input(f"{name}: {each.name}", each.value, each.origin, each.where)
    if size.quantity > 1 and size.piece_va is not None:
        yield Input(f"{name}: quantity", str(size.quantity), "recorded", size.tag)


def used(study: Study, element: Element) -> Iterator[Asked]:
    """Yield how much of its rating an element carries."""
    if element.kind not in _RATED:
        return
    capacity = study.capacity.of(element.tag)
    if not capacity.loading.carried.pieces and not capacity.loading.carried.needs:
        return
    limit, demand = capacity.governing, capacity.loading.demand
    label = f"Used of the {limit.what}" if limit else "Used"
    if limit is None or demand is None or (capacity.needs and not capacity.loading.carried.pieces):
        yield Asked(label, NoValue(capacity.needs))
        return
    by_demand = element.kind in ("transformer", "UPS")
    inputs = [Input("demand", amount_text(demand.demand_va, "VA"), "calculated", element.tag)]
    formula = "demand / rating"
    if not by_demand:
        formula = "(demand + 25 % of continuous load + 25 % of the largest motor) / rating"
        for name, va in (
            ("25 % of continuous load", demand.continuous_addition_va),
            ("25 % of the largest motor", demand.motor_addition_va),
        ):
            if va:
                inputs.append(Input(name, amount_text(va, "VA"), "calculated", element.tag))
    inputs.append(Input("amperes", amount_text(limit.used_a, "A"), "calculated", element.tag))
    inputs.append(Input(f"rating of the {limit.what}", limit.written, "recorded", element.tag))
    yield Asked(
        label,
        Value(
            limit.percent,
            "%",
            formula,
            "NEC article 220 for the demand"
            + ("" if by_demand else "; 210.20(A), 215.3, 430.24 for the additions"),
            tuple(inputs),
            capacity.needs,
        ),
        f"{percent_text(limit.percent)} of {limit.written}"
        + (": too much" if exceeds(limit.percent) else ""),
    )


def conductors(study: Study, element: Element) -> Iterator[Asked]:
    """Yield what the conductors of an element carry, and whether their device protects them.

    A circuit whose conductors are recorded with what they lead to leaves the questions to that.
    """
    if element.kind == "source" or _recorded_below(study, element):
        return
    found = study.conductors.of(element.tag)
    if isinstance(found, NoValue):
        yield Asked("Allowable ampacity", found)
        return
    yield Asked("Allowable ampacity", found.ampacity)
    verdict, device = found.verdict, found.device
    if verdict.word == "not known" or isinstance(device, NoValue):
        needs = verdict.needs or (device.needs if isinstance(device, NoValue) else ())
        yield Asked("Device and conductors", NoValue(needs))
    else:
        inputs = [Input("device", str(device), "recorded", device.tag)]
        for name, answer in (
            ("allowable ampacity", found.ampacity),
            ("largest device", found.largest_device),
        ):
            if isinstance(answer, Value):
                inputs.append(Input(name, answer_text(answer), "calculated", found.tag))
        words = {"fits": "fits", "too large": "too large", "own rule": "a rule of its own"}
        limit = found.largest_device
        largest = f", at most {answer_text(limit)}" if isinstance(limit, Value) else ""
        unless = "".join(f"; unless {each}" for each in verdict.unless)
        yield Asked(
            "Device and conductors",
            Value(
                device.rating_a,
                "A",
                f"the device against the largest that the conductors allow{unless}",
                verdict.clause if verdict.clause.startswith("NEC") else f"NEC {verdict.clause}",
                tuple(inputs),
            ),
            f"{words[verdict.word]}: {device}{largest}",
        )
    ground = found.ground
    if ground.word == "not known":
        yield Asked("Equipment ground", NoValue(ground.needs))
    elif ground.word != "not judged":
        size = "" if ground.recorded is None else f", {ground.recorded}"
        least = "" if ground.minimum is None else f"; at least {ground.minimum} is asked for"
        yield Asked(
            "Equipment ground",
            Value(0.0, "", "recorded size against the device", ground.clause, ground.inputs),
            f"{_GROUND_WORDS.get(ground.word, ground.word)}{size}{least}",
        )


_GROUND_WORDS: Final = {"raceway": "the metal raceway may serve; no conductor is recorded"}


def _recorded_below(study: Study, element: Element) -> bool:
    """Say whether the conductors of a circuit are recorded where they lead to, if anywhere."""
    if element.conductors is not None or not isinstance(element.record, Circuit):
        return False
    below = [study.distribution.elements[tag] for tag in study.distribution.below[element.tag]]
    alone = not study.distribution.loads_at.get(element.tag)
    return alone and all(each.conductors is not None for each in below)


def voltage(study: Study, element: Element) -> Iterator[Asked]:
    """Yield the voltage drop along the conductors of an element, and from the source to it."""
    if element.kind == "source" or _recorded_below(study, element):
        return
    found = study.voltages.of(element.tag)
    if found.drop_percent is not None:
        what = "branch circuit, connected load" if found.branch else "feeder, demand"
        yield Asked(f"Voltage drop ({what})", found.drop_percent)
    if found.worst_phase_percent is not None:
        yield Asked("Voltage drop on the worst phase", found.worst_phase_percent)
    if found.total_percent is not None:
        yield Asked("Voltage drop of all conductors from the source", found.total_percent)


def fault_current(study: Study, element: Element) -> Iterator[Asked]:
    """Yield the available fault current: the largest of any state of the switches."""
    if _recorded_below(study, element):
        return
    found = study.faults.at(element.tag)
    if found.recorded_a is not None:
        yield Asked("Available fault current", found.recorded_a, origin="recorded")
    largest = found.largest
    if isinstance(element.record, Circuit):
        bus = study.faults.at(found.bus)
        answer = _counted_from(found.bus, bus.largest.largest_a, largest.largest_a)
        yield Asked("Fault current at its end", answer)
        return
    if element.kind == "source":
        return
    above = study.faults.at(element.feed).largest if element.feed else None
    for name, answers in (
        ("three-phase", (largest.three_phase_a, above.three_phase_a if above else None)),
        ("line to line", (largest.line_to_line_a, above.line_to_line_a if above else None)),
        (
            "line to neutral",
            (largest.line_to_neutral_a, above.line_to_neutral_a if above else None),
        ),
    ):
        here, before = answers
        if here is None or (name == "line to line" and largest.three_phase_a is not None):
            continue
        where = " at its secondary" if element.kind == "transformer" else ""
        label = f"Available fault current{where}, {name}"
        yield Asked(label, _counted_from(element.feed or "", before, here))
    motors = study.fault_addends.motors_a(element.tag) if element.kind == "panel" else None
    if motors is not None:
        yield Asked("Motors add to it at first", motors)


def _counted_from(tag: str, before: Answer | None, answer: Answer) -> Answer:
    """Return a fault current with its inputs from some element (full tag) on.

    Only where all that the current there rests on is part of the way; else with all its inputs.
    """
    if isinstance(answer, NoValue) or not isinstance(before, Value):
        return answer
    shared = {each for each in before.inputs if each.origin != "calculated"}
    if not shared.issubset(answer.inputs):
        return answer
    known = Input(f"available at {local(tag)}", answer_text(before), "calculated", tag)
    own = tuple(each for each in answer.inputs if each not in before.inputs)
    return replace(answer, inputs=(known, *own))


Question = Callable[[Study, Element], Iterator[Asked]]
WAY: Final[tuple[Question, ...]] = (conductors, voltage, fault_current)
"""What is asked of the way to an element."""

QUESTIONS: Final[tuple[Question, ...]] = (connected, used, *WAY)
"""Every question, in the order of a page."""


def way_to(study: Study, element: Element) -> Iterator[Asked]:
    """Yield what is asked of the way to an element: a panel's page says its load in tables."""
    for question in WAY:
        yield from question(study, element)
