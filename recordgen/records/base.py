"""The base of all record models, and the plain values: text, yes or no, whole numbers, dates."""

from __future__ import annotations

import datetime as dt
import re
import unicodedata
from typing import Annotated, Any, Final

from pydantic import (
    BaseModel,
    ConfigDict,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    PlainValidator,
    WithJsonSchema,
    model_validator,
)
from pydantic_core import PydanticCustomError, core_schema

from recordgen.records.json_patterns import any_case, text_schema
from recordgen.records.quantities import shown

MAX_TEXT: Final = 2_000
# Control and format characters, and halves of a character, which no page can be written with.
_INVISIBLE: Final = frozenset({"Cc", "Cf", "Cs"})
_YES: Final = frozenset({"yes", "true", "y"})
_NO: Final = frozenset({"no", "false", "n"})


class Record(BaseModel):
    """A record or a part of one: frozen, with no keys but its own.

    A field that is absent, empty or `null` is None: not recorded.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)

    @model_validator(mode="before")
    @classmethod
    def _empty_is_absent(cls, value: Any) -> Any:
        if not isinstance(value, dict):
            return value
        optional = {f.alias or n for n, f in cls.model_fields.items() if not f.is_required()}
        return {k: v for k, v in value.items() if v is not None or k not in optional}


def _text(value: Any) -> str:
    if not isinstance(value, str):
        hint = 'put text in quotes where it begins with [ or { or holds ": "'
        if value is None:
            hint = "write text"
        raise PydanticCustomError(
            "text", "expected text, found {found}", {"found": shown(value), "hint": hint}
        )
    # Line breaks are layout of the YAML file; other control and direction-changing characters
    # could make a sheet read differently from its record.
    text = " ".join(value.split())
    bad = next((c for c in text if unicodedata.category(c) in _INVISIBLE and c != "\u00ad"), None)
    if bad is not None:
        raise PydanticCustomError(
            "invisible-character",
            "the text holds the invisible character U+{code}",
            {"code": f"{ord(bad):04X}", "hint": "delete it"},
        )
    if len(text) > MAX_TEXT:
        raise PydanticCustomError(
            "text-too-long",
            "the text has {length} characters, at most {most} are kept",
            {"length": str(len(text)), "most": str(MAX_TEXT), "hint": "shorten it"},
        )
    if not text.replace("\u00ad", "").strip():
        raise PydanticCustomError(
            "text", "the text is empty", {"hint": "leave the key out where nothing is recorded"}
        )
    return text


def _yes_no(value: Any) -> bool:
    if isinstance(value, bool):
        return value
    word = value.strip().lower() if isinstance(value, str) else ""
    if word in _YES or word in _NO:
        return word in _YES
    raise PydanticCustomError(
        "yes-no",
        "{found} is neither yes nor no",
        {"found": shown(value), "hint": "write yes or no"},
    )


def _count(value: Any) -> int:
    if isinstance(value, int) and not isinstance(value, bool):
        return value
    if isinstance(value, str) and re.fullmatch(r"\d{1,6}", value.strip()):
        return int(value)
    raise PydanticCustomError(
        "count",
        "{found} is not a whole number",
        {"found": shown(value), "hint": "write digits only, like 42"},
    )


def _count_above_zero(value: Any) -> int:
    number = _count(value)
    if number < 1:
        raise PydanticCustomError(
            "zero",
            "expected a number above zero, found {found}",
            {"found": shown(value), "hint": "leave the key out where it is not recorded"},
        )
    return number


def _date(value: Any) -> dt.date:
    if isinstance(value, dt.date):
        return value
    if isinstance(value, str) and re.fullmatch(r"\d{4}-\d{2}-\d{2}", value.strip()):
        try:
            return dt.date.fromisoformat(value.strip())
        except ValueError:
            pass
    raise PydanticCustomError(
        "date",
        "{found} is not a date",
        {"found": shown(value), "hint": "write year-month-day, like 2026-03-14"},
    )


def _one_or_many(value: Any) -> Any:
    return value if isinstance(value, list | tuple) else [value]


class _OneOrMany:
    """Reads one item as a list of one, and says so in the JSON Schema."""

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        return core_schema.no_info_before_validator_function(_one_or_many, handler(source))

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        many = handler(schema)
        return {"anyOf": [many["items"], many]}


Text = Annotated[
    str,
    PlainValidator(_text),
    WithJsonSchema({"type": ["string", "number", "boolean"], "minLength": 1}),
]
YesNo = Annotated[
    bool,
    PlainValidator(_yes_no),
    WithJsonSchema(
        {
            "anyOf": [
                {"enum": ["yes", "no", True, False]},
                {
                    "type": "string",
                    "pattern": rf"^\s*(?:{'|'.join(map(any_case, sorted(_YES | _NO)))})\s*$",
                },
            ]
        }
    ),
]
Count = Annotated[
    int,
    PlainValidator(_count),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "integer", "minimum": 0, "maximum": 999_999},
                {"type": "string", "pattern": r"^\s*[0-9]{1,6}\s*$"},
            ]
        }
    ),
]
CountAboveZero = Annotated[
    int,
    PlainValidator(_count_above_zero),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "integer", "minimum": 1, "maximum": 999_999},
                {"type": "string", "pattern": r"^\s*0*[1-9][0-9]{0,5}\s*$"},
            ]
        }
    ),
]
Date = Annotated[
    dt.date,
    PlainValidator(_date),
    text_schema("[0-9]{4}-[0-9]{2}-[0-9]{2}", examples=["2026-03-14"]),
]
OneOrMany = _OneOrMany()
"""A list, or one item that stands for a list of one."""
