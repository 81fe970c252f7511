"""Trip of class A devices against the curve of UL 943 as quoted in public."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.ground_fault_trip import longest_trip_s, trip_region, trips_in_time
from tests.calc.worked_cases import expected, inputs


@pytest.mark.parametrize(("case", "tolerance_s"), [("T05", 0.01), ("T06", 0.0001)])
def test_quoted_times(case: str, tolerance_s: float) -> None:
    # Cases T05 and T06, with the tolerance of their last figure.
    found = longest_trip_s(inputs(case)["I_mA"])
    assert found == pytest.approx(expected(case), abs=tolerance_s)


def test_twenty_milliamperes_take_a_second() -> None:
    # The curve's own unit: (20/20)^1.43.
    assert longest_trip_s(20) == 1


@pytest.mark.parametrize(
    ("current_ma", "region"),
    # UL 943, class A: 4 mA and 6 mA, read on two public pages.
    [
        (0, "must not trip"),
        (4, "must not trip"),
        (4.01, "may trip"),
        (5.99, "may trip"),
        (6, "must trip"),
        (500, "must trip"),
    ],
)
def test_regions(current_ma: float, region: str) -> None:
    assert trip_region(current_ma) == region


@given(st.floats(6, 263), st.floats(0.01, 1))
def test_more_current_has_less_time(current_ma: float, more_ma: float) -> None:
    assert longest_trip_s(current_ma + more_ma) < longest_trip_s(current_ma)


def test_a_measured_time_is_short_enough_or_not() -> None:
    # Case T05: 5.594 s at 6 mA.
    assert trips_in_time(inputs("T05")["I_mA"], 5.59)
    assert not trips_in_time(inputs("T05")["I_mA"], 5.6)


@pytest.mark.parametrize(
    ("current_ma", "message"),
    [(5.9, "no longest time"), (float("nan"), "no longest time"), (265, "ends at 264 mA")],
)
def test_outside_the_curve_there_is_no_time(current_ma: float, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        longest_trip_s(current_ma)
    with pytest.raises(ValueError, match=message):
        trips_in_time(current_ma, 0.02)


def test_what_cannot_be_is_refused() -> None:
    for current_ma in (-1, float("nan")):
        with pytest.raises(ValueError, match="zero or more"):
            trip_region(current_ma)
    for measured_s in (0, -1, float("nan")):
        with pytest.raises(ValueError, match="more than 0 s"):
            trips_in_time(6, measured_s)
