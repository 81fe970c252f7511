"""Scalars are read by what the field expects, not by the guesses of YAML 1.1.

What YAML 1.1 would make of the same text is asked of PyYAML's own loader, so that each of these
texts is known to be one that it reads otherwise.
"""

import datetime as dt
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from recordgen.records.base import MAX_TEXT, Count, CountAboveZero, Date, Text, YesNo
from tests.records.sample import loaded, records

# 190:20:30 and 685_230.15 are examples of the YAML 1.1 type repository.
MISREAD = ["off", "no", "on", "Yes", "y", "n", "010", "2:4", "190:20:30", "1_000", "1e3", "1.5e+3"]
MISREAD += ["0x1F", "0b11", "685_230.15", ".inf", ".nan", "2026-01-01", "+12", "4.10", "007", "="]


@pytest.mark.parametrize("text", MISREAD)
def test_text_fields_keep_what_is_written(tmp_path: Path, text: str) -> None:
    if text not in ("y", "n", "=", "1e3"):  # PyYAML leaves these alone, other readers do not
        assert yaml.safe_load(f"a: {text}")["a"] != text
    found = records(tmp_path, f'rooms:\n  "1": {{name: {text}, key: "{text}", notes: {text} }}\n')
    assert (found.rooms["1"].name, found.rooms["1"].key, found.rooms["1"].notes) == (text,) * 3


@pytest.mark.parametrize("key", ["010", "1_000", "0x1F", "no", "off", "1e3", "2026-01-01", "null"])
def test_tags_keep_what_is_written(tmp_path: Path, key: str) -> None:
    assert list(records(tmp_path, f"rooms:\n  {key}: {{name: Store}}\n").rooms) == [key]


@pytest.mark.parametrize("text", ["", "~", "null", "Null", "NULL", "   # a comment"])
def test_nothing_is_not_recorded(tmp_path: Path, text: str) -> None:
    found = records(
        tmp_path,
        f"panels:\n  LP:\n    kind: panelboard\n    name: {text}\n    former_names: {text}\n"
        f"    positions: {text}\n    lockable: {text}\n    circuits: {text}\n",
    )
    panel = found.panels["LP"]
    assert (panel.name, panel.positions, panel.lockable) == (None, None, None)
    assert (panel.former_names, panel.circuits) == ((), {})


@pytest.mark.parametrize("text", ["none", "nil", "n/a", "'null'", '"~"', "unknown", "--", "??"])
def test_words_for_nothing_stay_text(tmp_path: Path, text: str) -> None:
    found = records(tmp_path, f'rooms:\n  "1":\n    name: {text}\n')
    assert found.rooms["1"].name == text.strip("'\"")


def test_a_quoted_nothing_is_a_mistake(tmp_path: Path) -> None:
    problems = loaded(tmp_path, 'rooms:\n  "1":\n    name: ""\n').problems
    assert [problem.code for problem in problems] == ["text"]


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("yes", True),
        ("Yes", True),
        ("true", True),
        ("y", True),
        (" YES ", True),
        ("no", False),
        ("NO", False),
        ("false", False),
        ("n", False),
    ],
)
def test_yes_and_no(text: str, value: bool) -> None:
    assert TypeAdapter(YesNo).validate_python(text) is value


@pytest.mark.parametrize("text", ["on", "off", "1", "0", "", "maybe", "yes please", None, 1, []])
def test_what_is_neither_yes_nor_no_is_refused(text: Any) -> None:
    with pytest.raises(ValidationError):
        TypeAdapter(YesNo).validate_python(text)


@given(st.integers(0, 999_999), st.integers(0, 3))
def test_whole_numbers_are_decimal(number: int, zeros: int) -> None:
    digits = f"{'0' * zeros}{number}"
    if len(digits) <= 6:
        assert TypeAdapter(Count).validate_python(digits) == number


@pytest.mark.parametrize("text", ["0x1F", "1_000", "1e3", "-1", "+1", "4.0", "2:4", "", "x", None])
def test_what_is_no_whole_number_is_refused(text: Any) -> None:
    with pytest.raises(ValidationError):
        TypeAdapter(Count).validate_python(text)


@pytest.mark.parametrize("text", ["0", "000", "-1", "x"])
def test_some_whole_numbers_are_above_zero(text: str) -> None:
    assert TypeAdapter(CountAboveZero).validate_python("1") == 1
    with pytest.raises(ValidationError):
        TypeAdapter(CountAboveZero).validate_python(text)


@given(st.dates())
def test_dates_are_those_of_iso_8601(day: dt.date) -> None:
    assert TypeAdapter(Date).validate_python(day.isoformat()) == day


@pytest.mark.parametrize(
    "text",
    [
        "2026-02-29",
        "2026-13-01",
        "2026-1-1",
        "26-01-01",
        "20260101",
        "2026-W01-1",
        "2026-001",
        "2026-01-01T00:00",
        "01.02.2026",
        "٢٠٢٦-٠١-٠١",
        "",
        None,
    ],
)
def test_what_is_no_date_is_refused(text: Any) -> None:
    with pytest.raises(ValidationError):
        TypeAdapter(Date).validate_python(text)


@given(st.text(max_size=50))
def test_text_is_printable_on_one_line_or_refused(text: str) -> None:
    try:
        value = TypeAdapter(Text).validate_python(text)
    except ValidationError:
        return
    assert value == " ".join(text.split())
    # U+00AD, the soft hyphen, is the one format character that layout may need.
    assert value.replace("\u00ad", "").encode("utf-8")
    assert not any(c in value for c in "\n\r\t\x00\x1b\u200b\u202e\u2066\ufeff\u2028")


@pytest.mark.parametrize("character", ["\x00", "\x1b", "\u200b", "\u202e", "\u2066", "\ufeff"])
def test_invisible_characters_are_refused(character: str) -> None:
    with pytest.raises(ValidationError, match=f"U\\+{ord(character):04X}"):
        TypeAdapter(Text).validate_python(f"a{character}b")


def test_markup_is_text_like_any_other(tmp_path: Path) -> None:
    text = '"><img src=x onerror=alert(1)> & <script>'
    found = records(tmp_path, f"rooms:\n  '1': {{name: '{text}'}}\n")
    assert found.rooms["1"].name == text


def test_long_text_is_kept_up_to_the_limit() -> None:
    assert TypeAdapter(Text).validate_python("x" * MAX_TEXT) == "x" * MAX_TEXT
    with pytest.raises(ValidationError, match="2001"):
        TypeAdapter(Text).validate_python("x" * (MAX_TEXT + 1))
