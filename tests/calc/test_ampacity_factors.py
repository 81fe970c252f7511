"""Factors for warm places against the equation that they come from, and for many conductors."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.ampacity_factors import (
    adjustment_factor,
    computed_temperature_factor,
    temperature_factor,
)
from recordgen.calc.insulation_column import ColumnC
from recordgen.calc.published import rows

COLUMNS: tuple[ColumnC, ...] = (60, 75, 90)


@pytest.mark.parametrize("column_c", COLUMNS)
@pytest.mark.parametrize("row", rows("ambient_correction"), ids=lambda row: row["ambient_up_to_c"])
def test_factors_are_the_equation_at_the_warm_end_of_the_band(
    row: dict[str, str], column_c: ColumnC
) -> None:
    ambient_c = float(row["ambient_up_to_c"])
    if not row[f"factor_{column_c}_c"]:
        with pytest.raises(ValueError, match=f"no ampacity for {column_c} °C insulation"):
            temperature_factor(column_c, ambient_c)
        return
    # The table has two decimals, so half of the second, and a hair for 1.155 printed as 1.15.
    by_equation = math.sqrt((column_c - ambient_c) / (column_c - 30))
    assert temperature_factor(column_c, ambient_c) == pytest.approx(by_equation, abs=0.0051)
    assert computed_temperature_factor(column_c, ambient_c) == pytest.approx(by_equation)


@given(st.sampled_from(COLUMNS), st.floats(-40, 84))
def test_the_table_is_never_above_the_equation_but_by_its_rounding(
    column_c: ColumnC, ambient_c: float
) -> None:
    try:
        factor = temperature_factor(column_c, ambient_c)
    except ValueError:
        # The last band ends 5 °C below the insulation's own temperature.
        assert ambient_c > column_c - 5
        return
    assert factor <= computed_temperature_factor(column_c, ambient_c) + 0.0051


def test_between_two_bands_the_warmer_one_counts() -> None:
    assert temperature_factor(75, 35) == 0.94  # NEC table 310.15(B)(1), read
    assert temperature_factor(75, 35.5) == temperature_factor(75, 40) == 0.88
    assert temperature_factor(90, 30) == 1


@pytest.mark.parametrize(("column_c", "ambient_c"), [(60, 55.1), (75, 70.1), (90, 85.1)])
def test_beyond_the_table_there_is_no_factor(column_c: ColumnC, ambient_c: float) -> None:
    with pytest.raises(ValueError, match="°C ambient"):
        temperature_factor(column_c, ambient_c)


@pytest.mark.parametrize("ambient_c", [75, 80, math.nan])
def test_the_equation_ends_at_the_insulation_s_temperature(ambient_c: float) -> None:
    with pytest.raises(ValueError, match="no ampacity for 75 °C insulation"):
        computed_temperature_factor(75, ambient_c)
    with pytest.raises(ValueError, match="no ampacity for 75 °C insulation"):
        temperature_factor(75, ambient_c)


@pytest.mark.parametrize(
    ("conductors", "factor"),
    # NEC table 310.15(C)(1), read in two transcriptions: both ends of each row.
    [
        (1, 1), (3, 1), (4, 0.8), (6, 0.8), (7, 0.7), (9, 0.7), (10, 0.5), (20, 0.5), (21, 0.45),
        (30, 0.45), (31, 0.4), (40, 0.4), (41, 0.35), (200, 0.35),
    ],
)  # fmt: skip
def test_factor_for_many_conductors(conductors: int, factor: float) -> None:
    assert adjustment_factor(conductors) == factor


def test_no_conductor_has_no_factor() -> None:
    with pytest.raises(ValueError, match="0 conductors that carry current"):
        adjustment_factor(0)


def test_rows_for_many_conductors_leave_no_gap() -> None:
    table = rows("conductor_count_adjustment")
    for row, following in pairwise(table):
        assert int(following["current_carrying_from"]) == int(row["current_carrying_to"]) + 1
    assert table[-1]["current_carrying_to"] == ""
