"""Existing load, 220.87: every condition has to be shown, and unknown is never met."""

from dataclasses import fields, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.existing_load import MeasuredDemand, MeteredDemand, existing_load

GOOD = MeasuredDemand(
    demand_a=140,
    days=30,
    without_gaps=True,
    interval_min=15,
    heaviest_phase=True,
    occupied=True,
    season_counted=True,
    own_generation=False,
)


@pytest.mark.parametrize("known", [GOOD, MeteredDemand(140, 12)])
def test_the_rule(known: MeasuredDemand | MeteredDemand) -> None:
    # From memory: 1.25 x 140 A + 20 A = 195 A on 200 A.
    found = existing_load(known, 20, 200, True, 2020)
    assert (found.answer, found.total_a, found.left_a, found.unmet) == ("yes", 195, 5, ())
    assert existing_load(known, 25, 200, True, 2020).answer == "yes"
    assert existing_load(known, 25.1, 200, True, 2020).answer == "no"


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"days": 29.5}, "recorded for 29.5 days, 30 are asked for"),
        ({"interval_min": 60}, "averaged over 60 minutes, 15 are asked for"),
        ({"without_gaps": False}, "recorded without gaps: not so"),
        ({"heaviest_phase": False}, "most heavily loaded phase recorded: not so"),
        ({"occupied": False}, "building in use while recorded: not so"),
        ({"season_counted": False}, "seasonal loads counted: not so"),
        ({"own_generation": True}, "recorded with a renewable source or peak shaving behind it"),
    ],
)
def test_a_condition_that_is_not_met_is_named(change: dict[str, float], told: str) -> None:
    found = existing_load(replace(GOOD, **change), 20, 200, True, 2020)
    assert found.answer == "not shown"
    assert found.unmet == (told,)
    assert found.total_a == 195


@pytest.mark.parametrize("field", [field.name for field in fields(MeasuredDemand)])
def test_whatever_is_not_recorded_leaves_the_answer_open(field: str) -> None:
    found = existing_load(replace(GOOD, **{field: None}), 20, 200, True, 2020)
    assert found.answer == "not shown"
    assert len(found.unmet) == 1
    assert found.unmet[0].endswith(": not recorded")


def test_the_other_inputs_may_be_unknown_too() -> None:
    found = existing_load(MeteredDemand(None, None), None, None, None, 2020)
    assert found.answer == "not shown"
    assert len(found.unmet) == 5
    assert (found.existing_a, found.total_a, found.left_a) == (None, None, None)
    assert existing_load(GOOD, 20, 200, False, 2020).unmet == (
        "overcurrent or overload protection: not so",
    )


def test_a_demand_that_was_seen_is_too_much_however_short_the_recording() -> None:
    found = existing_load(replace(GOOD, days=3), 30, 200, True, 2020)
    assert found.answer == "no"
    assert found.unmet


@given(st.floats(0, 1e4), st.floats(0, 1e4), st.floats(0, 1e4))
def test_yes_is_never_said_of_what_does_not_fit(demand: float, new: float, rating: float) -> None:
    found = existing_load(MeteredDemand(demand, 12), new, rating, True, 2023)
    fits = rating - (demand + demand / 4 + new)
    if abs(fits) > 1e-6:
        assert found.answer == ("yes" if fits > 0 else "no")


@pytest.mark.parametrize(
    ("known", "new_a", "capacity_a"),
    [
        (MeteredDemand(-1, 12), 1, 1),
        (MeteredDemand(1, -12), 1, 1),
        (MeteredDemand(1, 12), float("nan"), 1),
        (MeteredDemand(1, 12), 1, -1),
        (replace(GOOD, days=-1), 1, 1),
    ],
)
def test_impossible_figures_are_refused(
    known: MeteredDemand | MeasuredDemand, new_a: float, capacity_a: float
) -> None:
    with pytest.raises(ValueError, match="zero or more"):
        existing_load(known, new_a, capacity_a, True, 2020)


def test_an_edition_without_a_table_is_refused() -> None:
    with pytest.raises(ValueError, match="edition 1996"):
        existing_load(GOOD, 1, 1, True, 1996)  # type: ignore[arg-type]
