"""Regular expressions of the JSON Schema, for editors that check records while they are typed.

An editor reads `14`, `yes` and `2026-01-01` by YAML's own rules before it looks at the schema, and
the patterns of JSON Schema know no flags. The patterns here accept what the readers accept, and may
let a mistake pass that only the readers find.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any, Final

from pydantic import WithJsonSchema

NUMBER: Final = r"[+-]?(?:[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?|[0-9]+(?:\.[0-9]+)?|\.[0-9]+)"


def any_case(text: str) -> str:
    """Return a pattern that matches a text in upper and lower case."""
    return "".join(
        f"[{c.upper()}{c.lower()}]" if c.isascii() and c.isalpha() else re.escape(c) for c in text
    )


def amount(units: Iterable[str], fixed: Iterable[str] = ()) -> str:
    """Return a pattern for a number and one of the units, those in `fixed` only as spelled."""
    exact = frozenset(fixed)
    spelled = [re.escape(unit) if unit in exact else any_case(unit) for unit in units if unit]
    if not spelled:
        return NUMBER
    return rf"{NUMBER}\s*(?:{'|'.join(spelled)})" + ("?" if "" in exact else "")


def text_schema(pattern: str, *, number: bool = False, **notes: Any) -> WithJsonSchema:
    """Return the schema of a text, or of a number too where a bare number is a valid text."""
    kinds: str | list[str] = ["string", "number"] if number else "string"
    schema: Mapping[str, Any] = {"type": kinds, "pattern": rf"^\s*(?:{pattern})\s*$", **notes}
    return WithJsonSchema(dict(schema))
