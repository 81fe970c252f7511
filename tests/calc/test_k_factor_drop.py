import pytest

from recordgen.calc.k_factor_drop import k_factor_drop_v, k_factor_ohm_cmil_per_ft
from recordgen.calc.voltage_drop import approximate_drop_v, drop_percent
from tests.calc.worked_cases import expected, inputs

FOOT_M = 0.3048


@pytest.mark.parametrize("case", ["V01", "V02", "V05"])
def test_worked_examples(case: str) -> None:
    # Each names its source in the file; printed to 0.01.
    given = inputs(case)
    volts = k_factor_drop_v(given["I"], given["L"] * FOOT_M, given["CM"], given["K"], given["ph"])
    assert [volts, drop_percent(volts, given["V"])] == pytest.approx(expected(case), abs=0.01)


def test_a_page_that_rounds_up_is_not_followed() -> None:
    # Trap T8: a public calculator prints 5.94 V for 2 × 12.9 × 100 ft × 15 A / 6,530 cmil; it is
    # 5.9265.
    assert k_factor_drop_v(15, 100 * FOOT_M, 6530, 12.9, 1) == pytest.approx(5.9265, abs=5e-5)


@pytest.mark.parametrize(
    ("metal", "ohm_per_kft", "tolerance"), [("Cu", 1.98, 0.01), ("Al", 3.25, 0.01)]
)
def test_k_is_the_resistance_of_stranded_12_awg_times_its_area(
    metal: str, ohm_per_kft: float, tolerance: float
) -> None:
    # NEC chapter 9 table 8, 75 °C, 6,530 circular mils (stranded values from memory, within 0.6 %
    # of physics). K is rounded to three digits and is the same for all sizes.
    physics = ohm_per_kft / 1000 * 6530
    assert k_factor_ohm_cmil_per_ft(metal) == pytest.approx(physics, rel=tolerance)


def test_small_conductors_agree_with_ohms() -> None:
    # 12 AWG, table 9: 2.0 Ω per 1,000 ft (two digits: 3 %), at a power factor of 1.
    k = k_factor_drop_v(16, 30, 6530, k_factor_ohm_cmil_per_ft("Cu"), 1)
    table_nine = approximate_drop_v(16, 1.0, complex(2.0, 0.054) * 30 / FOOT_M / 1000, 1)
    assert k == pytest.approx(table_nine, rel=0.03)


def test_what_is_missing_or_out_of_range_is_named() -> None:
    with pytest.raises(ValueError, match="no K factor for conductors of None"):
        k_factor_ohm_cmil_per_ft(None)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="below zero"):
        k_factor_drop_v(-1, 30, 6530, 12.9, 1)
    with pytest.raises(ValueError, match="above zero"):
        k_factor_drop_v(1, 30, 0, 12.9, 1)
    with pytest.raises(ValueError, match="phases"):
        k_factor_drop_v(1, 30, 6530, 12.9, 2)  # type: ignore[arg-type]
