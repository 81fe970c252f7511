"""Figures of which is known how far off they may be: `412 ± 5 ns`, `405 to 419 ns`.

An instrument that gives a distance gives it with an uncertainty. Where that is not written, the
bounds are None, and nothing that needs them can follow.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Final

from pydantic import PlainValidator
from pydantic_core import PydanticCustomError

from recordgen.records.json_patterns import NUMBER, amount, text_schema
from recordgen.records.quantities import LENGTH_FACTORS, RESISTANCE_FACTORS, shown

_BETWEEN: Final = re.compile(r"\s*(?P<sign>±|\+/-|\+-|\bto\b)\s*")
_PART: Final = re.compile(rf"(?P<number>{NUMBER})\s*(?P<unit>(?:[^\W\d_]|%).*)?")


@dataclass(frozen=True)
class Bounds:
    """A figure and the lowest and highest it may really be.

    Attributes
    ----------
    best : float
        In the unit of its field.
    low, high : float or None
        None where the record does not say how far off the figure may be.
    written : str
        As it stands in the record.
    """

    best: float
    low: float | None
    high: float | None
    written: str

    def __str__(self) -> str:
        return self.written


@dataclass(frozen=True, eq=False)  # a type annotation has to be hashable
class _Reader:
    """Reads one kind of figure."""

    what: str
    factors: Mapping[str, float]
    example: str

    def __call__(self, value: Any) -> Bounds:
        """Return a figure with its bounds; raise what is wrong with it."""
        if isinstance(value, Bounds):
            return value
        pieces = _BETWEEN.split(value.strip()) if isinstance(value, str) else []
        if len(pieces) not in (1, 3):
            raise self._wrong("quantity", "{found} is not {what}", value)
        parts = [self._part(piece, value) for piece in pieces[::2]]
        # "412 ± 5 ns" names the unit once, for both.
        unit = next((unit for _, unit in parts if unit), "")
        figures = [self._in_base(number, own or unit, value) for number, own in parts]
        bounds = _bounds(figures, pieces[1] if len(pieces) == 3 else None)
        best, low, high = bounds
        if low is not None and high is not None and low > high:
            raise self._wrong("not-in-order", "the bounds of {found} are not in order", value)
        if not 0 < (best if low is None else low) < math.inf:
            raise self._wrong(
                "out-of-range", "{found} reaches down to zero; {what} is above it", value
            )
        return Bounds(*bounds, " ".join(value.split()))

    def _part(self, text: str, value: object) -> tuple[float, str]:
        match = _PART.fullmatch(text.strip())
        if match is None:
            raise self._wrong("quantity", "{found} is not {what}", value)
        return float(match["number"].replace(",", "")), (match["unit"] or "").strip()

    def _in_base(self, number: float, unit: str, value: object) -> float:
        if unit not in self.factors:
            code = "wrong-unit" if unit else "no-unit"
            raise self._wrong(code, "{found} has no unit of {what}", value)
        return number * self.factors[unit]

    def _wrong(self, code: str, message: str, value: object) -> PydanticCustomError:
        hint = f'write it like "{self.example}"'
        return PydanticCustomError(
            code, message, {"found": shown(value), "what": self.what, "hint": hint}
        )


def _bounds(figures: list[float], sign: str | None) -> tuple[float, float | None, float | None]:
    """Return best, lowest and highest of what is written with a sign between."""
    first = figures[0]
    if sign is None:
        return first, None, None
    if sign == "to":
        return sum(figures) / 2, first, figures[1]
    return first, first - figures[1], first + figures[1]


def _field(what: str, factors: Mapping[str, float], example: str) -> Any:
    one = amount(factors, fixed=factors)
    return Annotated[
        Bounds,
        PlainValidator(_Reader(what, factors, example)),
        text_schema(
            rf"(?:{NUMBER}|{one})(?:\s*(?:±|\+/-|\+-|to)\s*{one})?",
            number="" in factors,
            description=what,
            examples=[example],
        ),
    ]


EchoTime = _field("the time of an echo", {"ns": 1, "us": 1e3, "µs": 1e3, "μs": 1e3}, "412 ± 5 ns")
BoundedOhms = _field("a resistance", RESISTANCE_FACTORS, "3 ± 0.03 ohm")
BoundedMetres = _field("a length", LENGTH_FACTORS, "390 ± 4 ft")
BoundedRatio = _field("a ratio", {"": 1, "%": 0.01}, "0.66 ± 0.02")
