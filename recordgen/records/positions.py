"""Positions in an assembly (`14`, `2-4-6`, `3A`) and references to what feeds a thing (`MSB/5`)."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Any, Final

from pydantic import PlainValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

from recordgen.records.json_patterns import text_schema
from recordgen.records.quantities import shown

_SLOT_PATTERN: Final = "([1-9][0-9]{0,2})([A-Z]?)"
_SLOT: Final = re.compile(_SLOT_PATTERN)
TAG_PATTERN: Final = r"[A-Za-z0-9](?:[A-Za-z0-9._-]{0,38}[A-Za-z0-9])?"
_TAG: Final = re.compile(TAG_PATTERN)
_PORT: Final = r"[A-Za-z0-9][A-Za-z0-9 -]{0,30}"
_REFERENCE: Final = re.compile(
    rf"(?:(?P<building>{TAG_PATTERN}):)?(?P<tag>{TAG_PATTERN})(?:/(?P<port>{_PORT}))?"
)
_TAG_HINT: Final = "use letters, digits, dots, hyphens and underscores, at most 40"


@dataclass(frozen=True, order=True)
class Slot:
    """One space of an assembly; `half` is A or B where two narrow devices share the space."""

    number: int
    half: str = ""

    def __str__(self) -> str:
        return f"{self.number}{self.half}"


@dataclass(frozen=True, order=True)
class Position:
    """Where a device sits: its slots from the first pole to the last."""

    slots: tuple[Slot, ...]

    def __str__(self) -> str:
        return "-".join(str(slot) for slot in self.slots)

    @property
    def numbers(self) -> tuple[int, ...]:
        """Position numbers, one a pole on a panelboard."""
        return tuple(slot.number for slot in self.slots)


def read_position(value: Any) -> Position:
    """Read `14`, `2-4-6`, `3A` or `3A-5A`.

    Raises
    ------
    PydanticCustomError
        The text is no position, or names a slot twice.
    """
    if isinstance(value, Position):
        return value
    # One spelling for one position: "014" beside "14" would be two keys in the file, and one of the
    # two circuits would be gone.
    matches = [_SLOT.fullmatch(part) for part in str(value).split("-")]
    slots = tuple(Slot(int(m[1]), m[2]) for m in matches if m is not None)
    if len(slots) != len(matches):
        raise PydanticCustomError(
            "position",
            "{found} is not a position",
            {"found": shown(value), "hint": "write it like 14, 2-4-6 or 3A, without spaces"},
        )
    if len(set(slots)) != len(slots):
        raise PydanticCustomError(
            "position",
            "{found} names a position twice",
            {"found": shown(value), "hint": "name every pole's position once"},
        )
    return Position(slots)


@dataclass(frozen=True, order=True)
class Reference:
    """What a record points at: a tag, in this or another building, and a port of it.

    The port of an assembly is a position, `main`, `line` (a tap ahead of the main device) or
    `feed-through`; other equipment has none.
    """

    tag: str
    port: str | None = None
    building: str | None = None

    def __str__(self) -> str:
        text = f"{self.building}:{self.tag}" if self.building else self.tag
        return f"{text}/{self.port}" if self.port else text


def read_reference(value: Any) -> Reference:
    """Read `MSB/5`, `ATS-1`, `LP-1/feed-through` or `clinic:MSB/12`.

    Raises
    ------
    PydanticCustomError
        The text is no reference.
    """
    if isinstance(value, Reference):
        return value
    match = _REFERENCE.fullmatch(value.strip()) if isinstance(value, str) else None
    if match is None:
        raise PydanticCustomError(
            "reference",
            "{found} does not name a panel, circuit, source or piece of equipment",
            {"found": shown(value), "hint": "write it like MSB/5, ATS-1 or clinic:MSB/12"},
        )
    return Reference(match["tag"], match["port"], match["building"])


def read_tag(value: Any) -> str:
    """Return a tag as written.

    Raises
    ------
    PydanticCustomError
        The text has characters that do not fit a file name and a link.
    """
    if isinstance(value, str) and _TAG.fullmatch(value):
        return value
    raise PydanticCustomError(
        "tag", "{found} cannot be a tag", {"found": shown(value), "hint": _TAG_HINT}
    )


PositionKey = Annotated[
    Position,
    PlainValidator(read_position),
    WithJsonSchema({"type": "string", "pattern": f"^{_SLOT_PATTERN}(-{_SLOT_PATTERN})*$"}),
]
Ref = Annotated[
    Reference,
    PlainValidator(read_reference),
    text_schema(
        f"(?:{TAG_PATTERN}:)?{TAG_PATTERN}(?:/{_PORT})?",
        number=True,
        description="what it points at: MSB/5, ATS-1, LP-1/feed-through, clinic:MSB/12",
        examples=["MSB/5", "ATS-1"],
    ),
]
Tag = Annotated[
    str,
    PlainValidator(read_tag),
    WithJsonSchema({"type": ["string", "number"], "pattern": f"^{TAG_PATTERN}$"}),
]
