"""Nominal systems as the trade writes them: `480Y/277`, `120/240`, `240/120 high-leg delta`."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import isclose, sqrt
from typing import Annotated, Any, Final

from pydantic import PlainValidator
from pydantic_core import PydanticCustomError

from recordgen.records.json_patterns import text_schema
from recordgen.records.quantities import shown

_WYE: Final = re.compile(r"([1-9]\d*)\s?Y\s?/\s?([1-9]\d*)(?:\s?V)?")
_PAIR: Final = re.compile(r"([1-9]\d*)\s?/\s?([1-9]\d*)(?:\s?V)?(\s+high-leg delta)?")
_ONE: Final = re.compile(
    r"([1-9]\d*(?:\.\d+)?|0\.\d*[1-9]\d*)\s?(k?V|VDC)?"
    r"(?:\s+(delta|corner-grounded delta|single-phase|three-phase))?"
)
_ROUNDED: Final = 0.02
"""Nominal voltages are round numbers: 400/230 is 0.4 % off the square root of three."""


@dataclass(frozen=True)
class NominalSystem:
    """A nominal system.

    Attributes
    ----------
    written : str
        As recorded.
    line_v : float
        Voltage between ungrounded conductors [V].
    neutral_v : float or None
        Voltage from ungrounded conductor to neutral [V]; None without a neutral. The high leg of
        a delta has another one.
    phases : int
        3, 1, or 0 for direct current.
    high_leg : bool
        Whether one phase stands higher above the neutral than the others.
    """

    written: str
    line_v: float
    neutral_v: float | None
    phases: int
    high_leg: bool = False

    def __str__(self) -> str:
        return self.written


def read_system(value: Any) -> NominalSystem:
    """Read a nominal system.

    Raises
    ------
    PydanticCustomError
        The text is none of the known forms.
    """
    if isinstance(value, NominalSystem):
        return value
    text = " ".join(value.split()) if isinstance(value, str) else ""
    if match := _WYE.fullmatch(text):
        line, neutral = float(match[1]), float(match[2])
        if isclose(line, neutral * sqrt(3), rel_tol=_ROUNDED):
            return NominalSystem(text, line, neutral, 3)
    elif match := _PAIR.fullmatch(text):
        first, second = float(match[1]), float(match[2])
        if isclose(second, 2 * first, rel_tol=_ROUNDED) and not match[3]:
            return NominalSystem(text, second, first, 1)
        if isclose(first, 2 * second, rel_tol=_ROUNDED) and match[3]:
            return NominalSystem(text, first, second, 3, high_leg=True)
    elif match := _ONE.fullmatch(text):
        volts = float(match[1]) * (1000 if match[2] == "kV" else 1)
        if match[2] == "VDC" and not match[3]:
            return NominalSystem(text, volts, None, 0)
        if match[3] and match[2] != "VDC":
            return NominalSystem(text, volts, None, 1 if match[3] == "single-phase" else 3)
    raise PydanticCustomError(
        "system",
        "{found} is not a nominal system",
        {
            "found": shown(value),
            "hint": 'write it like "480Y/277", "120/240", "240/120 high-leg delta", "480 delta", '
            '"20 kV three-phase", "240 single-phase" or "48 VDC"',
        },
    )


System = Annotated[
    NominalSystem,
    PlainValidator(read_system),
    text_schema(
        "|".join(form.pattern for form in (_WYE, _PAIR, _ONE)).replace(r"\d", "[0-9]"),
        description="nominal system",
        examples=[
            "480Y/277",
            "208Y/120",
            "120/240",
            "240/120 high-leg delta",
            "480 delta",
            "20 kV three-phase",
            "240 single-phase",
        ],
    ),
]
