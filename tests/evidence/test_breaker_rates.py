"""False certainty in made-up cases: wrong seldom, beside a rule that others have used.

The bounds are wide, for 400 cases: `python -m tests.evidence.breaker_rates` counts 10,000.
"""

import pytest

from tests.evidence import breaker_rates
from tests.evidence.simulator_breakers import Model, cases

COUNT = 400


def test_breakers_are_seldom_called_wrong_and_mostly_called() -> None:
    found = breaker_rates.breakers(COUNT)
    assert found.wrong <= 0.015
    assert found.ambiguous <= 0.16
    assert found.right >= 0.7


def test_one_that_was_not_read_is_hardly_replaced_by_another() -> None:
    ours, other = breaker_rates.breakers(COUNT), breaker_rates.rule_to_beat(COUNT)
    assert ours.absent >= 0.05
    assert ours.wrong_absent <= 0.1
    assert ours.wrong < other.wrong


def test_the_cases_are_about_as_hard_as_those_that_the_rule_to_beat_was_measured_on() -> None:
    # It was: 88 % right, none wrong in 900, 12 % ambiguous.
    found = breaker_rates.rule_to_beat(COUNT)
    assert 0.83 <= found.right <= 0.93
    assert found.wrong_held <= 0.01


@pytest.mark.parametrize(
    "model", [Model(any_direction=True), Model(placement=0.12)], ids=["any direction", "unsteady"]
)
def test_other_assumptions_leave_it_seldom_wrong(model: Model) -> None:
    found = breaker_rates.breakers(COUNT, model=model)
    assert found.wrong <= 0.025
    assert found.wrong_held <= 0.01


def test_cables_are_seldom_called_wrong() -> None:
    found = breaker_rates.bundles(COUNT)
    assert found.wrong <= 0.03
    assert found.right >= 0.15


def test_the_same_seed_gives_the_same_cases() -> None:
    assert list(cases(20, 7)) == list(cases(20, 7))
    assert list(cases(20, 7)) != list(cases(20, 8))
