"""Values with units as people write them: `20 A`, `22 kAIC`, `95 ft`, `3/0 AWG Cu`.

Each is converted once, here, and remembers how it was written: pages show what stands in the
record, calculations use the number. A number without a unit is refused, never guessed.
Factors are exact by definition (inch 25.4 mm, horsepower 745.7 W rounded as NEC Table 430.247 ff.
use it: 746 W; from memory) unless a comment says otherwise.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from typing import Annotated, Any, Final

from pydantic import PlainValidator
from pydantic_core import PydanticCustomError

from recordgen.records.json_patterns import amount, text_schema

_NUMBER: Final = re.compile(
    r"(?P<number>[+-]?(?:\d{1,3}(?:,\d{3})+|\d+)(?:\.\d+)?|[+-]?\.\d+)"
    r"\s*(?P<unit>(?:[^\W\d_]|[%°]).*)?"
)


class Quantity(float):
    """A number in the unit its field's name says, with the text it was written as."""

    written: str

    def __new__(cls, value: float, written: str) -> Quantity:
        """Make a quantity of a value in base units and its written form."""
        quantity = super().__new__(cls, value)
        quantity.written = written
        return quantity

    def __str__(self) -> str:
        return self.written

    def __reduce__(self) -> tuple[type[Quantity], tuple[float, str]]:
        return Quantity, (float(self), self.written)


def _split(text: object) -> tuple[float, str] | None:
    match = _NUMBER.fullmatch(str(text).strip())
    if match is None:
        return None
    return float(match["number"].replace(",", "")), (match["unit"] or "").strip()


def _reader(
    what: str,
    factors: dict[str, float],
    example: str,
    *,
    least: float = 0.0,
    most: float = float("inf"),
    zero: bool = True,
    offset: dict[str, float] | None = None,
) -> Callable[[Any], Quantity]:
    by_spelling = _spellings(factors)
    shift = offset or {}
    allowed = ", ".join(unit for unit in factors if unit)
    no_such_unit = "the unit {unit} is not one of {allowed}"
    if not allowed:
        no_such_unit = "{what} has no unit, found {unit}"

    def read(value: Any) -> Quantity:
        if isinstance(value, Quantity):
            return value
        parts = _split(value) if isinstance(value, str) else None
        if parts is None:
            raise PydanticCustomError(
                "quantity",
                "{found} is not {what}",
                {"found": shown(value), "what": what, "hint": f"write it like {example}"},
            )
        number, unit = parts
        if not unit and "" not in factors:
            raise PydanticCustomError(
                "no-unit",
                "{found} has no unit, expected {what}",
                {"found": shown(value), "what": what, "hint": f"write it like {example}"},
            )
        known = unit if unit in factors else by_spelling.get(unit.lower())
        if known is None:
            context = {"unit": shown(unit), "allowed": allowed, "what": what}
            hint = f"write it like {example}"
            raise PydanticCustomError("wrong-unit", no_such_unit, {**context, "hint": hint})
        base = number * factors[known] + shift.get(known, 0.0)
        if not (least <= base <= most and math.isfinite(base)):
            raise PydanticCustomError(
                "out-of-range",
                "{found} cannot be {what}",
                {"found": shown(value), "what": what, "hint": f"write it like {example}"},
            )
        if base == 0 and not zero:
            hint = f"write it like {example}, or leave the key out where it is not recorded"
            raise PydanticCustomError(
                "zero",
                "expected {what} above zero, found {found}",
                {"found": shown(value), "what": what, "hint": hint},
            )
        return Quantity(base, " ".join(value.split()))

    return read


def _spellings(factors: Mapping[str, float]) -> dict[str, str]:
    """Return lower-case spelling → unit, for units that keep their meaning in any case.

    `MOHM` may be meant as mega or as milli, and a factor of a thousand million lies between them:
    a prefix m or M is read only as it is listed.
    """
    return {
        unit.lower(): unit for unit in factors if not (unit[:1] in "mM" and unit[1:] in factors)
    }


def shown(value: object) -> str:
    """Return a value as messages quote it: short, on one line, with what it is if no text."""
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "a mapping"
    if isinstance(value, list):
        return "a list"
    # A terminal or a log must not obey what a record says.
    words = " ".join(str(value).split())
    text = "".join(c if c.isprintable() else f"<U+{ord(c):04X}>" for c in words)
    return f'"{text if len(text) <= 60 else text[:57] + "..."}"'


def _quantity(what: str, factors: dict[str, float], example: str, **limits: Any) -> Any:
    return Annotated[
        Quantity,
        PlainValidator(_reader(what, factors, f'"{example}"', **limits)),
        text_schema(
            amount(factors, fixed=factors.keys() - _spellings(factors).values()),
            number="" in factors,
            description=what,
            examples=[example],
        ),
    ]


# Ratings and nominal values: a zero there stands for "not known", and nothing follows from it.
# What a meter shows may be zero: `Measured`.
Amperes = _quantity("a current", {"A": 1, "kA": 1e3, "mA": 1e-3}, "20 A", zero=False)
InterruptingAmperes = _quantity(
    "an interrupting rating", {"kAIC": 1e3, "kA": 1e3, "AIC": 1, "A": 1}, "22 kAIC", zero=False
)
Volts = _quantity(
    "a voltage", {"V": 1, "kV": 1e3, "VAC": 1, "VDC": 1, "mV": 1e-3}, "480 V", zero=False
)
VoltAmperes = _quantity(
    "an apparent power", {"kVA": 1e3, "VA": 1, "MVA": 1e6}, "75 kVA", zero=False
)
LENGTH_FACTORS: Final = {
    "ft": 0.3048,
    "m": 1.0,
    "in": 0.0254,
    "cm": 0.01,
    "mm": 0.001,
    "km": 1e3,
}
Metres = _quantity("a length", LENGTH_FACTORS, "95 ft")
Minutes = _quantity(
    "a duration", {"min": 1, "s": 1 / 60, "h": 60, "d": 1440, "ms": 1 / 60_000}, "8 min"
)
# A month is taken as 365.2425 / 12 days, the mean of the Gregorian calendar.
Days = _quantity(
    "a period",
    {
        "months": 30.436875,
        "month": 30.436875,
        "years": 365.2425,
        "year": 365.2425,
        "days": 1,
        "day": 1,
        "weeks": 7,
    },
    "36 months",
)
Percent = _quantity("a percentage", {"%": 1}, "3.5 %", most=100.0, zero=False)
Celsius = _quantity(
    "a temperature",
    {"°C": 1, "C": 1, "°F": 5 / 9, "F": 5 / 9},
    "40 C",
    least=-90.0,
    most=2000.0,
    offset={"°F": -32 * 5 / 9, "F": -32 * 5 / 9},
)
# 1 cal = 4.184 J (thermochemical).
IncidentEnergy = _quantity(
    "an incident energy", {"cal/cm2": 1, "cal/cm²": 1, "J/cm2": 1 / 4.184}, "4.2 cal/cm2"
)
LoadPower = _quantity(
    "a power",
    {"VA": 1, "kVA": 1e3, "W": 1, "kW": 1e3, "hp": 746, "HP": 746, "MW": 1e6},
    "1.5 kW",
)
Ratio = _quantity("a number", {"": 1}, "6")
RESISTANCE_FACTORS: Final = {
    "ohm": 1.0,
    "kohm": 1e3,
    "Mohm": 1e6,
    "Gohm": 1e9,
    "mohm": 1e-3,
    "Ω": 1.0,
    "kΩ": 1e3,
    "MΩ": 1e6,
    "GΩ": 1e9,
    "mΩ": 1e-3,
}
Measured = _quantity(
    "a measured value",
    {
        "A": 1,
        "mA": 1e-3,
        "kA": 1e3,
        "V": 1,
        "mV": 1e-3,
        "kV": 1e3,
        **RESISTANCE_FACTORS,
        "s": 1,
        "ms": 1e-3,
        "min": 60,
        "°C": 1,
        "C": 1,
        "K": 1,
        "%": 1,
        "Hz": 1,
        "ft": 0.3048,
        "m": 1,
        "": 1,
        "lx": 1,
    },
    "250 Mohm",
    least=float("-inf"),
)
