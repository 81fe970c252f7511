import math

import pytest

from recordgen.calc.interval import Interval, above_zero, around


def test_a_reading_and_what_it_may_be_off() -> None:
    assert around(600, 5) == Interval(595, 600, 605)
    assert around(600, 0) == Interval(600, 600, 600)


@pytest.mark.parametrize("ends", [(2, 1, 3), (1, 3, 2), (1, 2, math.inf), (math.nan, 1, 2)])
def test_what_is_no_interval_is_refused(ends: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match=r"not in order|finite"):
        Interval(*ends)


@pytest.mark.parametrize("either_way", [-1, math.nan])
def test_an_uncertainty_is_not_below_zero(either_way: float) -> None:
    with pytest.raises(ValueError, match="zero or more"):
        around(1, either_way)


def test_what_may_be_zero_was_not_measured() -> None:
    assert above_zero(around(2, 1), "a length") == Interval(1, 2, 3)
    with pytest.raises(ValueError, match="a length is above zero, and its uncertainty smaller"):
        above_zero(around(2, 2), "a length")
