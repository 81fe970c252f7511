"""Largest loop impedance by IEC 60364-4-41 with the bands of IEC 60898-1, both from memory."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.loop_impedance import instantaneous_trip_a, largest_loop_ohm
from tests.calc.worked_cases import expected, inputs


@pytest.mark.parametrize("case", ["I01", "I02"])
def test_worked_cases(case: str) -> None:
    # 0.001 ohms.
    given = inputs(case)
    found = largest_loop_ohm(given["U0"], given["In"], given["curve"])
    assert found == pytest.approx(expected(case), abs=0.001)


def test_curve_d_takes_twenty_times_its_rating() -> None:
    assert instantaneous_trip_a(16, "D") == 320
    assert largest_loop_ohm(230, 16, "D") == pytest.approx(0.71875)


@given(st.floats(1, 125), st.sampled_from("BCD"), st.floats(50, 400))
def test_the_fault_current_of_that_loop_trips_the_breaker(
    rating_a: float, curve: str, volts: float
) -> None:
    # Ohm's law: what flows is what the breaker trips at.
    loop = largest_loop_ohm(volts, rating_a, curve)
    assert volts / loop == pytest.approx(instantaneous_trip_a(rating_a, curve))


def test_what_has_no_curve_is_refused() -> None:
    for rating_a in (0, 126, float("nan")):
        with pytest.raises(ValueError, match="up to 125 A"):
            largest_loop_ohm(230, rating_a, "B")
    with pytest.raises(ValueError, match="a curve is B, C or D, not K"):
        largest_loop_ohm(230, 16, "K")
    with pytest.raises(ValueError, match="a voltage is above zero"):
        largest_loop_ohm(0, 16, "B")
