"""The JSON Schema of a record file, with which editors complete and check while one types."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

from recordgen.records.building import BuildingRecords

SCHEMA_FILE: Final = Path(__file__).with_name("schema.json")
_BY_NAME: Final = ("$defs", "properties", "patternProperties")
_NOTES: Final = ("description", "examples")
_LISTS: Final = ("anyOf", "oneOf", "prefixItems")
# Titles repeat the names of fields. Defaults would be written into records by some editors, and a
# record must not say what nobody has recorded. Discriminators are no part of JSON Schema.
_LEFT_OUT: Final = frozenset({"title", "default", "discriminator"})


def record_file_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of one record file; every section is optional.

    The readers of `recordgen.records` are stricter: they also check what a pattern cannot say.
    """
    schema = _tidied(BuildingRecords.model_json_schema(by_alias=True, mode="validation"))
    del schema["required"]
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Record file of a building",
        **schema,
    }


def schema_text() -> str:
    """Return the schema as the text of `schema.json`."""
    return json.dumps(record_file_schema(), indent=1, ensure_ascii=False) + "\n"


def _tidied(schema: dict[str, Any]) -> dict[str, Any]:
    tidy = {key: value for key, value in schema.items() if key not in _LEFT_OUT}
    for key in _BY_NAME:
        if key in tidy:
            tidy[key] = {name: _tidied(part) for name, part in tidy[key].items()}
    for key in _LISTS:
        if key in tidy:
            tidy[key] = [_tidied(part) for part in tidy[key]]
    if isinstance(tidy.get("items"), dict):
        tidy["items"] = _tidied(tidy["items"])
    if "description" in tidy:
        tidy["description"] = " ".join(tidy["description"].split())
    if "patternProperties" in tidy:
        tidy["additionalProperties"] = False
    if "properties" in tidy:
        required = tidy.get("required", ())
        tidy["properties"] = {
            name: part if name in required else _or_empty(part)
            for name, part in tidy["properties"].items()
        }
    return tidy


def _or_empty(schema: dict[str, Any]) -> dict[str, Any]:
    """Let a key be left empty: that reads as not recorded."""
    if "type" in schema:
        kinds = schema["type"] if isinstance(schema["type"], list) else [schema["type"]]
        words = {"enum": [*schema["enum"], None]} if "enum" in schema else {}
        return {**schema, "type": [*kinds, "null"], **words}
    parts = schema.get("anyOf", [{key: schema[key] for key in schema if key not in _NOTES}])
    some = [part for part in parts if part != {"type": "null"}]
    # One form beside "nothing" reads better in an editor's message than a choice of two.
    both = _or_empty(some[0]) if len(some) == 1 and "type" in some[0] else None
    notes: dict[str, Any] = {key: schema[key] for key in _NOTES if key in schema}
    return {**notes, **(both or {"anyOf": [*some, {"type": "null"}]})}
