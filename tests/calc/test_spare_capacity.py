"""Spare capacity: a ratio and a difference that have to agree."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.spare_capacity import percent_used, spare_a


@given(st.floats(0, 1e5), st.floats(0.1, 1e5))
def test_used_and_left_make_up_the_rating(demand: float, rating: float) -> None:
    used = percent_used(demand, rating) / 100 * rating
    assert used + spare_a(demand, rating) == pytest.approx(rating, rel=1e-9, abs=1e-9 * demand)


def test_an_exceeded_rating_is_shown_as_such() -> None:
    assert percent_used(250, 200) == 125
    assert spare_a(250, 200) == -50


@pytest.mark.parametrize(
    ("demand", "rating"), [(-1, 100), (1, 0), (1, -5), (float("nan"), 1), (1, float("inf"))]
)
@pytest.mark.parametrize("function", [percent_used, spare_a])
def test_impossible_figures_are_refused(function, demand: float, rating: float) -> None:
    with pytest.raises(ValueError, match="it has to be"):
        function(demand, rating)
