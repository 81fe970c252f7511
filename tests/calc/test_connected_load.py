"""Connected load on each phase: bookkeeping, so sums are the judge."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.connected_load import LoadPart, legs_in, legs_of, phase_va

LEGS = ["A", "B", "C", "AB", "BC", "CA", "ABC"]
PARTS = st.builds(LoadPart, st.floats(0, 1e6), st.sampled_from(LEGS), st.none())


@given(st.lists(PARTS))
def test_what_is_booked_adds_up_to_what_is_connected(parts: list[LoadPart]) -> None:
    booked = phase_va(parts, 3)
    assert list(booked) == ["A", "B", "C"]
    assert sum(booked.values()) == pytest.approx(sum(part.va for part in parts), rel=1e-12)


@given(st.lists(PARTS), PARTS)
def test_one_more_load_lowers_no_phase(parts: list[LoadPart], more: LoadPart) -> None:
    before, after = phase_va(parts, 3), phase_va([*parts, more], 3)
    assert all(after[leg] >= before[leg] for leg in before)


def test_a_load_is_booked_on_its_own_legs_only() -> None:
    # Common practice on panel schedules: equal shares.
    assert phase_va([LoadPart(3000, "CA", None)], 3) == {"A": 1500, "B": 0, "C": 1500}
    assert phase_va([LoadPart(3000, "AB", None, to_neutral=True)], 1) == {"A": 1500, "B": 1500}
    assert phase_va([], 1) == {"A": 0, "B": 0}


@pytest.mark.parametrize("legs", ["C", "BC", "ABC"])
def test_a_single_phase_system_has_no_third_leg(legs: str) -> None:
    with pytest.raises(ValueError, match="A and B only"):
        phase_va([LoadPart(100, legs, None)], 1)


@pytest.mark.parametrize("phases", [0, 2])
def test_direct_current_and_two_phase_systems_are_refused(phases: int) -> None:
    with pytest.raises(ValueError, match="1 and 3 phases only"):
        legs_of(phases)


def test_legs_are_told_in_order() -> None:
    assert legs_in(LoadPart(1, "CA", None), 3) == ("A", "C")


@pytest.mark.parametrize(
    ("va", "legs", "power_factor", "to_neutral", "told"),
    [
        (-1, "A", 1, False, "zero or more"),
        (float("nan"), "A", 1, False, "zero or more"),
        (float("inf"), "A", 1, False, "zero or more"),
        (1, "", 1, False, "one, two or three"),
        (1, "AA", 1, False, "one, two or three"),
        (1, "D", 1, False, "one, two or three"),
        (1, "A", 0, False, "power factor"),
        (1, "A", 80, False, "power factor"),
        (1, "A", 1, True, "two legs only"),
        (1, "ABC", 1, True, "two legs only"),
    ],
)
def test_an_impossible_load_is_refused(
    va: float, legs: str, power_factor: float, to_neutral: bool, told: str
) -> None:
    with pytest.raises(ValueError, match=told):
        LoadPart(va, legs, power_factor, to_neutral)
