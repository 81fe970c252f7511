"""What one more load does to the voltage: on the feeders to its panel, and on its own circuit."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from recordgen.calc.answer import Answer, Input, Need, NoValue, Value
from recordgen.calc.study.distribution import Distribution, Element
from recordgen.calc.study.fit_question import FitQuestion
from recordgen.calc.study.segments import segment
from recordgen.calc.study.stretch import Stretch
from recordgen.calc.study.voltages import VoltageStudy
from recordgen.records.parts import Conductors

_SOURCE = "common practice; impedances: NEC 2014 chapter 9 table 9"
_WORST = Input("power factor", "where the drop is largest", "assumed")


@dataclass(frozen=True)
class FitDrop:
    """Voltage drop with one more load, in percent of nominal.

    Attributes
    ----------
    before : Value, NoValue or None
        Of all conductors from the source to the panel, as it is; None where there are none.
    added : Value or NoValue
        What the load adds there, at most.
    branch : Value, NoValue or None
        On the load's own conductors, at most; None where none were asked about.
    """

    before: Answer | None
    added: Answer
    branch: Answer | None

    @property
    def total_percent(self) -> float | None:
        """All together, at most; None where a part of it is not known."""
        parts = [part for part in (self.before, self.added, self.branch) if part is not None]
        known = [part.amount for part in parts if isinstance(part, Value)]
        return sum(known) if len(known) == len(parts) else None


def fit_drop(
    distribution: Distribution,
    voltages: VoltageStudy,
    panel: Element,
    question: FitQuestion,
    conductors: Conductors | None,
) -> FitDrop:
    """Return what one more load does to the voltage.

    Parameters
    ----------
    distribution, voltages
    panel : Element
    question : FitQuestion
    conductors : Conductors or None
        Of the load's own circuit, with their length.

    Returns
    -------
    FitDrop

    Notes
    -----
    The load's own current times the size of each impedance, out and back for one and two poles: the
    drop at the worst power factor, added to what is there. On less conductors than the feeder has,
    it counts on these alone. A load behind a transformer stands there on two conductors where it
    has one pole: what is counted is no less.
    """
    own = None
    if conductors is not None:
        own = _branch(panel, question, conductors)
    return FitDrop(voltages.total(panel.tag), _added(distribution, voltages, panel, question), own)


def _added(
    distribution: Distribution, voltages: VoltageStudy, panel: Element, question: FitQuestion
) -> Answer:
    percent, needs, inputs = 0.0, dict[Need, None](), [_load(question)]
    for element in distribution.path(panel.tag):
        stretch = voltages.stretches.get(element.tag)
        if isinstance(stretch, NoValue):
            needs |= dict.fromkeys(stretch.needs)
        elif stretch is not None:
            lost = 100 * question.load_va * _per_va(stretch, question.poles)
            percent += lost
            inputs.append(
                Input(f"to {element.tag.partition(':')[2]}", f"{lost:.2f} %", "calculated")
            )
    if needs:
        return NoValue(tuple(needs))
    return Value(percent, "%", "100 · I · |Z| · 2 (√3) / V, added up", _SOURCE, (*inputs, _WORST))


def _branch(panel: Element, question: FitQuestion, conductors: Conductors) -> Answer:
    circuit = replace(
        panel,
        kind="circuit",
        conductors=conductors,
        conductors_of=panel.tag,
        poles=question.poles,
    )
    run = segment(circuit)
    if isinstance(run, NoValue):
        return run
    system = panel.system
    assert system is not None  # noqa: S101  # for mypy: the question has been asked of it
    volts = system.line_v if question.poles > 1 else system.neutral_v
    assert volts is not None  # noqa: S101
    ways = 1 if question.poles == 3 else 2
    percent = 100 * ways * abs(run.phase_ohm) * question.load_va / volts**2
    formula = "100 · I · |Z| · 2 (√3) / V"
    return Value(percent, "%", formula, _SOURCE, (_load(question), *run.inputs, _WORST))


def _per_va(stretch: Stretch, poles: int) -> float:
    """Return the part of the nominal voltage that is lost for each volt-ampere [1/VA]."""
    size = abs(stretch.one_way_ohm)
    if poles == 3 or stretch.poles == 1:
        return abs(stretch.per_va)
    if poles == 2:
        return 2 * size / stretch.nominal_v**2
    to_neutral = stretch.nominal_v / (math.sqrt(3) if stretch.poles == 3 else 2)
    return 2 * size / to_neutral**2


def _load(question: FitQuestion) -> Input:
    return Input("load", f"{question.load_va:,.0f} VA", "assumed")
