"""Available fault current at every element, from every source that can reach it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from math import inf
from typing import Final

from recordgen.calc.answer import Answer, Input, Need, NoValue, Value
from recordgen.calc.fault_asymmetry import x_over_r
from recordgen.calc.study.distribution import Distribution, Element
from recordgen.calc.study.feed_ways import Way
from recordgen.calc.study.parallel_feeds import parallel_notes
from recordgen.calc.study.reach import Reach, written
from recordgen.calc.study.reach_steps import along
from recordgen.calc.study.reaches import Best, Reaches, may_be_more
from recordgen.network.model import local
from recordgen.records.supply import Circuit, Panel, Source

COLD_C: Final = 25.0
"""Conductor temperature for interrupting ratings: cold conductors let more through."""

_SOURCE: Final = "complex impedances in series; NEC chapter 9 table 9 for conductors"


@dataclass(frozen=True)
class FaultCurrents:
    """What bolted faults draw at a place.

    Attributes
    ----------
    source : str
        Full tag of the source that gives most between lines; empty where none is known.
    three_phase_a, line_to_line_a, line_to_neutral_a : Value, NoValue or None
        Symmetrical [A]; None where there can be no such fault: fewer lines, no neutral.
    x_over_r : Value or NoValue
        Of the fault between lines.
    point_to_point_a : Value or None
        Three-phase, or between lines of a single-phase system, by the method for checks by hand;
        None where its table or its range ends [A].
    most_a : float or None
        What the largest of all these can be, whatever is not recorded [A]; None where nothing
        bounds it.
    """

    source: str
    three_phase_a: Answer | None
    line_to_line_a: Answer | None
    line_to_neutral_a: Answer | None
    x_over_r: Answer
    point_to_point_a: Value | None = None
    most_a: float | None = None

    @property
    def largest_a(self) -> Answer:
        """The largest of the currents that are known, or what all of them need."""
        kinds = (self.three_phase_a, self.line_to_line_a, self.line_to_neutral_a)
        values = [one for one in kinds if isinstance(one, Value)]
        if values:
            return max(values, key=lambda value: value.amount)
        needs = [need for one in kinds if isinstance(one, NoValue) for need in one.needs]
        return NoValue(tuple(dict.fromkeys(needs)))


@dataclass(frozen=True)
class FaultAnswer:
    """The fault currents of an element.

    Attributes
    ----------
    tag : str
        Full tag.
    bus : str
        Full tag of the element whose currents hold at its own terminals: for a circuit's device
        the panel; else itself.
    normal : FaultCurrents or None
        By the feeds of the normal state; None where no source supplies it then.
    largest : FaultCurrents
        The largest of any state: what interrupting ratings must hold for. Of a circuit, at the end
        of its conductors; of a transformer, at its secondary; of a drive or UPS, at what feeds it.
    recorded_a : Value or None
        What the record itself gives, of a source or a panel; never mixed with the calculated ones.
    notes : tuple of str
        Feeds that act side by side, of which the figures count one at a time.
    """

    tag: str
    bus: str
    normal: FaultCurrents | None
    largest: FaultCurrents
    recorded_a: Value | None = None
    notes: tuple[str, ...] = ()


@dataclass
class FaultStudy:
    """The fault currents of a portfolio.

    Attributes
    ----------
    distribution : Distribution
    temperature_c : float
        Of all conductors [°C].

    Notes
    -----
    One source at a time, bolted faults, symmetrical currents, nominal volts, no voltage factor.
    What motors and inverters add is asked of `FaultAddends`. A source that gives less between
    lines may give more to neutral, so both are followed through every way on their own.
    """

    distribution: Distribution
    temperature_c: float = COLD_C
    _answers: dict[str, FaultAnswer] = field(default_factory=dict, init=False, repr=False)

    @cached_property
    def reaches(self) -> Reaches:
        """How the sources reach every element."""
        return Reaches(self.distribution, self.temperature_c)

    def at(self, tag: str) -> FaultAnswer:
        """Return the fault currents of an element by its full tag.

        Raises
        ------
        KeyError
            There is no such element.
        """
        if tag not in self._answers:
            self._answers[tag] = self._answer(self.distribution.elements[tag])
        return self._answers[tag]

    def _answer(self, element: Element) -> FaultAnswer:
        bus, normal = self.reaches.bus(element.tag), None
        here = self.reaches.in_normal_state(bus)
        lost = self.reaches.lost.get(bus, ())
        # Where the normal state gives most, as nearly everywhere, it is worked out once.
        best = {
            kind: here if isinstance(here, Reach) and here.same_as(reach) else reach
            for kind, reach in self.reaches.best.get(bus, {}).items()
        }
        if element.live or all(reach is here for reach in best.values()):
            normal = self._currents(element, here, here)
        if normal is not None and not lost and all(reach is here for reach in best.values()):
            largest = normal
        else:
            largest = self._currents(
                element,
                best.get("lines") or best.get("lines at most") or here,
                best.get("neutral") or best.get("neutral at most") or here,
                best,
                lost,
            )
        notes = self._parallel.get(element.tag, ())
        return FaultAnswer(
            element.tag,
            bus,
            normal if element.live else None,
            largest,
            _recorded(element),
            notes,
        )

    @cached_property
    def _parallel(self) -> Mapping[str, tuple[str, ...]]:
        return parallel_notes(self.distribution)

    def _currents(
        self,
        element: Element,
        lines: Reach | NoValue,
        neutral: Reach | NoValue,
        rivals: Mapping[Best, Reach] | None = None,
        lost: tuple[Need, ...] = (),
    ) -> FaultCurrents:
        """Return the currents of a reach for the lines and one for the neutral, as answers.

        `rivals` are what the largest is held against: ways that may give more, were all recorded;
        `lost` is why others cannot be followed at all.
        """
        if isinstance(lines, NoValue) or isinstance(neutral, NoValue):
            why = lines if isinstance(lines, NoValue) else neutral
            assert isinstance(why, NoValue)  # noqa: S101  # for mypy: one of them is
            return FaultCurrents("", why, why, why, why)
        there = {id(r): r for r in (lines, neutral, *(rivals or {}).values())}
        ends = {key: self._to_end(reach, element) for key, reach in there.items()}
        lines, neutral = ends[id(lines)], ends[id(neutral)]
        rival = {kind: ends[id(reach)] for kind, reach in (rivals or {}).items()}
        more = (*may_be_more(lines, rival.get("lines at most")), *lost)
        more_to_neutral = (
            *may_be_more(neutral, rival.get("neutral at most"), to_neutral=True),
            *lost,
        )
        most = inf if lost else max(_most(reach) for reach in ends.values())
        return FaultCurrents(
            source=lines.source,
            three_phase_a=self._between_lines(lines, "three-phase", more),
            line_to_line_a=self._between_lines(lines, "line to line", more),
            line_to_neutral_a=self._to_neutral(neutral, more_to_neutral),
            x_over_r=self._turn(lines),
            point_to_point_a=_by_hand(lines),
            most_a=most if most < inf else None,
        )

    def _to_end(self, reach: Reach, element: Element) -> Reach:
        """Return a bus's reach at the end of a circuit's conductors; of others as it is."""
        if not isinstance(element.record, Circuit):
            return reach
        way = Way(
            self.reaches.bus(element.tag), element.tag, element.conductors, element.conductors_of
        )
        return along(reach, way, element, self.temperature_c)

    def _between_lines(self, reach: Reach, kind: str, more: tuple[Need, ...]) -> Answer | None:
        amount = reach.three_phase_a if kind == "three-phase" else reach.line_to_line_a
        if amount is None:
            return None
        if not reach.complete:
            return NoValue(reach.needs)
        formula = "line volts / √3 / |Z|" if kind == "three-phase" else "line volts / |2·Z|"
        inputs = (*self._inputs(reach), Input("Z", written(reach.line_ohm.known), "calculated"))
        return Value(amount, "A", f"{kind} fault: {formula}", _SOURCE, inputs, more)

    def _to_neutral(self, reach: Reach, more: tuple[Need, ...]) -> Answer | None:
        if reach.line_to_neutral_a is None:
            return None
        if not reach.neutral_complete:
            return NoValue((*reach.needs, *reach.neutral_needs))
        loop = Input("Z of line and neutral", written(reach.neutral_ohm.known), "calculated")
        inputs = (*self._inputs(reach, to_neutral=True), loop)
        formula = "line-to-neutral fault: volts to neutral / |Z of line and neutral|"
        return Value(reach.line_to_neutral_a, "A", formula, _SOURCE, inputs, more)

    def _turn(self, reach: Reach) -> Answer:
        if not reach.complete:
            return NoValue(reach.needs)
        impedance = reach.line_ohm.known
        inputs = (Input("Z", written(impedance), "calculated"),)
        return Value(x_over_r(impedance), "", "X / R of Z", _SOURCE, inputs)

    def _inputs(self, reach: Reach, *, to_neutral: bool = False) -> tuple[Input, ...]:
        """Return what went into a reach from the source down, each once."""
        found = [Input("conductor temperature", f"{self.temperature_c:g} °C", "assumed")]
        for step in reach.steps():
            if step.what:
                found.append(Input("by way of", step.what, "recorded"))
            found.extend(step.inputs)
            if to_neutral:
                found.extend(step.neutral_inputs)
        return tuple(dict.fromkeys(found))


def _most(reach: Reach) -> float:
    currents = (reach.three_phase_a, reach.line_to_line_a, reach.line_to_neutral_a)
    return max((amount for amount in currents if amount is not None), default=0.0)


def _by_hand(reach: Reach) -> Value | None:
    amount = reach.by_hand_a
    fits = reach.poles >= 3 if reach.phases == 3 else reach.poles >= 2
    if amount is None or not fits or not reach.complete:
        return None
    formula = "f = √3 (or 2)·L·I / (C·n·V), M = 1 / (1 + f), I·M from step to step"
    source = "point-to-point method: common practice; the values of C from memory but for a few"
    return Value(amount, "A", formula, source)


def _recorded(element: Element) -> Value | None:
    record = element.record
    if isinstance(record, Source) and record.available_fault_a is not None:
        where, current = "available_fault_current", record.available_fault_a
        said = f"record of {local(element.tag)}"
    elif isinstance(record, Panel) and record.recorded_fault is not None:
        where, current = "recorded_fault", record.recorded_fault.current_a
        by = record.recorded_fault.by or "by whom is not recorded"
        said = f"{by}, {record.recorded_fault.date or 'date not recorded'}"
    else:
        return None
    return Value(
        float(current),
        "A",
        "as recorded",
        said,
        (Input(where, str(current), "recorded", element.tag),),
    )
