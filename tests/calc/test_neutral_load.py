"""Neutral of a dwelling's feeder, NEC 220.61; its published example is in test_load_cases."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.load_rules import EDITIONS
from recordgen.calc.neutral_load import neutral_demand_va

loads = st.floats(0, 1e6)


@given(loads, loads, st.sampled_from(EDITIONS))
def test_it_lies_between_seven_tenths_and_all(ranges: float, others: float, edition: int) -> None:
    # 220.61(B)(1): 70 % of ranges and dryers, all of what else there is.
    found = neutral_demand_va(ranges, others, edition)
    assert found <= (ranges + others) * (1 + 1e-12)
    assert found - others == pytest.approx(0.7 * ranges, abs=1e-6)


def test_what_cannot_be_is_refused() -> None:
    for pair in ((-1, 0), (0, -1), (float("nan"), 0)):
        with pytest.raises(ValueError, match="zero or more"):
            neutral_demand_va(*pair, 2020)
    with pytest.raises(ValueError, match="edition 1999"):
        neutral_demand_va(1, 1, 1999)
