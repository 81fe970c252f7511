"""Unbalance: largest deviation from the mean over the mean."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from recordgen.calc.unbalance import unbalance_percent


@pytest.mark.parametrize(
    ("volts", "percent"),
    [
        ((460, 467, 450), 1.96),  # NEMA MG 1, 12.45, the example there; from memory
        ((220, 215, 210), 2.33),  # 5 / 215, worked by hand
        ((100, 0), 100),  # one of two legs carries everything
        ((90, 0, 0), 200),  # one of three
        ((277, 277, 277), 0),
    ],
)
def test_examples(volts: tuple[float, ...], percent: float) -> None:
    assert unbalance_percent(volts) == pytest.approx(percent, abs=0.005)


@given(st.lists(st.floats(0, 1e5), min_size=2, max_size=3), st.floats(0.01, 100))
def test_it_lies_in_its_range_and_knows_no_scale(values: list[float], scale: float) -> None:
    assume(sum(values) > 1e-3)
    found = unbalance_percent(values)
    assert 0 <= found <= 100 * (len(values) - 1) * (1 + 1e-9)
    assert unbalance_percent([value * scale for value in values]) == pytest.approx(found, abs=1e-6)


@pytest.mark.parametrize("values", [[], [1], [1, -1], [1, float("nan")], [0, 0, 0]])
def test_nothing_to_compare_is_refused(values: list[float]) -> None:
    with pytest.raises(ValueError, match=r"unbalance"):
        unbalance_percent(values)
