"""Loads: the cases worked elsewhere, each with its source in data/load_cases.json."""

import pytest

from recordgen.calc.category_total import Category, CategoryTotal
from recordgen.calc.connected_load import LoadPart
from recordgen.calc.demand import demand_va
from recordgen.calc.demand_factors import demand_by_count, demand_by_steps, range_demand
from recordgen.calc.existing_load import MeteredDemand, existing_load
from recordgen.calc.inverter_bus import inverter_bus_ok
from recordgen.calc.line_current import phasor_amperes
from recordgen.calc.load_rules import rule_of
from recordgen.calc.motor_current import full_load_current_a
from recordgen.calc.neutral_load import neutral_demand_va
from recordgen.calc.overcurrent_ratings import next_standard_a
from tests.calc.worked_cases import expected, inputs


def total(category: Category, *pieces_va: float, continuous_va: float = 0) -> CategoryTotal:
    return CategoryTotal(category, pieces_va, continuous_va, not_recorded=0)


def test_a_published_dwelling() -> None:
    # Case L01: 3 VA a square foot, 1,500 VA a small-appliance or laundry circuit.
    case, wanted = inputs("L01"), expected("L01")
    assert case["ft2"] * 3 == wanted["lighting"]
    found = demand_va(
        [
            total("lighting", case["ft2"] * 3),
            total("receptacle", *[1500] * (case["small"] + case["laundry"])),
            total("range", case["range_kW"] * 1000),
            total("dryer", case["dryer_VA"]),
        ],
        "dwelling",
        2005,
    )
    general, ranges, dryer = (line.demand_va for line in found.lines)
    assert general == pytest.approx(wanted["net_general"])
    assert found.demand_va == pytest.approx(wanted["total"])
    assert round(found.demand_va / 240) == wanted["amps"]
    neutral = neutral_demand_va(ranges + dryer, general, 2005)
    assert neutral == pytest.approx(wanted["neutral_VA"])
    assert round(neutral / 240) == wanted["neutral_A"]


def test_the_lines_of_a_published_dwelling() -> None:
    # Case L02: on 78 A in each line, cooling of 6 A from line to line; 12 A on one line, an 8 A
    # disposer and a 10 A dishwasher on the other; and a quarter of the largest motor of each line.
    base, wanted = inputs("L02")["base"], expected("L02")
    parts = [
        LoadPart((base[0] + 6) * 230, "AB", 1),
        LoadPart(12 * 115, "A", 1),
        LoadPart((8 + 10) * 115, "B", 1),
    ]
    amperes = phasor_amperes(parts, 230, 115, 1)
    quarter = rule_of("largest motor", 2005).share - 1
    lines = abs(amperes.a) + quarter * 12, abs(amperes.b) + quarter * 8
    assert lines == pytest.approx((wanted["A"], wanted["B"]))
    assert next_standard_a(max(lines), "breaker", 2005) == wanted["service"]
    # Disagreed with: the example carries 83 A in the neutral, 61 + 12 + 8 + 2, and so mixes loads
    # of both lines. 220.61 asks for the largest net load between the neutral and any one line,
    # 18 A beyond the 61 A, and the quarter of 8 A: 81 A. It errs on the safe side, by 2 A.
    assert base[1] + 18 + quarter * 8 == wanted["N"] - 2


def test_a_published_store() -> None:
    # Case L04: 80 outlets at 180 VA; 3 VA a square foot, 200 VA a foot of show window, the sign.
    case, wanted = inputs("L04"), expected("L04")
    continuous = 3 * case["ft2"] + 200 * case["window_ft"] + case["sign"]
    assert continuous == wanted["cont"]
    outlet = rule_of("receptacle outlet", 2005).value
    found = demand_va(
        [
            total("lighting", continuous, continuous_va=continuous),
            total("receptacle", *[outlet] * case["recept"]),
        ],
        "other",
        2005,
    )
    assert found.lines[1].demand_va == pytest.approx(wanted["recept"])
    assert found.demand_va == pytest.approx(wanted["sum"])
    assert found.sizing_va == pytest.approx(wanted["with125"])
    assert round(found.sizing_va / 240) == wanted["amps240"]


def test_ranges() -> None:
    # Case L06: note 1 of the table; cases L07 and L08: column C.
    assert range_demand([inputs("L06")["range_kW"] * 1000], 2014).va == pytest.approx(
        expected("L06") * 1000
    )
    for case in ("L07", "L08"):
        found = range_demand([12_000] * inputs(case)["n"], 2014).va
        assert found == pytest.approx(expected(case) * 1000)


def test_a_kitchen_counts_no_less_than_its_two_largest() -> None:
    # Case L10: 65 % of 60 kVA is 39, the two largest 45.
    pieces = [kva * 1000 for kva in inputs("L10")["kitchen"]]
    assert demand_by_count(pieces, "kitchen").va == expected("L10") * 1000


def test_lighting_of_a_hotel_in_its_edition() -> None:
    # Case L13. Trap T13: factors drift from edition to edition, so none is used without one.
    def lighting(edition: int) -> float | None:
        found = demand_by_steps(inputs("L13")["hotel_VA"], "lighting", "hotel", edition)
        return found and found.va

    assert lighting(2017) == pytest.approx(expected("L13"))
    assert lighting(2020) != pytest.approx(expected("L13"))
    with pytest.raises(ValueError, match="edition 1999"):
        demand_va([total("lighting", 1)], "hotel", 1999)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="edition 1999"):
        existing_load(MeteredDemand(140, 12), 20, 200, True, 1999)  # type: ignore[arg-type]


def test_a_feeder_of_motors() -> None:
    # Case L14: 25 hp and two of 30 hp at 460 V.
    motors = inputs("L14")["motors"]
    assert [full_load_current_a(hp, 480, 3) for hp in (25, 30, 30)] == motors
    found = demand_va([total("motor", *motors)], "other", 2014)
    assert found.sizing_va == pytest.approx(expected("L14"))


def test_continuous_load() -> None:
    # Case L16.
    case = inputs("L16")
    loads = [total("other", case["cont"], case["non"], continuous_va=case["cont"])]
    assert demand_va(loads, "other", 2014).sizing_va == expected("L16")


def test_a_new_load_on_an_existing_one() -> None:
    # Case L17, with twelve months of metering.
    case = inputs("L17")
    known = MeteredDemand(case["max_demand"], 12)
    found = existing_load(known, case["new"], case["ampacity"], True, 2020)
    assert (found.total_a, found.answer) == (expected("L17"), "yes")


def test_an_inverter_at_the_far_end_of_a_bus() -> None:
    # Case L18: 40 A are left for 125 % of the inverter, so 32 A pass and more does not.
    case = inputs("L18")
    most = expected("L18") / 1.25
    assert inverter_bus_ok(case["bus"], case["main"], most, True, 2020).left_a == expected("L18")
    answers = [
        inverter_bus_ok(case["bus"], case["main"], current, True, 2020).answer
        for current in (most, most + 0.1)
    ]
    assert answers == ["yes", "no"]


def test_a_step_of_a_dwelling_is_not_what_an_ordinance_printed() -> None:
    # Trap T7: a published ordinance has 35 % of 3,000 VA as 750 VA; it is 1,050 VA, after 3,000 VA
    # in full.
    found = demand_by_steps(6000, "lighting", "dwelling", 2005)
    assert found is not None
    assert found.va - 3000 == pytest.approx(1050)
