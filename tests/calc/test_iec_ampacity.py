"""Capacities by IEC 60364-5-52 against a printed figure and the order that physics asks for."""

from itertools import pairwise
from math import sqrt

import pytest

from recordgen.calc.iec_ampacity import (
    METHODS,
    LoadedConductors,
    allowable_ampacity_a,
    grouping_factor,
    table_ampacity_a,
    temperature_factor,
)
from recordgen.calc.published import rows
from tests.calc.worked_cases import expected, inputs

SIZES = (1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120)
BOTH: tuple[LoadedConductors, ...] = (2, 3)
# IEC 60228, class 2 copper at 20 °C [Ω/km]: to 50 mm² read, the rest from memory.
OHM_PER_KM = (12.1, 7.41, 4.61, 3.08, 1.83, 1.15, 0.727, 0.524, 0.387, 0.268, 0.193, 0.153)


def test_a_printed_figure() -> None:
    # Case I05: 46 A × 0.71; the manual prints 33 A, rounded: 1 A.
    case = inputs("I05")
    found = allowable_ampacity_a(case["mm2"], case["method"], 3, case["Ta"], 1)
    assert found == pytest.approx(expected("I05"), abs=0.005)
    assert found == pytest.approx(33, abs=1)


@pytest.mark.parametrize(
    ("area_mm2", "method", "capacity_a"),
    # Read in manuals of machines (B2, C) and in a forum (A1, B1), three loaded conductors.
    [(1.5, "B2", 15), (35, "B2", 99), (120, "B2", 206), (25, "C", 96), (25, "A1", 73),
     (25, "B1", 89)],
)  # fmt: skip
def test_figures_that_were_read(area_mm2: float, method: str, capacity_a: float) -> None:
    assert table_ampacity_a(area_mm2, method, 3) == capacity_a


@pytest.mark.parametrize("loaded", BOTH)
def test_larger_and_better_cooled_carry_more(loaded: LoadedConductors) -> None:
    for method in METHODS:
        amps = [table_ampacity_a(size, method, loaded) for size in SIZES]
        assert all(less < more for less, more in pairwise(amps))
    for size in SIZES:
        by_method = {method: table_ampacity_a(size, method, loaded) for method in METHODS}
        assert sorted(by_method, key=by_method.__getitem__) == ["A2", "A1", "B2", "B1", "C"]


@pytest.mark.parametrize("method", METHODS)
def test_two_loaded_conductors_carry_more_than_three(method: str) -> None:
    # Three give off half as much heat again through nearly the same surface: √1.5 at most.
    for size in SIZES:
        ratio = table_ampacity_a(size, method, 2) / table_ampacity_a(size, method, 3)
        assert 1 < ratio < sqrt(1.5)


@pytest.mark.parametrize("loaded", BOTH)
@pytest.mark.parametrize("method", METHODS)
def test_heat_grows_no_faster_than_surface_would_let_it(
    method: str, loaded: LoadedConductors
) -> None:
    # Watts per metre at the tabulated current, from the ohms of IEC 60228: from size to size they
    # rise by less than the diameter does twice over, and never fall by more than rounding (1.5 mm²
    # and 2.5 mm² are printed to half an ampere: 8 %).
    watts = [
        table_ampacity_a(size, method, loaded) ** 2 * ohms
        for size, ohms in zip(SIZES, OHM_PER_KM, strict=True)
    ]
    for (size, heat), (larger, more) in pairwise(zip(SIZES, watts, strict=True)):
        assert 0.92 < more / heat < larger / size


@pytest.mark.parametrize("row", rows("iec_temperature"), ids=lambda row: row["ambient_up_to_c"])
def test_factors_are_the_square_root_of_what_is_left_to_warm(row: dict[str, str]) -> None:
    # √((70 - air)/40); two figures printed.
    ambient_c = float(row["ambient_up_to_c"])
    physics = sqrt((70 - ambient_c) / 40)
    assert temperature_factor(ambient_c) == pytest.approx(physics, abs=0.0051)


def test_a_forum_is_one_row_off() -> None:
    # Trap T12: 0.94 for 40 °C; that is 35 °C, and 40 °C has 0.87.
    assert (temperature_factor(40), temperature_factor(35)) == (0.87, 0.94)


def test_between_two_rows_the_worse_one_counts() -> None:
    assert temperature_factor(30.5) == 0.94
    assert temperature_factor(-5) == temperature_factor(10) == 1.22
    assert grouping_factor(10) == grouping_factor(12) == 0.45
    factors = [grouping_factor(circuits) for circuits in range(1, 21)]
    assert factors == sorted(factors, reverse=True)
    assert factors[0] == 1


def test_all_three_go_together() -> None:
    # 57 A × 0.87 × 0.70, from memory.
    assert allowable_ampacity_a(10, "C", 3, 40, 3) == pytest.approx(34.713)


def test_what_the_tables_lack_is_named() -> None:
    with pytest.raises(ValueError, match="5 mm² with 3 loaded conductors is not in the table"):
        table_ampacity_a(5, "B2", 3)
    with pytest.raises(ValueError, match="4 loaded conductors"):
        table_ampacity_a(10, "B2", 4)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="not D1"):
        table_ampacity_a(10, "D1", 3)
    for ambient_c in (60.5, float("nan")):
        with pytest.raises(ValueError, match="ends at 60 °C"):
            temperature_factor(ambient_c)
    with pytest.raises(ValueError, match="ends at 20"):
        grouping_factor(21)
    with pytest.raises(ValueError, match="0 circuits cannot be"):
        grouping_factor(0)
