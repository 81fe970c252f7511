"""Grounding conductors, NEC tables 250.122 and 250.66."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.equipment_ground import (
    at_least,
    increased_ground_circular_mils,
    minimum_ground,
    minimum_grounding_electrode_conductor,
)
from recordgen.records.conductor_size import ConductorSize, Metal, read_conductor_size


@pytest.mark.parametrize(
    ("device_a", "copper", "aluminium"),
    # NEC 2014 table 250.122, read; copper to 2000 A in two transcriptions.
    [
        (15, "14 AWG", "12 AWG"),
        (16, "12 AWG", "10 AWG"),
        (60, "10 AWG", "8 AWG"),
        (100, "8 AWG", "6 AWG"),
        (101, "6 AWG", "4 AWG"),
        (400, "3 AWG", "1 AWG"),
        (2000, "250 kcmil", "400 kcmil"),
        (6000, "800 kcmil", "1200 kcmil"),
    ],
)
def test_smallest_ground(device_a: float, copper: str, aluminium: str) -> None:
    assert str(minimum_ground(device_a, "Cu")) == f"{copper} Cu"
    assert str(minimum_ground(device_a, "Al")) == f"{aluminium} Al"


@given(st.floats(1, 6000), st.floats(1, 6000), st.sampled_from(("Cu", "Al")))
def test_a_larger_device_never_has_a_smaller_ground(
    one_a: float, other_a: float, metal: Metal
) -> None:
    low, high = sorted((one_a, other_a))
    assert at_least(minimum_ground(high, metal), minimum_ground(low, metal))


@pytest.mark.parametrize("device_a", [0, -1, 6001, math.nan])
def test_no_ground_beyond_the_table(device_a: float) -> None:
    with pytest.raises(ValueError, match=r"A cannot be|the table of grounding conductors ends"):
        minimum_ground(device_a, "Cu")


@pytest.mark.parametrize(
    ("size", "other", "large_enough"),
    [
        ("8 AWG Cu", "10 AWG Cu", True),
        ("10 AWG Cu", "10 AWG Cu", True),
        ("10 AWG Cu", "8 AWG Cu", False),
        ("250 kcmil Al", "4/0 AWG Al", True),
        ("6 mm2 Cu", "10 AWG Cu", True),  # 5.26 mm²
        ("4 mm2 Cu", "10 AWG Cu", False),
    ],
)
def test_sizes_compare_by_area(size: str, other: str, large_enough: bool) -> None:
    assert at_least(read_conductor_size(size), read_conductor_size(other)) is large_enough


@pytest.mark.parametrize(
    ("size", "other", "message"),
    [
        ("8 AWG Al", "10 AWG Cu", "are of different metals"),
        ("8 AWG", "10 AWG Cu", "the metal of the 8 AWG conductor is not recorded"),
        ("8 AWG Cu", "10 AWG", "the metal of the 10 AWG conductor is not recorded"),
    ],
)
def test_areas_of_different_metals_do_not_compare(size: str, other: str, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        at_least(read_conductor_size(size), read_conductor_size(other))


def test_a_ground_grows_with_the_conductors() -> None:
    # 250.122(B), rule from memory: 8 AWG × 250/167.8 kcmil where 3/0 would do.
    cu = {number: ConductorSize(number, "AWG", "Cu") for number in ("8", "3/0")}
    area = increased_ground_circular_mils(cu["8"], ConductorSize("250", "kcmil", "Cu"), cu["3/0"])
    assert area == pytest.approx(16510 * 250 / 167.8)
    assert increased_ground_circular_mils(cu["8"], cu["3/0"], cu["3/0"]) == 16510
    with pytest.raises(ValueError, match="8 AWG Cu is smaller than 3/0 AWG Cu"):
        increased_ground_circular_mils(cu["8"], cu["8"], cu["3/0"])


@pytest.mark.parametrize(
    ("service", "parallel", "smallest"),
    # NEC table 250.66, copper, read in notes held against the full table.
    [
        ("2 AWG Cu", 1, "8 AWG Cu"),
        ("1 AWG Cu", 1, "6 AWG Cu"),
        ("3/0 AWG Cu", 1, "4 AWG Cu"),
        ("4/0 AWG Cu", 1, "2 AWG Cu"),  # a public page prints 4 AWG: one row off
        ("500 kcmil Cu", 1, "1/0 AWG Cu"),
        ("300 kcmil Cu", 3, "2/0 AWG Cu"),
        ("400 kcmil Cu", 3, "3/0 AWG Cu"),
    ],
)
def test_smallest_grounding_electrode_conductor(service: str, parallel: int, smallest: str) -> None:
    found = minimum_grounding_electrode_conductor(read_conductor_size(service), parallel)
    assert str(found) == smallest


def test_services_that_are_not_of_copper_are_refused() -> None:
    for service in ("4/0 AWG Al", "4/0 AWG"):
        with pytest.raises(ValueError, match="only services in copper"):
            minimum_grounding_electrode_conductor(read_conductor_size(service))
    with pytest.raises(ValueError, match="0 conductors in parallel"):
        minimum_grounding_electrode_conductor(ConductorSize("2", "AWG", "Cu"), 0)
