"""Conductor sizes: AWG, kcmil and square millimetres, with the metal."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Any, Final, Literal

from pydantic import PlainValidator
from pydantic_core import PydanticCustomError

from recordgen.records.json_patterns import any_case, text_schema
from recordgen.records.quantities import shown

Metal = Literal["Cu", "Al"]

_SIZE: Final = re.compile(
    r"(?P<number>\d+(?:/0)?(?:\.\d+)?)\s*(?P<unit>AWG|kcmil|MCM|mm2|mm²)\s*(?P<metal>Cu|Al)?",
    re.IGNORECASE,
)
_UNITS: Final = "|".join(any_case(unit) for unit in ("AWG", "kcmil", "MCM", "mm2", "mm²"))
_AWG_SIZES: Final = frozenset(
    (*(str(n) for n in range(40, 0, -1)), "1/0", "2/0", "3/0", "4/0")  # ASTM B258
)


@dataclass(frozen=True)
class ConductorSize:
    """A conductor size; `unit` is AWG, kcmil or mm2, `metal` None where it is not recorded."""

    number: str
    unit: Literal["AWG", "kcmil", "mm2"]
    metal: Metal | None

    def __str__(self) -> str:
        size = f"{self.number} {'mm²' if self.unit == 'mm2' else self.unit}"
        return f"{size} {self.metal}" if self.metal else size


def read_conductor_size(value: Any) -> ConductorSize:
    """Read `12 AWG Cu`, `3/0 AWG`, `250 kcmil Al`, `16 mm2 Cu`.

    Raises
    ------
    PydanticCustomError
        The text is no conductor size, or no size that AWG has.
    """
    if isinstance(value, ConductorSize):
        return value
    match = _SIZE.fullmatch(value.strip()) if isinstance(value, str) else None
    if match is None:
        raise _no_size(value, "a conductor size")
    written = match["unit"].lower()
    units: dict[str, Literal["AWG", "kcmil", "mm2"]] = {"awg": "AWG", "kcmil": "kcmil"}
    units |= {"mcm": "kcmil", "mm2": "mm2", "mm²": "mm2"}
    unit = units[written]
    number = match["number"]
    if unit == "AWG" and number not in _AWG_SIZES:
        raise _no_size(value, "a size of the American wire gauge")
    if unit != "AWG" and ("/" in number or float(number) == 0):
        raise _no_size(value, "a conductor size")
    metals: dict[str, Metal] = {"cu": "Cu", "al": "Al"}
    metal = metals[match["metal"].lower()] if match["metal"] else None
    return ConductorSize(number, unit, metal)


def _no_size(value: object, what: str) -> PydanticCustomError:
    hint = 'write it like "12 AWG Cu", "3/0 AWG Cu" or "250 kcmil Al"'
    return PydanticCustomError(
        "conductor-size",
        "{found} is not {what}",
        {"found": shown(value), "what": what, "hint": hint},
    )


Size = Annotated[
    ConductorSize,
    PlainValidator(read_conductor_size),
    text_schema(
        rf"[0-9]+(?:/0)?(?:\.[0-9]+)?\s*(?:{_UNITS})\s*(?:{any_case('Cu')}|{any_case('Al')})?",
        description="a conductor size with its metal",
        examples=["12 AWG Cu", "3/0 AWG Cu", "250 kcmil Al"],
    ),
]
