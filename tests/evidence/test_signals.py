"""Which readings can be compared: rules of our own, from common practice."""

import pytest

from recordgen.evidence.signals import Comparable, Signal, comparable
from recordgen.records.field import Reading


def read(*readings: tuple[str, object, object]) -> Comparable:
    return comparable(
        Reading.model_validate({"at": at, "values": values, "sensitivity": sensitivity})
        for at, values, sensitivity in readings
    )


def test_one_and_three_values_count() -> None:
    found = read(("A", "64", "5"), ("B", ["86", "79", "74"], "4"))
    assert found.signals == (Signal("A", (64.0,), 5), Signal("B", (86.0, 79.0, 74.0), 4))
    assert found.left_out == ()


@pytest.mark.parametrize(
    ("values", "sensitivity", "why"),
    [
        ("64", None, "the sensitivity is not recorded"),
        (["64", "60"], "4", "it has 2 values"),
        ("100", "4", "off the scale"),
        ("-1", "4", "off the scale"),
        ("64 mA", "4", "has a unit"),
        ("64 %", "4", "has a unit"),
    ],
)
def test_what_does_not_count(values: object, sensitivity: object, why: str) -> None:
    found = read(("A", values, sensitivity))
    assert found.signals == ()
    (said,) = found.left_out
    assert said.startswith("A does not count")
    assert why in said


def test_a_place_read_again_has_the_mean() -> None:
    found = read(("A", "60", "4"), ("A", "70", "4"))
    assert found.signals == (Signal("A", (65.0,), 4),)


def test_the_top_of_the_scale_stays_the_top() -> None:
    (signal,) = read(("A", "99", "4"), ("A", "91", "4")).signals
    assert signal.pegged


def test_a_place_read_again_that_differs_does_not_count() -> None:
    found = read(("A", "60", "4"), ("A", "80", "4"))
    assert found.signals == ()
    assert "read 2 times" in found.left_out[0]


def test_sensitivities_are_kept_apart() -> None:
    assert len(read(("A", "60", "4"), ("A", "80", "5")).signals) == 2


def test_the_score_by_hand() -> None:
    # Half the lowest, 37, plus half the mean, 239 / 6.
    assert Signal("A", (86.0, 79.0, 74.0), 4).score == pytest.approx(37 + 239 / 6)
