"""Hints: the nearest known word, and never its opposite."""

import pytest

from recordgen.records.messages import closest


@pytest.mark.parametrize(
    ("word", "known", "hint"),
    [
        ("desciption", ["description", "device"], "description"),
        ("wiat", ["what", "wait"], "wait"),
        ("GFCI", ["GFCI breaker", "AFCI breaker"], "GFCI breaker"),
        ("solid", ["solidly grounded", "isolated"], "solidly grounded"),
        ("b", ["A", "B", "C"], "B"),
        ("Open", ["open", "closed"], "open"),
        ("multimeters", ["multimeter", "clamp meter"], "multimeter"),
    ],
)
def test_the_word_that_was_meant(word: str, known: list[str], hint: str) -> None:
    assert closest(word, known) == f'did you mean "{hint}"?'


@pytest.mark.parametrize(
    ("word", "known"),
    [
        ("on", ["open", "closed"]),
        ("off", ["open", "closed"]),
        ("up", ["UPS", "disconnect"]),
        ("", ["open", "closed"]),
        ("breaker", ["description", "device"]),
        ("open", []),
        ("open neutral", ["closed", "manual"]),
    ],
)
def test_no_guess_where_the_opposite_or_nothing_is_near(word: str, known: list[str]) -> None:
    assert closest(word, known) is None
