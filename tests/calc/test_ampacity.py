"""Ampacities against published figures and the order that physics puts them in."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.ampacity import (
    allowable_ampacity,
    corrected_ampacity_a,
    table_ampacity_a,
    unmarked_terminal_c,
)
from recordgen.calc.conductor_area import circular_mils
from recordgen.calc.insulation_column import ColumnC
from recordgen.calc.published import rows
from recordgen.records.conductor_size import ConductorSize, Metal, read_conductor_size

COLUMNS: tuple[ColumnC, ...] = (60, 75, 90)
SIZES = [
    read_conductor_size(f"{row['size']} {metal}")
    for metal in ("Cu", "Al")
    for row in rows("conductor_ampacity")
    if row[f"{metal.lower()}_75_c_a"]
]


@pytest.mark.parametrize(
    ("size", "column_c", "ampacity_a"),
    [
        # NEC 2014 table 310.15(B)(16), read in a transcription; 90 °C copper in a second one.
        ("3/0 AWG Cu", 75, 200),
        ("1 AWG Cu", 90, 145),  # 150 in older editions
        ("12 AWG Cu", 60, 20),
        ("250 kcmil Al", 75, 205),
        ("500 kcmil Cu", 75, 380),
        ("4/0 AWG Al", 75, 180),
    ],
)
def test_ampacity_is_the_published_one(size: str, column_c: ColumnC, ampacity_a: float) -> None:
    assert table_ampacity_a(read_conductor_size(size), column_c) == ampacity_a


def test_the_table_has_28_sizes_of_copper_and_27_of_aluminium() -> None:
    assert [sum(size.metal == metal for size in SIZES) for metal in ("Cu", "Al")] == [28, 27]


@pytest.mark.parametrize("metal", ["Cu", "Al"])
def test_larger_and_hotter_carry_more_and_copper_more_than_aluminium(metal: Metal) -> None:
    sizes = [size for size in SIZES if size.metal == metal]
    assert [circular_mils(size) for size in sizes] == sorted(circular_mils(size) for size in sizes)
    for column_c in COLUMNS:
        ampacities = [table_ampacity_a(size, column_c) for size in sizes]
        assert all(a < b for a, b in pairwise(ampacities))
    for size in sizes:
        by_column = [table_ampacity_a(size, column_c) for column_c in COLUMNS]
        assert by_column[0] < by_column[1] < by_column[2]
        copper = ConductorSize(size.number, size.unit, "Cu")
        assert table_ampacity_a(copper, 75) >= by_column[1]


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_columns_are_as_far_apart_as_their_temperatures(size: ConductorSize) -> None:
    # 310.15(B) in the other direction: the square of the current as the temperature above 30 °C,
    # less what the warmer metal resists more. Printed to 5 A: 5 % from 8 AWG on, 12 % below.
    tolerance = 0.05 if circular_mils(size) >= 16510 else 0.12
    for cooler, warmer in ((60, 75), (75, 90)):
        more_resistance = 1 + 0.0033 * (warmer - cooler)
        ratio = ((warmer - 30) / (cooler - 30) / more_resistance) ** 0.5
        found = table_ampacity_a(size, warmer) / table_ampacity_a(size, cooler)
        assert found == pytest.approx(ratio, rel=tolerance)


@pytest.mark.parametrize(
    ("size", "column_c", "message"),
    [
        ("14 AWG Al", 75, "has no 14 AWG Al"),
        ("16 AWG Cu", 75, "16 AWG is not in the table"),
        ("16 mm2 Cu", 75, "16 mm² Cu is not in the tables"),
        ("12 AWG", 75, "the metal of the 12 AWG conductor is not recorded"),
        ("12 AWG Cu", 70, "70 °C is no column"),
    ],
)
def test_what_the_table_of_ampacities_lacks_is_named(
    size: str, column_c: ColumnC, message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        table_ampacity_a(read_conductor_size(size), column_c)


def test_nine_conductors_in_a_warm_place() -> None:
    # 30 A × 0.87 × 0.70: factors and ampacity read in transcriptions of the 2014 tables.
    answer = allowable_ampacity(ConductorSize("12", "AWG", "Cu"), 90, 60, 45, 9)
    assert answer.corrected_a == pytest.approx(18.27, abs=0.01)
    assert (answer.terminal_limit_a, answer.limited_by_terminals) == (20, False)
    assert answer.allowable_a == answer.corrected_a


def test_terminals_limit_what_the_insulation_would_allow() -> None:
    # 110.14(C): 3 AWG copper has 115 A at 90 °C, 100 A at 75 °C (310.16, read).
    answer = allowable_ampacity(ConductorSize("3", "AWG", "Cu"), 90, 75, 30, 3)
    assert (answer.table_a, answer.corrected_a, answer.terminal_limit_a) == (115, 115, 100)
    assert (answer.allowable_a, answer.limited_by_terminals) == (100, True)


def test_a_cold_place_does_not_raise_what_terminals_stand() -> None:
    answer = allowable_ampacity(ConductorSize("1/0", "AWG", "Cu"), 75, 75, 5, 3, parallel=2)
    assert answer.corrected_a == pytest.approx(150 * 1.2 * 2)
    assert answer.allowable_a == 300


def test_parallel_conductors_begin_at_1_0() -> None:
    # 310.10(G) of 2020, 310.10(H) of 2014; from memory.
    assert corrected_ampacity_a(ConductorSize("1/0", "AWG", "Al"), 75, 30, 3, parallel=3) == 360
    assert corrected_ampacity_a(ConductorSize("1", "AWG", "Cu"), 75, 30, 3, parallel=1) == 130
    with pytest.raises(ValueError, match=r"1 AWG Cu is smaller than 1/0 AWG.*310\.10\(G\)"):
        corrected_ampacity_a(ConductorSize("1", "AWG", "Cu"), 75, 30, 3, parallel=2)
    with pytest.raises(ValueError, match="0 conductors in parallel"):
        corrected_ampacity_a(ConductorSize("1/0", "AWG", "Cu"), 75, 30, 3, parallel=0)


@given(
    st.sampled_from(SIZES),
    st.sampled_from(COLUMNS),
    st.sampled_from(COLUMNS),
    st.floats(-20, 55),
    st.integers(1, 60),
)
def test_allowable_is_never_above_a_limit_nor_above_what_is_milder(
    size: ConductorSize, insulation_c: ColumnC, terminal_c: ColumnC, ambient_c: float, number: int
) -> None:
    answer = allowable_ampacity(size, insulation_c, terminal_c, ambient_c, number)
    assert 0 < answer.allowable_a <= table_ampacity_a(size, terminal_c)
    factors = answer.temperature_factor * answer.adjustment_factor
    assert answer.allowable_a <= answer.table_a * factors + 1e-9
    milder = allowable_ampacity(size, insulation_c, terminal_c, ambient_c - 10, number)
    assert answer.allowable_a <= milder.allowable_a
    more = allowable_ampacity(size, insulation_c, terminal_c, ambient_c, number + 1)
    assert more.allowable_a <= answer.allowable_a


def test_terminals_that_are_not_marked() -> None:
    # 110.14(C)(1), from memory.
    assert [unmarked_terminal_c(a) for a in (15, 100, 100.5, 400, 4000)] == [60, 60, 75, 75, 75]
    with pytest.raises(ValueError, match="a rating of 0 A"):
        unmarked_terminal_c(0)
