"""Areas of conductors against the definitions of the wire gauge and of the circular mil."""

import math

import pytest

from recordgen.calc.conductor_area import (
    area_mm2,
    circular_mils,
    gauge_circular_mils,
    metal_column,
    row_of_size,
    size_in_tables,
)
from recordgen.calc.published import rows
from recordgen.records.conductor_size import ConductorSize, read_conductor_size


@pytest.mark.parametrize("row", rows("conductor_dc_resistance"), ids=lambda row: row["size"])
def test_areas_of_the_table_are_those_of_the_definition(row: dict[str, str]) -> None:
    size = read_conductor_size(row["size"])
    area = float(row["area_circular_mils"])
    if size.unit == "kcmil":
        assert area == 1000 * float(size.number)
    else:
        # ASTM B258, diameter 0.005 in × 92^((36 - n)/39); it rounds diameters to 0.1 mil and the
        # table the area to four figures: 0.1 %.
        assert area == pytest.approx(gauge_circular_mils(size.number), rel=1e-3)


@pytest.mark.parametrize(
    ("number", "diameter_in"),
    # ASTM B258: the two gauges that define all others, and 10 AWG, 0.1019 in.
    [("36", 0.0050), ("4/0", 0.4600), ("10", 0.1019)],
)
def test_gauges_have_the_diameters_of_the_standard(number: str, diameter_in: float) -> None:
    diameter_mils = math.sqrt(gauge_circular_mils(number))
    assert diameter_mils == pytest.approx(1000 * diameter_in, abs=0.05)  # printed to 0.1 mil


def test_gauges_outside_the_table_are_between_their_neighbours() -> None:
    fourteen, eighteen = ConductorSize("14", "AWG", "Cu"), ConductorSize("18", "AWG", "Cu")
    assert circular_mils(eighteen) < circular_mils(ConductorSize("16", "AWG", "Cu"))
    assert circular_mils(ConductorSize("16", "AWG", "Cu")) < circular_mils(fourteen)
    # 18 AWG: 1620 circular mils, NEC chapter 9 table 8, from memory; rounded to three figures.
    assert circular_mils(eighteen) == pytest.approx(1620, rel=0.005)


def test_a_circular_mil_is_the_area_of_a_circle_of_one_mil() -> None:
    # 250 kcmil: a circle of 0.5 in, 12.7 mm across.
    assert area_mm2(ConductorSize("250", "kcmil", "Cu")) == pytest.approx(math.pi * 6.35**2)
    assert area_mm2(ConductorSize("95", "mm2", "Cu")) == 95


def test_square_millimetres_come_back_from_circular_mils() -> None:
    in_mils = circular_mils(ConductorSize("120", "mm2", "Al"))
    assert area_mm2(ConductorSize(str(in_mils / 1000), "kcmil", "Al")) == pytest.approx(120)


def test_tables_are_asked_by_size_without_metal() -> None:
    assert size_in_tables(ConductorSize("250.0", "kcmil", None)) == "250 kcmil"
    assert size_in_tables(ConductorSize("1/0", "AWG", "Al")) == "1/0 AWG"
    with pytest.raises(ValueError, match="16 mm² Cu is not in the tables"):
        size_in_tables(ConductorSize("16", "mm2", "Cu"))


def test_what_a_table_lacks_is_named() -> None:
    with pytest.raises(ValueError, match="5 AWG is not in the table conductor_ampacity"):
        row_of_size("conductor_ampacity", ConductorSize("5", "AWG", "Cu"))
    with pytest.raises(ValueError, match="the metal of the 4 AWG conductor is not recorded"):
        metal_column(ConductorSize("4", "AWG", None))
