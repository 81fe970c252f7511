"""Sort a bundle: the strongest signal, by a margin (design section 5). Constructed readings."""

import pytest

from recordgen.evidence.bundle_readings import BundleReading, bundle_reading
from recordgen.records.field import Reading


def read(*readings: tuple[str, object, object]) -> BundleReading:
    return bundle_reading(
        Reading.model_validate({"at": at, "values": values, "sensitivity": sensitivity})
        for at, values, sensitivity in readings
    )


def test_the_strongest_by_a_margin() -> None:
    found = read(("C-1", "34", "2"), ("C-2", "88", "2"), ("C-3", "44", "2"))
    assert (found.verdict, found.cable, found.margin) == ("identified", "C-2", 44.0)
    assert "check it from end to end" in found.measure_next


def test_too_close_to_call() -> None:
    found = read(("C-1", "38", "2"), ("C-2", "71", "2"), ("C-3", "66", "2"))
    assert (found.verdict, found.cable, found.margin) == ("ambiguous", None, 5.0)
    assert "C-2 and C-3" in found.reasons[0]


@pytest.mark.parametrize(("second", "verdict"), [("60", "identified"), ("61", "ambiguous")])
def test_the_margin_is_twenty(second: str, verdict: str) -> None:
    assert read(("C-1", "80", "2"), ("C-2", second, "2")).verdict == verdict


def test_several_at_the_top_of_the_scale() -> None:
    found = read(("C-1", "99", "2"), ("C-2", "99", "2"), ("C-3", "10", "2"))
    assert found.verdict == "ambiguous"
    assert "lower the sensitivity" in found.measure_next


@pytest.mark.parametrize(
    "other", [("C-3", "20", None), ("C-3", "20", "3"), ("C-3", ["20", "10"], "2")]
)
def test_one_that_does_not_compare_has_to_be_read_again(other: tuple[str, object, object]) -> None:
    found = read(("C-1", "88", "2"), ("C-2", "30", "2"), other)
    assert (found.verdict, found.cable) == ("not enough", None)
    assert "at sensitivity 2" in found.measure_next


@pytest.mark.parametrize(
    "readings",
    [
        [],
        [("C-1", "88", "2")],
        [("C-1", "88", None), ("C-2", "20", None)],
        [("C-1", "88", "2"), ("C-2", "20", "3")],
    ],
)
def test_nothing_to_compare(readings: list[tuple[str, object, object]]) -> None:
    found = read(*readings)
    assert (found.verdict, found.cable) == ("not enough", None)
    assert found.reasons


def test_three_orientations_count_by_their_score() -> None:
    found = read(("C-1", ["80", "78", "75"], "2"), ("C-2", ["82", "30", "20"], "2"))
    assert found.cable == "C-1"
