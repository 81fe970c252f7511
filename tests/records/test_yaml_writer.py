"""Text written as YAML comes back as the same text, here and in PyYAML's own reading of it."""

import datetime as dt
from typing import Any

import pytest
import yaml
from hypothesis import example, given
from hypothesis import strategies as st

from recordgen.records.bounds import Bounds
from recordgen.records.positions import Reference
from recordgen.records.quantities import Quantity
from recordgen.records.yaml_nodes import plain
from recordgen.records.yaml_text import compose
from recordgen.records.yaml_writer import entry_lines, flow, scalar

# What YAML 1.1 or 1.2 would make something else of, or stumble over.
HOSTILE = (
    "yes",
    "no",
    "on",
    "off",
    "y",
    "N",
    "true",
    "null",
    "~",
    "",
    "010",
    "0x1F",
    "0o17",
    "1e3",
    "1_000",
    "2:4",
    "12:30:45",
    ".inf",
    ".nan",
    "2026-11-25",
    "=",
    "<<",
    "@ the panel",
    "`tick`",
    "#1",
    "no: 5",
    "a #b",
    "a: b",
    "ends with:",
    ": begins",
    "- item",
    "-",
    "? key",
    "[a, b",
    "{a}",
    "a, b",
    "]",
    "&anchor",
    "*alias",
    "!tag",
    "%YAML",
    "---",
    "...",
    "| pipe",
    "> fold",
    "'single'",
    '"double"',
    "it's",
    'said "no"',
    "back\\slash",
    "C:\\temp",
    "50 % of it",
    "smile 🙂",
    "a\u00a0b",
    "a\u2028b",
    "\ufeffmark",
    "Zoë ± 3 Ω",
    " around ",
    "tab\there",
    "two\nlines",
)


def back(text: str) -> Any:
    """Return what the program's own reader makes of a YAML text."""
    node = compose(text, "")
    assert node is not None
    return plain(node, "", [])


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_comes_back_everywhere(text: str) -> None:
    held_everywhere(text)


@given(st.text(st.characters(blacklist_categories=["Cs"]), max_size=40))
@example("k: {a: [b, 'c")
def test_any_text_comes_back_everywhere(text: str) -> None:
    held_everywhere(text)


@given(st.text("-?:,[]{}#&*!|>'\"%@` ab01.~=", max_size=12))
def test_text_of_signs_comes_back_everywhere(text: str) -> None:
    held_everywhere(text)


def held_everywhere(text: str) -> None:
    written = scalar(text)
    assert "\n" not in written
    for shape in ("k: {}\n", "{{k: {}, l: m}}", "[{}, m]", "- {}\n", "a:\n  - {{k: {}}}\n"):
        document = shape.format(written)
        expected = yaml.safe_load(shape.format('"mark"'))
        # PyYAML resolves scalars by YAML 1.1: a plain `yes` would come back as True.
        assert yaml.safe_load(document) == _with(expected, text)
        assert back(document) == _with(expected, text)


def _with(value: Any, text: str) -> Any:
    if isinstance(value, dict):
        return {key: _with(part, text) for key, part in value.items()}
    if isinstance(value, list):
        return [_with(part, text) for part in value]
    return text if value == "mark" else value


def test_plain_text_stays_plain() -> None:
    for text in ("LP-1/14", "R.T.", "30 ft", "energized circuit", "second pole", "clinic:MSB/5"):
        assert scalar(text) == text


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (True, "yes"),
        (False, "no"),
        (4, "4"),
        (dt.date(2026, 11, 25), "2026-11-25"),
        (Quantity(86, "86"), "86"),
        (Quantity(2.2e8, "220 Mohm"), "220 Mohm"),
        (Bounds(0.66, None, None, "0.66"), "0.66"),
        (Reference("LP-1", "14"), "LP-1/14"),
        ([], "[]"),
    ],
)
def test_other_values(value: Any, written: str) -> None:
    assert flow(value) == written


def test_a_record_has_a_line_for_each_key_and_each_item() -> None:
    record = {"by": "R.T.", "readings": [{"at": "LP-1", "values": [1, 2]}], "found": ["A", "B"]}
    assert list(entry_lines("TR-1", record, "  ")) == [
        "  TR-1:",
        "    by: R.T.",
        "    readings:",
        "      - {at: LP-1, values: [1, 2]}",
        "    found: [A, B]",
    ]
