"""What a calculation answers: a value with its inputs, or the inputs that are not recorded."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Origin = Literal["recorded", "calculated", "table", "assumed"]


@dataclass(frozen=True)
class Input:
    """One input of a calculation.

    Attributes
    ----------
    name : str
        What it is: "length", "ampacity, 75 °C column".
    value : str
        With its unit, as a page shows it.
    origin : {"recorded", "calculated", "table", "assumed"}
    where : str
        Full tag of the record that holds it; the table and its standard; empty where assumed.
    """

    name: str
    value: str
    origin: Origin
    where: str = ""


@dataclass(frozen=True)
class Need:
    """An input that is not recorded, or cannot be used.

    Attributes
    ----------
    tag : str
        Full tag of the record that should hold it.
    field : str
        The key, as people write it: "length", "conductors: size".
    why : str
        What is wrong with it; empty where it is simply not recorded.
    """

    tag: str
    field: str
    why: str = ""

    def __str__(self) -> str:
        """Return a sentence part: `MSB/3, length: not recorded`."""
        return f"{self.tag.partition(':')[2]}, {self.field}: {self.why or 'not recorded'}"


@dataclass(frozen=True)
class Value:
    """A calculated value.

    Attributes
    ----------
    amount : float
        In the unit of `unit`.
    unit : str
    formula : str
        How it follows from the inputs, in words or signs.
    source : str
        Standard, edition, clause, or textbook; "common practice"; "from memory" where so.
    inputs : tuple of Input
        In the order in which they are used.
    at_least : tuple of Need
        What is not recorded and therefore not in it: the true value is larger.
    """

    amount: float
    unit: str
    formula: str
    source: str
    inputs: tuple[Input, ...] = ()
    at_least: tuple[Need, ...] = ()


@dataclass(frozen=True)
class NoValue:
    """A calculation without its inputs: `needs` says which."""

    needs: tuple[Need, ...]


Answer = Value | NoValue
