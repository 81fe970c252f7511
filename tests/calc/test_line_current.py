"""Line currents against closed-form physics, a published example and a nodal solution."""

from cmath import phase, rect
from math import acos, degrees, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.connected_load import LoadPart, phase_va
from recordgen.calc.line_current import (
    PhasorCurrents,
    ampere_limits,
    leg_voltages,
    phasor_amperes,
)

LEGS = ["A", "B", "C", "AB", "BC", "CA", "ABC"]
PARTS = st.builds(
    LoadPart,
    st.floats(0, 1e6),
    st.sampled_from(LEGS),
    st.floats(0.1, 1),
    leading=st.booleans(),
)
EXACT = 120 * sqrt(3)
"""Line voltage that belongs to exactly 120 V: 208 is rounded by 0.07 %."""


def magnitudes(found: PhasorCurrents) -> list[float]:
    return [abs(current) for current in (found.a, found.b, found.c, found.neutral)]


def test_the_high_leg_stands_at_208_volts() -> None:
    # 240 V x sqrt(3)/2 = 207.85 V, "208 V" on a trade magazine's page (article 20887115).
    volts = leg_voltages(240, 120, 3, "B")
    assert abs(volts["B"]) == pytest.approx(207.846, abs=0.001)


@pytest.mark.parametrize("high_leg", ["A", "B", "C", None])
def test_line_voltages_are_equal_and_follow_in_order_a_b_c(high_leg: str | None) -> None:
    # A balanced source: AB leads BC by 120 degrees, and BC leads CA.
    volts = leg_voltages(240, 120, 3, high_leg) if high_leg else leg_voltages(480, None, 3)
    ab, bc, ca = (volts[x] - volts[y] for x, y in ("AB", "BC", "CA"))
    for first, second in ((ab, bc), (bc, ca), (ca, ab)):
        assert degrees(phase(first / second)) == pytest.approx(120)
        assert abs(first) == pytest.approx(240 if high_leg else 480)


@pytest.mark.parametrize(
    ("system", "told"),
    [
        ((240, 120, 3, None), "no wye system"),
        ((208, 120, 1, None), "no single-phase system"),
        ((208, 120, 3, "B"), "no high-leg delta system"),
        ((240, None, 3, "B"), "a high leg is one of"),
        ((240, 120, 1, "B"), "a high leg is one of"),
        ((240, 120, 3, "N"), "a high leg is one of"),
        ((0, None, 3, None), "above zero"),
        ((208, 0, 3, None), "above zero"),
        ((48, None, 0, None), "1 and 3 phases only"),
    ],
)
def test_systems_that_do_not_exist_are_refused(
    system: tuple[float, float | None, int, str | None], told: str
) -> None:
    with pytest.raises(ValueError, match=told):
        leg_voltages(*system)


def test_nominal_voltages_may_be_rounded() -> None:
    assert abs(leg_voltages(400, 230, 3)["A"]) == 230


def test_two_legs_and_the_neutral_of_a_wye_load_the_neutral_in_full() -> None:
    # Physics: two equal currents 120 degrees apart add up to one of them.
    found = phasor_amperes([LoadPart(2400, "A", 1), LoadPart(2400, "B", 1)], 208, 120, 3)
    assert magnitudes(found) == pytest.approx([20, 20, 0, 20])
    assert found == phasor_amperes([LoadPart(4800, "AB", 1, to_neutral=True)], 208, 120, 3)


def test_neutrals_of_opposite_legs_cancel_and_of_the_same_leg_add_up() -> None:
    # Physics: 20 A and 12 A leave 8 A in the neutral; with both on one leg it carries 32 A.
    right = phasor_amperes([LoadPart(2400, "A", 1), LoadPart(1440, "B", 1)], 240, 120, 1)
    wrong = phasor_amperes([LoadPart(2400, "A", 1), LoadPart(1440, "A", 1)], 240, 120, 1)
    assert abs(right.neutral) == pytest.approx(8)
    assert abs(wrong.neutral) == pytest.approx(32)


def test_halves_misstate_a_phase_to_phase_load() -> None:
    # Physics: 4,160 VA at 208 V draw 20 A. Half of it at 120 V would be 17.3 A, 13 % too little:
    # so large was the lowest error found on a solved panel with halved loads.
    parts = [LoadPart(4160, "AB", 1)]
    found = phasor_amperes(parts, 208, 120, 3)
    assert magnitudes(found) == pytest.approx([20, 20, 0, 0], abs=1e-9)
    assert phase_va(parts, 3)["A"] / 120 / abs(found.a) - 1 == pytest.approx(-0.133, abs=0.001)


def test_a_balanced_load_draws_the_same_in_every_leg() -> None:
    # Textbook: I = S / (sqrt(3) V); the current lags the leg's voltage by the load's angle.
    found = phasor_amperes([LoadPart(75000, "ABC", 0.8)], 480, 277, 3)
    assert magnitudes(found) == pytest.approx([90.211, 90.211, 90.211, 0], abs=0.001)
    assert phase(found.a) == pytest.approx(-acos(0.8))
    leading = phasor_amperes([LoadPart(75000, "ABC", 0.8, leading=True)], 480, 277, 3)
    assert phase(leading.a) == pytest.approx(acos(0.8))


def test_a_high_leg_delta_shares_its_loads_as_the_circuit_says() -> None:
    # Closed form: 24 kVA three-phase at unity is 57.7 A a leg at the angles of its phases; 2.4 kVA
    # on A adds 20 A in step with A to neutral, 30 degrees ahead of the three-phase current of A.
    parts = [LoadPart(24000, "ABC", 1), LoadPart(2400, "A", 1)]
    found = phasor_amperes(parts, 240, 120, 3, "B")
    line = 24000 / 240 / sqrt(3)
    in_a = sqrt(line**2 + 20**2 + 2 * line * 20 * sqrt(3) / 2)
    assert magnitudes(found) == pytest.approx([in_a, line, line, 20])
    # On the high leg the same VA draws less, at 207.85 V.
    high = phasor_amperes([LoadPart(2400, "B", 1)], 240, 120, 3, "B")
    assert magnitudes(high) == pytest.approx([0, 2400 / 207.846, 0, 2400 / 207.846], rel=1e-5)


def test_the_lines_of_a_published_dwelling() -> None:
    # NEC 2005, Annex D, example D1(b): on top of 78 A in each line, air conditioning of 6 A at
    # 230 V, 12 A at 115 V, a 10 A dishwasher and an 8 A disposer at 115 V: 84 A + 12 A in one line
    # and 84 A + 18 A in the other before the 25 % of a motor (3 A, 2 A): 99 A and 104 A. The
    # neutral carries the difference of the lines: physics, the example counts in another way.
    parts = [
        LoadPart(78 * 230, "AB", 1),
        LoadPart(6 * 230, "AB", 1),
        LoadPart(12 * 115, "A", 1),
        LoadPart(10 * 115, "B", 1),
        LoadPart(8 * 115, "B", 1),
    ]
    found = phasor_amperes(parts, 230, 115, 1)
    assert magnitudes(found) == pytest.approx([99 - 3, 104 - 2, 0, 6])


@given(st.lists(PARTS, max_size=8))
def test_currents_agree_with_a_nodal_solution(parts: list[LoadPart]) -> None:
    # Independent way: every load as an admittance Y = S* / |V|^2 between two nodes, and the current
    # of a node as the sum of Y (V - V'); a balanced load as three admittances in delta.
    node = leg_voltages(EXACT, 120, 3) | {"N": 0j}
    sums = dict.fromkeys("ABCN", 0j)
    for part in parts:
        pairs = {1: [part.legs + "N"], 2: [part.legs], 3: ["AB", "BC", "CA"]}[len(part.legs)]
        assert part.power_factor is not None
        turn = acos(part.power_factor) * (-1 if part.leading else 1)
        for x, y in pairs:
            power = rect(part.va / len(pairs), turn)
            drop = node[x] - node[y]
            current = power.conjugate() / abs(drop) ** 2 * drop
            sums[x] += current
            sums[y] -= current
    found = phasor_amperes(parts, EXACT, 120, 3)
    scale = 1e-9 * (1 + sum(part.va for part in parts) / 120)
    for leg, current in zip("ABC", (found.a, found.b, found.c), strict=True):
        assert abs(current - sums[leg]) < scale
    assert abs(found.neutral + sums["N"]) < scale


@given(st.lists(PARTS, max_size=8), st.sampled_from([None, "B", "C"]))
def test_no_current_exceeds_its_limit(parts: list[LoadPart], high_leg: str | None) -> None:
    system = (240, 120, 3, high_leg) if high_leg else (208, 120, 3, None)
    found = magnitudes(phasor_amperes(parts, *system))
    limits = ampere_limits(parts, *system)
    for current, limit in zip(found, (limits.a, limits.b, limits.c, limits.neutral), strict=True):
        assert current <= limit + 1e-9 * (1 + sum(found))


def test_limits_need_no_power_factor_and_currents_do() -> None:
    parts = [LoadPart(2400, "A", 1), LoadPart(1200, "B", None)]
    assert ampere_limits(parts, 208, 120, 3).b == pytest.approx(10)
    with pytest.raises(ValueError, match=r"power factor of part 2 \(B\) is not recorded"):
        phasor_amperes(parts, 208, 120, 3)


@pytest.mark.parametrize("part", [LoadPart(100, "A", 1), LoadPart(100, "AB", 1, to_neutral=True)])
def test_a_system_without_a_neutral_feeds_no_load_to_neutral(part: LoadPart) -> None:
    with pytest.raises(ValueError, match="no neutral"):
        phasor_amperes([part], 480, None, 3)
    with pytest.raises(ValueError, match="no neutral"):
        ampere_limits([part], 480, None, 3)
