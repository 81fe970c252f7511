"""Whether a device protects its conductors, and the largest that would."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final, Literal

from recordgen.calc.answer import Answer, Input, Need, NoValue, Value
from recordgen.calc.load_rules import Edition
from recordgen.calc.study.conductor_set import Described
from recordgen.calc.study.device_limit import (
    DeviceRule,
    Unknown,
    ampacities,
    device_limit,
    hangs_on,
)
from recordgen.calc.study.distribution import Element
from recordgen.calc.study.protecting_device import Protection, end_device
from recordgen.calc.study.served_loads import ServedLoads
from recordgen.network.model import local

VerdictWord = Literal["fits", "too large", "not known", "own rule"]

_AMPACITY: Final = "NEC 310.15 and 110.14(C), table 310.16 (figures of the 2014 edition)"
_DEVICE: Final = "NEC 240.4, 240.4(B) to (D), from memory; ratings of 240.6(A)"
_SECONDARY: Final = "NEC 240.21(C), from memory; ratings of 240.6(A)"


@dataclass(frozen=True)
class Verdict:
    """Whether a device protects its conductors.

    Attributes
    ----------
    word : str
        "fits"; "too large", whatever is not recorded; "not known"; "own rule": another clause than
        240.4 sets the largest device, and it is not judged here.
    clause : str
    at_most_a : float or None
        Largest device in the best case of what is not recorded [A]; None where not known at all.
    unless : tuple of str
        What would allow a device that is too large, and is not judged or not recorded.
    needs : tuple of Need
        What decides it and is not recorded.
    """

    word: VerdictWord
    clause: str
    at_most_a: float | None = None
    unless: tuple[str, ...] = ()
    needs: tuple[Need, ...] = ()


@dataclass(frozen=True)
class Judgement:
    """The answers about one set of conductors, worked out once.

    Attributes
    ----------
    element : Element
        Whose record holds the conductors.
    key : str
        Their key in the record.
    device : Protection or NoValue
    served : ServedLoads
    described : Described or NoValue
    edition : int or NoValue
    """

    element: Element
    key: str
    device: Protection | NoValue
    served: ServedLoads
    described: Described | NoValue
    edition: Edition | NoValue

    @cached_property
    def ampacity(self) -> Answer:
        """Allowable ampacity [A]."""
        if isinstance(self.described, NoValue):
            return self.described
        found = {each.allowable_a: each for each in ampacities(self.described.set)}
        if len(found) > 1:
            return NoValue((Need(self.element.tag, f"{self.key}: insulation"),))
        ((amount, steps),) = found.items()
        ruled = "the terminals govern" if steps.limited_by_terminals else "the insulation governs"
        return Value(
            amount=amount,
            unit="A",
            formula=f"table × correction × adjustment × number in parallel = "
            f"{steps.corrected_a:.4g} A, at most {steps.terminal_limit_a:.4g} A for the "
            f"terminals: {ruled if steps.corrected_a != steps.terminal_limit_a else 'the same'}",
            source=_AMPACITY,
            inputs=self.described.inputs,
        )

    @cached_property
    def rule(self) -> DeviceRule | NoValue:
        """What the largest device follows from; NoValue where its kind is not known."""
        if isinstance(self.device, NoValue):
            return self.device
        return DeviceRule(
            self.device.kind,
            self.served.several_receptacles,
            None if isinstance(self.edition, NoValue) else self.edition,
            next_size_up=self.device.behind != "transformer",
        )

    @cached_property
    def largest_device(self) -> Answer:
        """Largest rating of a device that protects them [A]."""
        if isinstance(self.described, NoValue):
            return self.described
        if isinstance(self.rule, NoValue):
            return self.rule
        limit = device_limit(self.described.set, self.rule)
        if limit.assumed_a is None:
            return NoValue(self._needs(limit.open))
        inputs = list(self.described.inputs)
        if isinstance(self.ampacity, Value):
            shown = f"{self.ampacity.amount:.4g} A"
            inputs.append(Input("allowable ampacity", shown, "calculated", self.element.tag))
        if self.rule.several_receptacles is not None:
            several = "yes" if self.rule.several_receptacles else "no"
            inputs.append(Input("several receptacles", several, "recorded", self.element.tag))
        up = self.rule.next_size_up
        return Value(
            amount=limit.assumed_a,
            unit="A",
            formula="the next standard rating up to 800 A, not for several receptacles, and no "
            "more than the limit of small conductors" if up else "not above the ampacity",
            source=_DEVICE if up else _SECONDARY,
            inputs=tuple(inputs),
        )  # fmt: skip

    def _needs(self, unknown: tuple[Unknown, ...]) -> tuple[Need, ...]:
        tag, found = self.element.tag, list[Need]()
        for name in unknown:
            if name == "code_edition" and isinstance(self.edition, NoValue):
                found += self.edition.needs
            elif name == "loads":
                found.append(Need(tag, "loads"))
            else:
                found.append(Need(tag, f"{self.key}: {name}"))
        return tuple(found)

    @cached_property
    def verdict(self) -> Verdict:
        """Whether the device that stands there does."""
        clause = "240.4"
        if isinstance(self.device, NoValue):
            return Verdict("not known", clause, needs=self.device.needs)
        if isinstance(self.described, NoValue):
            return Verdict("not known", clause, needs=self.described.needs)
        assert isinstance(self.rule, DeviceRule)  # noqa: S101  # for mypy: there is a device
        clause = "240.4" if self.rule.next_size_up else "240.21(C)"
        limit = device_limit(self.described.set, self.rule)
        rating_a, most_a = self.device.rating_a, limit.highest_a
        if rating_a <= limit.lowest_a:
            return Verdict("fits", clause, most_a)
        if self.served.own_clauses:
            return Verdict("own rule", ", ".join(self.served.own_clauses), most_a)
        if rating_a > most_a and not self.device.smaller:
            return Verdict("too large", clause, most_a, unless=self._unless(most_a))
        needs = self._needs(hangs_on(self.described.set, self.rule, rating_a))
        return Verdict("not known", clause, most_a, needs=(*needs, *self.device.smaller))

    def _unless(self, highest_a: float) -> tuple[str, ...]:
        assert isinstance(self.device, Protection)  # noqa: S101  # for mypy: asked before
        found = list(self.device.unless)
        if self.device.trip:
            found.append(f"240.6(C) lets its setting count: {self.device.trip}")
        end = end_device(self.element)
        if isinstance(end, Protection) and end.tag != self.device.tag and end.rating_a <= highest_a:
            found.append(
                f"240.21(B) allows them as a tap that ends in {local(end.tag)}, {end.rating_a:g} A"
            )
        if self.served.some_motors:
            found.append("430.63 allows it for the motors among its loads")
        if not self.served.recorded:
            found.append("it feeds motors only, 430.52: not all that it feeds is recorded")
        return tuple(found)
