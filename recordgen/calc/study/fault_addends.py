"""What motors and inverters add to the fault current of the one source that is counted."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from recordgen.calc.answer import Answer, Input, Need, NoValue, Value
from recordgen.calc.motor_contribution import motor_contribution_a
from recordgen.calc.study.distribution import Distribution, Element, LoadAt
from recordgen.calc.study.feed_ways import inverters
from recordgen.calc.study.load_size import load_size
from recordgen.calc.study.reach import Reach
from recordgen.calc.study.reaches import Reaches
from recordgen.records.equipment import Drive, Ups
from recordgen.records.supply import Circuit, LoadKind, Source

MOTORS: Final[frozenset[LoadKind]] = frozenset(
    {"motor", "HVAC", "elevator", "pump", "fan", "compressor", "machine tool"}
)
"""Kinds of three-phase load that hold motors, whatever unit their power is written in."""

_FORMULA: Final = "first-cycle factor x full-load current of three-phase motors that run"
_FADES: Final = "common practice, as in IEEE 141-1993, chapter 4 (from memory); fades within cycles"


@dataclass(frozen=True)
class _Running:
    """The motors below an element, at their own volts.

    `va` is the full load of three-phase motors [VA], `counted` how many pieces of load stand for
    it, `needs` what is not recorded of others.
    """

    va: float = 0.0
    counted: int = 0
    needs: tuple[Need, ...] = ()

    def __add__(self, other: _Running) -> _Running:
        return _Running(
            self.va + other.va,
            self.counted + other.counted,
            tuple(dict.fromkeys((*self.needs, *other.needs))),
        )


@dataclass
class FaultAddends:
    """What comes on top of a source's fault current, element by element.

    Attributes
    ----------
    distribution : Distribution
    reaches : Reaches
        How the sources reach every element in the normal state.

    Notes
    -----
    Three-phase motors recorded in horsepower; a transformer between is left out, and so are single-
    phase motors and all behind drives and UPS. All motors count as running, in the normal state.
    """

    distribution: Distribution
    reaches: Reaches

    def motors_a(self, tag: str) -> Answer | None:
        """Return what motors add to a three-phase fault [A]; None where no motor is recorded.

        Parameters
        ----------
        tag : str
            Full tag of an element.

        Returns
        -------
        Value, NoValue or None
            Of the motors below, and of those elsewhere through the impedances between. `at_least`
            names motors of unknown size, below or elsewhere. NoValue where the element's volts are
            not known.
        """
        bus = self.reaches.bus(tag)
        below = self._below[bus]
        needs = (*below.needs, *self._elsewhere(bus, below))
        reach = self.reaches.in_normal_state(bus)
        if isinstance(reach, NoValue) or reach.three_phase_a is None:
            return self._without_a_reach(bus, below)
        own_a = _first_cycle_a(below.va, reach.line_v)
        elsewhere_a = self._from_elsewhere_a(bus, reach)
        if not own_a and not elsewhere_a and not needs:
            return None
        inputs = (
            Input("motors below", f"{own_a:.0f} A of {below.counted} loads", "calculated"),
            Input(
                "motors elsewhere, through what is between", f"{elsewhere_a:.0f} A", "calculated"
            ),
        )
        formula = (
            "4 x full-load current of three-phase motors that run below, and of those elsewhere"
        )
        return Value(own_a + elsewhere_a, "A", formula, _FADES, inputs, needs)

    def inverters_a(self, tag: str) -> Answer | None:
        """Return what inverters that feed beside the utility add [A]; None where there is none.

        The recorded figures are added without regard to what lies between; NoValue names an
        inverter without one.
        """
        path = self.distribution.path(self.reaches.bus(tag))
        root = path[0].tag
        found = [s for s, into in self._inverters.items() if self._root(into) == root]
        if not found:
            return None
        line_v = path[-1].system.line_v if path[-1].system else None
        if line_v is None:
            return NoValue((Need(path[-1].tag, "system"),))
        needs, amount, inputs = [], 0.0, []
        for source in found:
            record = self.distribution.elements[source].record
            assert isinstance(record, Source)  # noqa: S101  # for mypy: `inverters` gives sources
            if record.available_fault_a is None or record.system is None:
                needs.append(Need(source, "available_fault_current"))
                continue
            amount += record.available_fault_a * record.system.line_v / line_v
            said = Input("inverter", str(record.available_fault_a), "recorded", source)
            inputs.append(said)
        if not inputs:
            return NoValue(tuple(needs))
        formula = "recorded currents, turned to the volts here and added"
        return Value(amount, "A", formula, "common practice", tuple(inputs), tuple(needs))

    def total_a(self, tag: str, current: Answer) -> Answer:
        """Return a fault current with what motors and inverters add [A].

        Parameters
        ----------
        tag : str
            Full tag of an element.
        current : Value or NoValue
            Of one source.

        Returns
        -------
        Value or NoValue
            `at_least` names what is not recorded of the addends.
        """
        if isinstance(current, NoValue):
            return current
        amount, inputs, missing = current.amount, [], list(current.at_least)
        inputs.append(Input("from the source", f"{amount:.0f} A", "calculated"))
        for name, more in (("motors", self.motors_a(tag)), ("inverters", self.inverters_a(tag))):
            if isinstance(more, Value):
                amount += more.amount
                inputs.append(Input(f"from {name}", f"{more.amount:.0f} A", "calculated"))
                missing.extend(more.at_least)
            elif more is not None:
                missing.extend(more.needs)
        formula = "added as sizes, which is on the high side"
        return Value(amount, "A", formula, _FADES, tuple(inputs), tuple(dict.fromkeys(missing)))

    @cached_property
    def _inverters(self) -> Mapping[str, str]:
        return inverters(self.distribution)

    def _root(self, tag: str) -> str:
        return self.distribution.path(tag)[0].tag

    @cached_property
    def _below(self) -> Mapping[str, _Running]:
        found: dict[str, _Running] = {}
        below = self.distribution.below
        for element in self.distribution.from_loads_up():
            if isinstance(element.record, Drive | Ups):
                found[element.tag] = _Running()
                continue
            parts = [self._own(element), *(found[child] for child in below[element.tag])]
            found[element.tag] = _sum(parts)
        return found

    def _own(self, element: Element) -> _Running:
        if element.poles != 3:
            return _Running()
        parts = [_running(at, element) for at in self.distribution.loads_at.get(element.tag, ())]
        if isinstance(element.record, Circuit) and element.record.loads_unknown:
            parts.append(_Running(needs=(Need(element.tag, "loads", "unknown: may be motors"),)))
        return _sum(parts)

    def _from_elsewhere_a(self, tag: str, reach: Reach) -> float:
        """Return what motors on the way to an element add there [A].

        Each impedance on the way is passed on as it is, and the motors that hang beside the way
        make the one before it smaller, as if all had the same angle: on the high side.
        """
        ohm, line_v = 0.0, 0.0
        path = [e for e in self.distribution.path(tag) if not isinstance(e.record, Circuit)]
        last_ohm = 0.0
        for element, following in zip(path, [*path[1:], None], strict=True):
            here = self.reaches.in_normal_state(element.tag)
            if isinstance(here, NoValue):
                return 0.0
            if line_v and here.line_v != line_v:
                ohm, last_ohm = (z * (here.line_v / line_v) ** 2 for z in (ohm, last_ohm))
            size = here.line_ohm.size
            ohm, last_ohm, line_v = ohm + max(size - last_ohm, 0.0), size, here.line_v
            if following is not None:
                beside = self._below[element.tag].va - self._below[following.tag].va
                ohm = _beside(ohm, beside, line_v)
        if not ohm or not reach.line_ohm.size:
            return 0.0
        phase_v = reach.line_v / math.sqrt(3)
        return max(phase_v / ohm - phase_v / reach.line_ohm.size, 0.0)

    def _elsewhere(self, bus: str, below: _Running) -> tuple[Need, ...]:
        """Return the motors of unknown size elsewhere as one need: they may be thousands."""
        root = self._root(bus)
        many = len(self._below[root].needs) - len(below.needs)
        why = f"of unknown size: {many}"
        return (Need(root, "motors elsewhere", why),) if many else ()

    def _without_a_reach(self, bus: str, below: _Running) -> Answer | None:
        if not below.va and not below.needs:
            return None
        system = self.distribution.elements[bus].system
        if system is None or system.phases != 3:
            return NoValue((Need(bus, "system"),))
        amount = _first_cycle_a(below.va, system.line_v)
        said = Input("motors below", f"{amount:.0f} A of {below.counted} loads", "calculated")
        formula = f"{_FORMULA} below"
        elsewhere = Need(bus, "what motors elsewhere add", "the impedances up to it are not known")
        return Value(amount, "A", formula, _FADES, (said,), (*below.needs, elsewhere))


def _running(at: LoadAt, element: Element) -> _Running:
    load = at.load
    size = load_size(at.tag, load, element.system, element.poles)
    if size.horsepower is None:
        if load.kind not in MOTORS:
            return _Running()
        why = "not recorded" if load.power_va is None else f"{load.power_va}, not in hp"
        return _Running(needs=(Need(at.tag, "power", f"{why}: what its motors add is unknown"),))
    if size.va is None:
        return _Running(needs=size.needs)
    return _Running(size.va, size.quantity)


def _sum(parts: list[_Running]) -> _Running:
    needs = dict.fromkeys(need for part in parts for need in part.needs)
    return _Running(sum(p.va for p in parts), sum(p.counted for p in parts), tuple(needs))


def _first_cycle_a(va: float, line_v: float) -> float:
    return motor_contribution_a(va / (math.sqrt(3) * line_v))


def _beside(ohm: float, va: float, line_v: float) -> float:
    """Return an impedance with motors beside it, all at one angle [Ω]."""
    if not ohm or va <= 0:
        return ohm
    phase_v = line_v / math.sqrt(3)
    return phase_v / (phase_v / ohm + _first_cycle_a(va, line_v))
