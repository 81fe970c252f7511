import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.constant_power import settled_volts

# Most that a source of V volts gives over R ohms: V²/(4·R), at half of its volts (circuit theory).
MOST_W = 100**2 / 4


def through_one_ohm(watts: float) -> float:
    return settled_volts((100 + 0j,), lambda volts: (100 - watts / volts[0].conjugate(),))[0].real


@given(st.floats(0, 0.999))
def test_volts_settle_on_the_higher_of_the_two_that_carry_the_power(share: float) -> None:
    # V² - 100·V + P·R = 0. Close to the point of collapse the last digits are slow to come.
    higher = 50 + math.sqrt(2500 - share * MOST_W)
    assert through_one_ohm(share * MOST_W) == pytest.approx(higher, abs=1e-6)


@pytest.mark.parametrize("share", [1.001, 1.01, 1.5, 4, 100])
def test_more_than_the_most_a_line_carries_is_refused(share: float) -> None:
    with pytest.raises(ValueError, match="cannot be supplied"):
        through_one_ohm(share * MOST_W)


def test_a_voltage_that_falls_to_nothing_is_a_collapse_too() -> None:
    with pytest.raises(ValueError, match="cannot be supplied"):
        settled_volts((100 + 0j,), lambda volts: (volts[0] * 0,))


def test_a_source_without_volts_has_none_to_lose() -> None:
    with pytest.raises(ValueError, match="more than 0 V"):
        settled_volts((0j,), lambda volts: volts)
