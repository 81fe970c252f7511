"""Inverter bus: 705.12 as worked by hand (from memory), and what must always hold."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.inverter_bus import inverter_bus_ok

RATINGS = st.integers(15, 4000)


def test_the_case_worked_by_hand() -> None:
    # From memory: 120 % of a 200 A bus less a 200 A main leaves 40 A = 125 % of 32 A.
    found = inverter_bus_ok(200, 200, 32, True, 2020)
    assert (found.answer, found.sum_a, found.opposite_a, found.left_a) == ("yes", 240, 240, 40)
    assert inverter_bus_ok(200, 200, 33, True, 2020).answer == "no"


def test_where_it_feeds_the_bus_matters_above_the_rating_only() -> None:
    ends = (True, None, False)
    above = [inverter_bus_ok(200, 200, 32, end, 2020).answer for end in ends]
    below = [inverter_bus_ok(225, 175, 40, end, 2020).answer for end in ends]
    assert above == ["yes", "not shown", "no"]
    assert below == ["yes", "yes", "yes"]


@given(RATINGS, RATINGS, RATINGS, st.integers(1, 1000))
def test_a_larger_inverter_is_never_easier(bus: int, main: int, inverter: int, more: int) -> None:
    order = ["yes", "not shown", "no"]
    for end in (True, None, False):
        small, large = (
            inverter_bus_ok(bus, main, current, end, 2023).answer
            for current in (inverter, inverter + more)
        )
        assert order.index(small) <= order.index(large)
    known = inverter_bus_ok(bus, main, inverter, True, 2023)
    # In whole numbers, so that rounding has no say: sum <= 1.2 bus.
    assert (known.answer == "yes") == (100 * main + 125 * inverter <= 120 * bus)
    assert known.left_a >= 0


@pytest.mark.parametrize("figures", [(0, 1, 1), (1, 0, 1), (1, 1, 0), (float("nan"), 1, 1)])
def test_impossible_figures_are_refused(figures: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="above zero"):
        inverter_bus_ok(*figures, True, 2020)


def test_editions_that_count_in_another_way_are_refused() -> None:
    with pytest.raises(ValueError, match="edition 2011"):
        inverter_bus_ok(200, 200, 32, True, 2011)
