"""Positions and references.

The spans of multi-pole devices in a 42-position panel with odd numbers on the left are those of
tests/data/panel_multipole_spans_42.csv (common practice).
"""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from recordgen.records.positions import (
    TAG_PATTERN,
    Position,
    PositionKey,
    Ref,
    Reference,
    Slot,
    Tag,
)

SPANS = Path(__file__).parents[1] / "data" / "panel_multipole_spans_42.csv"
slots = st.builds(Slot, st.integers(1, 999), st.sampled_from(["", "A", "B"]))
tags = st.from_regex(TAG_PATTERN, fullmatch=True)


def position(text: object) -> Position:
    value = TypeAdapter(PositionKey).validate_python(text)
    assert isinstance(value, Position)
    return value


def reference(text: object) -> Reference:
    value = TypeAdapter(Ref).validate_python(text)
    assert isinstance(value, Reference)
    return value


def test_every_span_of_a_panel_is_read() -> None:
    rows = list(csv.DictReader(SPANS.read_text().splitlines()))
    assert len(rows) > 100
    for row in rows:
        numbers = row["positions"].split()
        value = position("-".join(numbers))
        assert value.numbers == tuple(map(int, numbers))
        assert (value.numbers[0], len(value.slots)) == (
            int(row["first_position"]),
            int(row["poles"]),
        )


@given(st.lists(slots, min_size=1, max_size=6, unique=True).map(tuple).map(Position))
def test_a_position_is_read_back_as_itself(value: Position) -> None:
    assert position(str(value)) == value


@given(st.text(alphabet="0123456789ABab-, /٣", max_size=8))
def test_one_position_has_one_spelling(text: str) -> None:
    # Two spellings of one position would be two keys of a file and one circuit of the record.
    try:
        value = position(text)
    except ValidationError:
        return
    assert str(value) == text


@given(st.lists(slots, min_size=1, max_size=3, unique=True), st.data())
def test_a_slot_named_twice_is_refused(found: list[Slot], data: st.DataObject) -> None:
    again = [*found, data.draw(st.sampled_from(found))]
    with pytest.raises(ValidationError, match="twice"):
        position("-".join(map(str, again)))


@given(tags, st.none() | tags, st.none() | st.from_regex("[1-9]|main|2-4-6|3A", fullmatch=True))
def test_a_reference_is_read_back_as_itself(
    tag: str, building: str | None, port: str | None
) -> None:
    value = Reference(tag, port, building)
    assert reference(str(value)) == value


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("MSB/5", Reference("MSB", "5")),
        ("clinic:MSB/2-4-6", Reference("MSB", "2-4-6", "clinic")),
        ("LP-1/feed-through", Reference("LP-1", "feed-through")),
        ("3", Reference("3")),
        (" ATS-1 ", Reference("ATS-1")),
    ],
)
def test_references(text: str, value: Reference) -> None:
    assert reference(text) == value


@pytest.mark.parametrize(
    "text", ["", "/5", "MSB/", "a:b:c", "MSB//5", "../x", "MSB 5", "MSB/<5>", None, 5, ["MSB"]]
)
def test_what_is_no_reference_is_refused(text: object) -> None:
    with pytest.raises(ValidationError):
        reference(text)


@given(tags)
def test_a_tag_fits_a_file_name_and_a_link(tag: str) -> None:
    assert TypeAdapter(Tag).validate_python(tag) == tag
    assert 1 <= len(tag) <= 40
    assert tag not in (".", "..")
    # Unreserved characters of RFC 3986, section 2.3: they stand in a link as they are.
    assert set(tag) <= set("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~")


@pytest.mark.parametrize("tag", ["", ".", "..", "a/b", "a b", "-a", "a-", "é", "a" * 41, "a\n", 5])
def test_what_cannot_be_a_tag_is_refused(tag: object) -> None:
    with pytest.raises(ValidationError):
        TypeAdapter(Tag).validate_python(tag)
