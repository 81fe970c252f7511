"""Murray loop against published questions and against the bridge itself, by Ohm's law."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from recordgen.calc.interval import Interval, around
from recordgen.calc.murray_loop import distance_m, equivalent_loop_m
from tests.calc.worked_cases import expected, inputs

lengths = st.floats(10, 5000)
shares = st.floats(-1, 1)


def exactly(value: float) -> Interval:
    return around(value, 0)


@pytest.mark.parametrize("case", ["T01", "T02"])
def test_published_questions(case: str) -> None:
    # Exact; both conductors alike, so the loop is twice the run.
    arms, run = (exactly(inputs(case)[arm]) for arm in "PQ"), exactly(inputs(case)["L"])
    loop = equivalent_loop_m(run, run, 1.83, 1.83)
    assert loop.best == pytest.approx(2 * run.best)
    found = distance_m(*arms, loop, run)
    assert (found.low, found.best, found.high) == pytest.approx((expected(case),) * 3)


def test_the_ratio_upside_down_lies_beyond_the_loop() -> None:
    # Trap T10: a public page prints (P + Q) / Q × loop, 4,800 m of a loop of 1,200 m for case T01.
    case = inputs("T01")
    loop_m = 2 * case["L"]
    assert (case["P"] + case["Q"]) / case["Q"] * loop_m > loop_m
    found = distance_m(
        exactly(case["P"]), exactly(case["Q"]), exactly(loop_m), exactly(case["L"])
    ).best
    assert found == case["Q"] / (case["P"] + case["Q"]) * loop_m < case["L"]


def test_arms_taken_the_wrong_way_round_are_noticed() -> None:
    case = inputs("T01")
    run = exactly(case["L"])
    with pytest.raises(ValueError, match=r"900 m is beyond .* ends at 600 m: arms swapped"):
        distance_m(exactly(case["Q"]), exactly(case["P"]), exactly(1200), run)


@given(lengths, st.floats(0.01, 1), st.floats(0.1, 20), st.floats(0.1, 20), st.floats(1, 1e4))
def test_a_bridge_in_balance_gives_the_fault_back(
    run_m: float, share: float, faulty: float, sound: float, arms_ohm: float
) -> None:
    # Ohm's law, conductors of different sizes: P : Q as the rest of the loop to the part up to the
    # fault.
    fault_m = share * run_m
    near = faulty * fault_m
    rest = faulty * (run_m - fault_m) + sound * run_m
    q = arms_ohm * near / (near + rest)
    run = exactly(run_m)
    loop = equivalent_loop_m(run, run, faulty, sound)
    # Slack at the end, where rounding may put the fault a hair beyond it.
    found = distance_m(exactly(arms_ohm - q), exactly(q), loop, around(run_m, 1e-6 * run_m))
    assert found.best == pytest.approx(fault_m)


@given(shares, shares, shares, st.floats(0, 0.1), st.floats(0.05, 0.45))
def test_the_fault_is_inside_whatever_is_off(
    p_off: float, q_off: float, length_off: float, most: float, share: float
) -> None:
    p, q, run_m = 1 - share, share, 600.0
    run = around(run_m, most * run_m)
    loop = equivalent_loop_m(run, run, 1, 1)
    found = distance_m(around(p, most * p), around(q, most * q), loop, run)
    true_p, true_q = p * (1 + most * p_off), q * (1 + most * q_off)
    true_m = true_q / (true_p + true_q) * 2 * run_m * (1 + most * length_off)
    assert found.low <= true_m * (1 + 1e-9)
    assert true_m <= found.high * (1 + 1e-9)
    assume(most > 0.001)
    assert found.low < found.best < found.high


@pytest.mark.parametrize("wrong", [exactly(0), around(1, 1), exactly(-1)])
def test_arms_and_lengths_are_above_zero(wrong: Interval) -> None:
    good = exactly(1)
    for place in range(4):
        arguments = [good] * 4
        arguments[place] = wrong
        with pytest.raises(ValueError, match="is above zero"):
            distance_m(*arguments)
    for pair in ((wrong, good), (good, wrong)):
        with pytest.raises(ValueError, match="is above zero"):
            equivalent_loop_m(*pair, 1, 1)
    for resistances in ((0, 1), (1, 0), (1, float("nan"))):
        with pytest.raises(ValueError, match="resistance of a conductor"):
            equivalent_loop_m(good, good, *resistances)
