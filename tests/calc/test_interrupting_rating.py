"""Interrupting ratings: NEC 110.9, rule read in a plan review guide."""

import pytest

from recordgen.calc.interrupting_rating import interrupting_rating_suffices
from tests.calc.worked_cases import expected, inputs


def test_a_rating_below_what_is_available_fails() -> None:
    # Case F15: 10 kA at 18,669 A; 22 kA passes.
    case = inputs("F15")
    assert interrupting_rating_suffices(case["aic"], case["afc"]) is expected("F15")
    assert interrupting_rating_suffices(22_000, case["afc"])


def test_at_least_is_enough() -> None:
    assert interrupting_rating_suffices(10_000, 10_000)
    assert not interrupting_rating_suffices(10_000, 10_000.1)


@pytest.mark.parametrize(("rating_a", "available_a"), [(0, 1), (1, 0), (-1, -2), (1, float("inf"))])
def test_what_is_not_known_is_no_zero(rating_a: float, available_a: float) -> None:
    with pytest.raises(ValueError, match="above zero"):
        interrupting_rating_suffices(rating_a, available_a)
