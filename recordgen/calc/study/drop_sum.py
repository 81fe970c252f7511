"""Voltage drops that add up on the way from a source."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from recordgen.calc.answer import Input, Need, Value
from recordgen.network.model import local


@dataclass(frozen=True)
class DropSum:
    """What adds up from the source to a place.

    Attributes
    ----------
    amount : float
        Each drop in percent of its own nominal voltage [%].
    parts : tuple of Input
        Each drop, from the source down.
    at_least : tuple of Need
        What is not recorded and therefore not in it.
    """

    amount: float = 0.0
    parts: tuple[Input, ...] = ()
    at_least: tuple[Need, ...] = ()

    def and_then(self, tag: str, drop: Value, at_least: tuple[Need, ...]) -> DropSum:
        """Return the sum with one more drop, to an element."""
        part = Input(f"drop to {local(tag)}", f"{drop.amount:.2f} %", "calculated", tag)
        return DropSum(self.amount + drop.amount, (*self.parts, part), (*self.at_least, *at_least))

    def without(self, needs: tuple[Need, ...]) -> DropSum:
        """Return the sum with one more drop that is not known."""
        return DropSum(self.amount, self.parts, (*self.at_least, *needs))

    def value(self, more: Iterable[Input] = ()) -> Value:
        """Return the sum, with inputs that stand beside the drops."""
        return Value(
            amount=self.amount,
            unit="%",
            formula="sum of the drops on the way, each of its own nominal voltage",
            source="common practice",
            inputs=(*self.parts, *more),
            at_least=tuple(dict.fromkeys(self.at_least)),
        )
