"""Demand of panels and feeders against the code's published examples, and what must always hold."""

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.category_total import Category, CategoryTotal, totals_together
from recordgen.calc.demand import Demand, demand_va
from recordgen.calc.demand_factors import Occupancy
from recordgen.calc.load_rules import EDITIONS, Edition

LEEWAY = 1 + 1e-9
"""Sums of the same numbers in another order differ in their last digits."""


def total(
    category: Category, *pieces_va: float, continuous_va: float = 0, not_recorded: int = 0
) -> CategoryTotal:
    return CategoryTotal(category, pieces_va, continuous_va, not_recorded)


@st.composite
def category_totals(draw: st.DrawFn) -> CategoryTotal:
    pieces = draw(st.lists(st.floats(0, 40_000), max_size=8))
    share = draw(st.sampled_from([0, 0.3, 1]))
    return total(
        draw(st.sampled_from(get_args(Category))), *pieces, continuous_va=share * sum(pieces)
    )


TOTALS = st.lists(category_totals(), max_size=12)
OCCUPANCIES = st.sampled_from(get_args(Occupancy))
SOME_EDITIONS = st.sampled_from(EDITIONS)


def test_a_published_dwelling() -> None:
    # NEC 2005, Annex D, example D1(a): 1,500 ft2 at 3 VA, two small-appliance and one laundry
    # circuit of 1,500 VA, a 12 kW range, a 5.5 kW dryer: 18,600 VA, 78 A at 240 V.
    found = demand_va(
        [
            total("lighting", 4500),
            total("receptacle", 1500, 1500, 1500),
            total("range", 12_000),
            total("dryer", 5500),
        ],
        "dwelling",
        2005,
    )
    assert [line.demand_va for line in found.lines] == pytest.approx([5100, 8000, 5500])
    assert found.demand_va == pytest.approx(18_600)
    assert round(found.sizing_va / 240) == 78
    assert found.lines[0].categories == ("lighting", "receptacle")


def test_a_published_store() -> None:
    # NEC 2005, Annex D, example D3: 12,200 VA of receptacles and 16,200 VA continuous: 28,400 VA;
    # with the continuous part at 125 % 32,450 VA, 135 A at 240 V.
    found = demand_va(
        [
            total("lighting", 9000, 6000, 1200, continuous_va=16_200),
            total("receptacle", *[180] * 80),
        ],
        "other",
        2005,
    )
    assert [line.demand_va for line in found.lines] == pytest.approx([16_200, 12_200])
    assert found.demand_va == pytest.approx(28_400)
    assert found.sizing_va == pytest.approx(32_450)
    assert round(found.sizing_va / 240) == 135


def test_a_published_motor_feeder() -> None:
    # NEC, Annex D, example D8: 25 hp and two of 30 hp at 460 V, 34 A and 40 A (currents read,
    # result from memory): 40 x 1.25 + 40 + 34 = 124 A. A common voltage falls out of the sum.
    found = demand_va([total("motor", 34, 40, 40, continuous_va=114)], "other", 2014)
    assert found.demand_va == 114
    assert found.sizing_va == pytest.approx(124)
    assert found.continuous_addition_va == 0


def test_continuous_load_is_sized_at_a_quarter_more() -> None:
    # 215.2(A)(1): 40 A continuous and 30 A not continuous are sized as 80 A.
    found = demand_va([total("other", 40, 30, continuous_va=40)], "other", 2020)
    assert (found.demand_va, found.sizing_va) == (70, 80)


def test_no_quarter_is_counted_twice() -> None:
    # 430.24: a continuous motor has its own quarter, and only the largest of motors and cooling.
    found = demand_va(
        [
            total("motor", 5000, 2000, continuous_va=7000),
            total("cooling", 8000, continuous_va=8000),
            total("other", 1000, continuous_va=1000),
        ],
        "other",
        2020,
    )
    assert found.motor_addition_va == 2000
    assert found.continuous_addition_va == 250
    assert found.sizing_va == 16_000 + 2250


def test_continuous_load_is_no_more_than_its_demand() -> None:
    # Receptacles: of 30 kVA, all continuous, 20 kVA are demanded.
    found = demand_va([total("receptacle", 30_000, continuous_va=30_000)], "other", 2023)
    assert (found.demand_va, found.sizing_va) == (20_000, 25_000)
    assert found.lines[0].clause == "220.47"


def test_of_heating_and_cooling_the_one_that_asks_more_is_counted() -> None:
    # 220.60: heating is the larger load, but cooling with its motor's quarter is sized for more.
    loads = [total("heating", 11_000), total("cooling", 10_000), total("other", 1000)]
    found = demand_va(loads, "other", 2020, noncoincident=True)
    assert (found.demand_va, found.left_out) == (12_000, ("cooling",))
    assert (found.sizing_va, found.sizing_left_out) == (13_500, ("heating",))
    assert found.connected_va == 22_000


def test_both_count_unless_it_is_recorded_that_they_never_meet() -> None:
    loads = [total("heating", 11_000), total("cooling", 10_000)]
    found = demand_va(loads, "other", 2020)
    assert (found.demand_va, found.left_out) == (21_000, ())
    alone = demand_va(loads[:1], "other", 2020, noncoincident=True)
    assert (alone.demand_va, alone.left_out) == (11_000, ())


def test_factors_of_dwellings_are_for_dwellings_only() -> None:
    loads = [total("dryer", *[6000] * 6), total("range", 12_000), total("appliance", *[1000] * 8)]
    assert demand_va(loads, "hotel", 2020).demand_va == 36_000 + 12_000 + 8_000
    assert demand_va(loads, "dwelling", 2020).demand_va == pytest.approx(27_000 + 8_000 + 6_000)
    kitchen = [total("kitchen", *[1000] * 6)]
    assert demand_va(kitchen, "dwelling", 2020).demand_va == 6000
    assert demand_va(kitchen, "other", 2020).demand_va == pytest.approx(3900)


def test_a_piece_counts_no_less_than_the_code_asks() -> None:
    # 220.54 (5,000 VA) and, from memory, 220.57 of 2023 (7,200 VA).
    dryer = demand_va([total("dryer", 4500)], "dwelling", 2020).lines[0]
    assert (dryer.connected_va, dryer.counted_va, dryer.demand_va) == (4500, 5000, 5000)
    assert demand_va([total("dryer", 4500)], "other", 2020).demand_va == 4500
    older, newer = (
        demand_va([total("vehicle charging", 3600)], "other", edition) for edition in (2020, 2023)
    )
    assert (older.demand_va, newer.demand_va) == (3600, 7200)
    # 625.42: charging is continuous, whatever was recorded.
    assert newer.sizing_va == 9000


def test_a_feeder_is_reckoned_from_totals_and_not_from_demands() -> None:
    # Two panels of 10 kVA of receptacles: 20 kVA at the feeder, of which 5 kVA fall away.
    panel = total("receptacle", *[500] * 20)
    alone = demand_va([panel], "other", 2020).demand_va
    together = demand_va([panel, panel], "other", 2020)
    assert alone == 10_000
    assert together.demand_va == 15_000
    assert len(together.lines) == 1


def test_what_is_not_recorded_is_told() -> None:
    found = demand_va(
        [total("other", 100, not_recorded=2), total("motor", not_recorded=1)], "other", 2020
    )
    assert found.not_recorded == 3
    assert [line.categories for line in found.lines] == [("other",)]
    nothing = demand_va([], "other", 2020)
    assert (nothing.lines, nothing.sizing_va, nothing.not_recorded) == ((), 0, 0)


@pytest.mark.parametrize("pieces", [(-1,), (float("nan"),), (float("inf"),)])
def test_impossible_loads_are_refused(pieces: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match="zero or more"):
        total("other", *pieces)


def test_impossible_questions_are_refused() -> None:
    with pytest.raises(ValueError, match="more is continuous than connected"):
        total("other", 100, continuous_va=101)
    with pytest.raises(ValueError, match="no category"):
        total("magic", 1)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="no occupancy"):
        demand_va([], "castle", 2020)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="edition 2026"):
        demand_va([], "other", 2026)  # type: ignore[arg-type]


def figures(found: Demand) -> tuple[float, float, float]:
    return found.connected_va, found.demand_va, found.sizing_va


@given(TOTALS, category_totals(), OCCUPANCIES, SOME_EDITIONS, st.booleans())
def test_one_more_load_lowers_nothing(
    totals: list[CategoryTotal],
    more: CategoryTotal,
    occupancy: Occupancy,
    edition: Edition,
    noncoincident: bool,
) -> None:
    before = demand_va(totals, occupancy, edition, noncoincident)
    after = demand_va([*totals, more], occupancy, edition, noncoincident)
    for low, high in zip(figures(before), figures(after), strict=True):
        assert low <= high * LEEWAY + 1e-6


@given(TOTALS, OCCUPANCIES, SOME_EDITIONS, st.booleans())
def test_figures_stay_in_their_bounds(
    totals: list[CategoryTotal], occupancy: Occupancy, edition: Edition, noncoincident: bool
) -> None:
    found = demand_va(totals, occupancy, edition, noncoincident)
    counted = sum(line.counted_va for line in found.lines)
    assert found.connected_va == pytest.approx(sum(total.connected_va for total in totals))
    assert found.demand_va <= found.sizing_va * LEEWAY <= 1.25 * counted * LEEWAY**2 + 1e-6
    assert found.demand_va <= counted * LEEWAY
    kept = [line for line in found.lines if not set(line.categories) & set(found.left_out)]
    assert found.demand_va == pytest.approx(sum(line.demand_va for line in kept))
    told = [category for line in found.lines for category in line.categories]
    assert len(told) == len(set(told))


@given(TOTALS, OCCUPANCIES)
def test_a_feeder_asks_no_less_than_any_of_its_panels(
    totals: list[CategoryTotal], occupancy: Occupancy
) -> None:
    feeder = demand_va(totals, occupancy, 2020).demand_va
    alone = [demand_va([one], occupancy, 2020).demand_va for one in totals]
    assert feeder >= max(alone, default=0) / LEEWAY - 1e-6


@given(TOTALS)
def test_no_piece_is_lost_where_totals_meet(totals: list[CategoryTotal]) -> None:
    together = totals_together(totals)
    assert sorted(va for one in together.values() for va in one.pieces_va) == sorted(
        va for one in totals for va in one.pieces_va
    )
    assert set(together) == {one.category for one in totals}
