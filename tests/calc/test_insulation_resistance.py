"""Insulation resistance: rule of thumb and published minimums, from memory where not said."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.insulation_resistance import (
    InsulationMinimum,
    corrected_megohm,
    insulation_minimum,
    least_polarization_index,
    polarization_index,
)
from tests.calc.worked_cases import expected, inputs

temperatures = st.floats(-10, 110)


def test_ten_degrees_are_a_factor_of_two() -> None:
    # Case T08, exact: three times 10 °C.
    case = inputs("T08")
    assert corrected_megohm(case["R"], case["T"], case["Tref"]) == expected("T08")


def test_the_factors_of_ieee_43() -> None:
    # K_T = 0.5^((40 - T)/10) to a base of 40 °C (from memory).
    for measured_c in (0, 25, 40, 60):
        factor = 0.5 ** ((40 - measured_c) / 10)
        assert corrected_megohm(100, measured_c, 40) == pytest.approx(100 * factor)


@given(st.floats(0.001, 1e6), temperatures, temperatures)
def test_there_and_back_is_the_reading(megohm: float, one_c: float, other_c: float) -> None:
    there = corrected_megohm(megohm, one_c, other_c)
    assert corrected_megohm(there, other_c, one_c) == pytest.approx(megohm)
    assert (there >= megohm) == (one_c >= other_c) or there == pytest.approx(megohm)


@pytest.mark.parametrize(
    ("rated_v", "test_v", "megohm"),
    # NETA, table 100.1, from memory.
    [(120, 500, 25), (250, 500, 25), (480, 1000, 100), (4160, 2500, 1000), (15_000, 2500, 5000)],
)
def test_minimums_for_equipment(rated_v: float, test_v: float, megohm: float) -> None:
    assert insulation_minimum(rated_v, "NETA") == InsulationMinimum(test_v, megohm, 20)


def test_minimums_for_circuits_by_iec_60364_6() -> None:
    # Read on a page that repeats table 6.1.
    for rated_v, test_v in ((230, 500), (500, 500), (690, 1000)):
        found = insulation_minimum(rated_v, "IEC 60364-6")
        assert found == InsulationMinimum(test_v, 1, None)


def test_higher_voltages_are_asked_no_less() -> None:
    ratings = (120, 250, 480, 600, 1000, 2400, 5000, 8000, 15_000)
    asked = [insulation_minimum(volts, "NETA").minimum_megohm for volts in ratings]
    assert all(lower <= higher for lower, higher in pairwise(asked))
    # The one-megohm rule, read on a trade page: a megohm for each kilovolt, and no less than one.
    assert all(megohm >= max(1, volts / 1000) for megohm, volts in zip(asked, ratings, strict=True))


def test_polarization_index() -> None:
    # IEEE 43, read in an appendix to an instrument's manual: class A 1.5, B, F and H 2.0.
    assert polarization_index(100, 200) == 2
    assert [least_polarization_index(name) for name in "ABFH"] == [1.5, 2, 2, 2]


def test_what_cannot_be_is_refused() -> None:
    for megohm in (0, -1, float("nan")):
        with pytest.raises(ValueError, match="a resistance is above zero"):
            corrected_megohm(megohm, 20, 20)
        with pytest.raises(ValueError, match="a resistance is above zero"):
            polarization_index(megohm, 1)
        with pytest.raises(ValueError, match="a resistance is above zero"):
            polarization_index(1, megohm)
    for measured_c, base_c in ((-11, 20), (20, 111), (float("nan"), 20)):
        with pytest.raises(ValueError, match="holds from -10 to 110 °C"):
            corrected_megohm(1, measured_c, base_c)
    with pytest.raises(ValueError, match="a voltage is above zero"):
        insulation_minimum(0, "NETA")
    with pytest.raises(ValueError, match="ends at 15000 V"):
        insulation_minimum(15_001, "NETA")
    with pytest.raises(ValueError, match="no table of minimums by ISO"):
        insulation_minimum(230, "ISO")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="class X"):
        least_polarization_index("X")
