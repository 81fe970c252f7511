"""Voltage drop to every element, from its feed and from the source, and the voltage there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from recordgen.calc.answer import Answer, Input, Need, NoValue, Value
from recordgen.calc.study.distribution import Distribution, Element, Record
from recordgen.calc.study.drop_sum import DropSum
from recordgen.calc.study.load_power import Power, PowerSums
from recordgen.calc.study.loading import LoadingStudy
from recordgen.calc.study.stretch import (
    Stretch,
    branches,
    carrier,
    has_stretch,
    stretch_into,
)
from recordgen.calc.study.stretch_drop import (
    approximate_percent,
    exact_percent,
    transformer_percent,
    worst_phase_percent,
)
from recordgen.calc.study.voltage_flow import Arriving, VoltageFlow
from recordgen.network.model import local
from recordgen.records.equipment import Drive, Transformer, Ups
from recordgen.records.supply import Circuit, Panel

_CONNECTED: Final = "connected load, of outlets and what plugs in the larger"


@dataclass(frozen=True)
class VoltageAnswer:
    """Voltage drop on the way to an element, and what arrives there.

    Attributes
    ----------
    tag : str
        Full tag.
    branch : bool
        Whether the conductors into it are a branch circuit: then with its connected load, of a
        feeder with its demand.
    drop_percent : Value, NoValue or None
        Along the conductors into it; of a circuit, to its end. By the usual formula [% of
        nominal]. None for a source.
    exact_percent : Value, NoValue or None
        The same for a load that takes its power at any voltage.
    worst_phase_percent : Value or None
        Into a panel, on the phase that drops most, the neutral's drop included; None where the
        phases or the neutral are not recorded.
    total_percent : Value, NoValue or None
        All conductors from the source to it, the service's too, without transformers. Of each
        feeder the larger of the balanced and the worst phase. NoValue where the last conductors
        are not recorded; "at least" where others on the way are not.
    transformers_percent : Value or None
        The transformers' own drop on the way; None where there is none.
    below_nominal_percent : Value or NoValue
        How far the voltage lies below nominal with all recorded loads on: a load flow with
        transformers and source. Negative where it lies above.
    volts : float or None
        The same in volts; the highest it can be where `below_nominal_percent` is "at least".
    """

    tag: str
    branch: bool
    drop_percent: Answer | None
    exact_percent: Answer | None
    worst_phase_percent: Value | None
    total_percent: Answer | None
    transformers_percent: Value | None
    below_nominal_percent: Answer
    volts: float | None


class VoltageStudy:
    """The voltage drops of a portfolio."""

    def __init__(self, distribution: Distribution, loading: LoadingStudy) -> None:
        self.distribution = distribution
        self.loading = loading
        self._drops: dict[str, tuple[Answer, Value | None]] = {}
        self._conductors_to: dict[str, DropSum] = {}
        self._transformers_to: dict[str, DropSum] = {}
        self._powers = PowerSums(loading)

    def of(self, tag: str) -> VoltageAnswer:
        """Return the voltage drop to an element and the voltage there.

        Parameters
        ----------
        tag : str
            Full tag of an element.

        Returns
        -------
        VoltageAnswer

        Raises
        ------
        KeyError
            There is no such element.

        Notes
        -----
        A branch circuit is counted by its whole recorded length with all its load at the end: no
        less than the drop to its farthest load. Of its outlets and what plugs in, the larger
        counts. Conductors at 75 °C. The state is the normal one, each load on every feed that may
        carry it.
        """
        at = carrier(self.distribution, tag)
        drop, worst_phase = self.drop(at)
        return VoltageAnswer(
            tag=tag,
            branch=self.is_branch[at],
            drop_percent=drop,
            exact_percent=self._exact(at) if drop else None,
            worst_phase_percent=worst_phase,
            total_percent=self.total(at),
            transformers_percent=self._through_transformers(tag),
            below_nominal_percent=self._below_nominal(tag),
            volts=self._volts(tag),
        )

    def drop(self, tag: str) -> tuple[Answer | None, Value | None]:
        """Return `drop_percent` and `worst_phase_percent` of an element with conductors."""
        if not has_stretch(self.distribution, tag):
            return None, None
        if tag not in self._drops:
            self._drops[tag] = self._found(tag)
        return self._drops[tag]

    def total(self, tag: str) -> Answer | None:
        """Return `total_percent` of an element with conductors."""
        last, _ = self.drop(tag)
        if last is None or isinstance(last, NoValue):
            return last
        through = [
            Input(f"voltage behind {local(each.tag)}", "as in bypass", "assumed")
            for each in self.distribution.path(tag)
            if isinstance(each.record, Ups | Drive)
        ]
        return self._way(tag, self._conductors_to, self._counted).value(through)

    @cached_property
    def flow(self) -> VoltageFlow:
        """The load flow with all recorded loads on."""
        return VoltageFlow(self.distribution, self.loading, self.stretches)

    @cached_property
    def is_branch(self) -> dict[str, bool]:
        """Element → whether the conductors into it are a branch circuit."""
        return branches(self.distribution)

    @cached_property
    def stretches(self) -> dict[str, Stretch | NoValue]:
        """Element → the conductors into it, of those that have any."""
        elements = self.distribution.elements
        return {
            tag: stretch_into(
                element,
                elements[element.feed] if element.feed else None,
                self._to_neutral(element),
            )
            for tag, element in elements.items()
            if has_stretch(self.distribution, tag)
        }

    def _to_neutral(self, element: Element) -> bool:
        """Say whether loads of a two-pole circuit are recorded for the voltage to neutral."""
        system = element.system
        if element.poles != 2 or system is None or system.neutral_v is None:
            return False
        loads = self.distribution.loads_at.get(element.tag, ())
        return any(one.load.voltage_v == system.neutral_v for one in loads)

    # One stretch.

    def _found(self, tag: str) -> tuple[Answer, Value | None]:
        stretch, load = self.stretches[tag], self._load(tag)
        if isinstance(stretch, NoValue) or isinstance(load, NoValue):
            return NoValue((*_needs(stretch), *_needs(load))), None
        power, scale, at_least = load
        drop = approximate_percent(stretch, power, self._what(tag), at_least)
        return drop, self._worst_phase(tag, stretch, scale, at_least)

    def _exact(self, tag: str) -> Answer:
        stretch, load = self.stretches[tag], self._load(tag)
        if isinstance(stretch, NoValue) or isinstance(load, NoValue):
            return NoValue((*_needs(stretch), *_needs(load)))
        return exact_percent(stretch, load[0], self._what(tag), load[2])

    def _what(self, tag: str) -> str:
        return _CONNECTED if self.is_branch[tag] else "demand"

    def _load(self, tag: str) -> tuple[Power, float, tuple[Need, ...]] | NoValue:
        """Return the power a stretch carries, how much of the connected load, what is missing."""
        record = self.distribution.elements[tag].record
        if isinstance(record, Circuit) and record.backfed_from is not None:
            why = "power comes in here; the voltage rise is not calculated"
            return NoValue((Need(tag, "backfed_from", why),))
        carried, scale = self.loading.carried[tag], 1.0
        if not carried.pieces and (carried.needs or not self._without_load(record)):
            why = "nothing is recorded on it in the normal state"
            return NoValue(carried.needs or (Need(tag, "loads", why),))
        if self.is_branch[tag]:
            power = self._powers.of_branch(tag)
        else:
            loading = self.loading.of(tag)
            if loading.demand is None:
                return NoValue(tuple(n for n in loading.needs if n not in carried.needs))
            connected_va = carried.connected_va
            scale = loading.demand.demand_va / connected_va if connected_va else 0.0
            power = self._powers.of(tag).times(scale)
        return power, scale, carried.needs

    @staticmethod
    def _without_load(record: Record) -> bool:
        """Say whether a circuit is recorded as carrying nothing: a spare, or `loads: none`."""
        return isinstance(record, Circuit) and (
            record.spare or (record.loads is not None and not record.loads_unknown)
        )

    def _worst_phase(
        self, tag: str, stretch: Stretch, scale: float, at_least: tuple[Need, ...]
    ) -> Value | None:
        element = self.distribution.elements[tag]
        if not isinstance(element.record, Panel) or element.system is None:
            return None
        parts = self.loading.parts(tag)
        if not parts:
            return None
        return worst_phase_percent(stretch, element.system, parts, scale, at_least)

    # From the source.

    def _way(
        self, tag: str, known: dict[str, DropSum], step: Callable[[Element], Answer | None]
    ) -> DropSum:
        """Return what adds up to an element, from what adds up to its feed."""
        if tag in known:
            return known[tag]
        way = DropSum()
        for element in self.distribution.path(tag):
            if element.tag not in known:
                if element.feed is None and element.kind != "source":
                    way = way.without((Need(element.tag, "fed_from"),))
                drop = step(element)
                if isinstance(drop, NoValue):
                    way = way.without(drop.needs)
                elif drop is not None:
                    way = way.and_then(element.tag, drop, self._in_short(element.tag, drop))
                known[element.tag] = way
            way = known[element.tag]
        return way

    def _counted(self, element: Element) -> Answer | None:
        """Return what counts of a stretch in a total: the larger of balanced and worst phase."""
        drop, worst = self.drop(element.tag)
        if worst is None or not isinstance(drop, Value):
            return drop
        return max(worst, drop, key=lambda value: value.amount)

    def _in_short(self, tag: str, value: Value) -> tuple[Need, ...]:
        """Return what is missing of a drop; for a feeder in one line, whatever hangs on it."""
        if self.is_branch[tag] or len(value.at_least) <= 1:
            return value.at_least
        return (Need(tag, "loads", f"{len(value.at_least)} entries are not recorded"),)

    def _through_transformers(self, tag: str) -> Value | None:
        way = self._way(tag, self._transformers_to, self._transformer)
        found = any(isinstance(e.record, Transformer) for e in self.distribution.path(tag))
        return way.value() if found else None

    def _transformer(self, element: Element) -> Answer | None:
        """Return a transformer's own drop; None of what is no transformer."""
        if not isinstance(element.record, Transformer):
            return None
        load = self._load(element.tag)
        if isinstance(load, NoValue):
            return load
        return transformer_percent(element.tag, element.record, load[0], load[2])

    # What arrives.

    def _arriving(self, tag: str) -> Arriving | NoValue:
        """Return what arrives at the end of an element's conductors, or at the element."""
        element = self.distribution.elements[tag]
        record = element.record
        if isinstance(record, Circuit) and not self._ends_somewhere(tag):
            return NoValue((Need(element.conductors_of, "conductors"),))
        return self.flow.at(tag)

    def _ends_somewhere(self, tag: str) -> bool:
        """Say whether a circuit's end is known; without conductors it is at its device."""
        return has_stretch(self.distribution, tag) or bool(self.distribution.below[tag])

    def _below_nominal(self, tag: str) -> Answer:
        found = self._arriving(tag)
        if isinstance(found, NoValue):
            return found
        root = self.distribution.path(tag)[0].tag
        missing = len(self.loading.carried[root].needs)
        why = f"{missing} entries are not recorded"
        return Value(
            amount=100 * (1 - abs(found.of_nominal)),
            unit="%",
            formula="load flow from the source: V = Vs - Z · (S / V)* on every stretch",
            source=f"circuit theory; {local(root)} as source",
            inputs=found.inputs,
            at_least=(Need(root, "loads", why),) if missing else (),
        )

    def _volts(self, tag: str) -> float | None:
        found = self._arriving(tag)
        return None if isinstance(found, NoValue) else found.volts


def _needs(answer: object) -> tuple[Need, ...]:
    return answer.needs if isinstance(answer, NoValue) else ()
