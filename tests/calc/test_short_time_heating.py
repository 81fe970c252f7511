"""Short-time heating against the physics that its factor k stands for."""

from math import log, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.published import Row, rows
from recordgen.calc.short_time_heating import heating_factor, smallest_area_mm2
from tests.calc.worked_cases import expected, inputs

# IEC 60364-5-54, annex A, from memory: heat capacity J/(K·mm³), reciprocal of the temperature
# coefficient at 0 °C, and resistivity at 20 °C in Ω·mm.
METALS = {"Cu": (3.45e-3, 234.5, 17.241e-6), "Al": (2.5e-3, 228, 28.264e-6)}


def test_worked_case() -> None:
    # Case I03; half a unit of its last figure.
    case = inputs("I03")
    assert heating_factor("Cu", "PVC") == case["k"]
    found = smallest_area_mm2(case["I"], case["t"], case["k"])
    assert found == pytest.approx(expected("I03"), abs=0.005)


@pytest.mark.parametrize("row", rows("short_time_heating"), ids=lambda row: row["metal"])
def test_k_is_that_of_heating_without_loss(row: Row) -> None:
    # k² = Q·(B + 20)/ρ · ln((B + final)/(B + initial)); printed to whole numbers: 1 %.
    heat, b, resistivity = METALS[row["metal"]]
    rise = log((b + float(row["final_c"])) / (b + float(row["initial_c"])))
    k = sqrt(heat * (b + 20) / resistivity * rise)
    assert heating_factor(row["metal"], row["insulation"]) == pytest.approx(k, rel=0.01)


@given(st.floats(10, 1e5), st.floats(0.1, 2.5), st.sampled_from([76.0, 94.0, 115.0, 143.0]))
def test_the_same_heat_asks_for_the_same_conductor(current: float, time: float, k: float) -> None:
    # I²·t is what heats: twice the time at 1/√2 of the current.
    area = smallest_area_mm2(current, time, k)
    assert smallest_area_mm2(current / sqrt(2), 2 * time, k) == pytest.approx(area)
    assert (k * area) ** 2 == pytest.approx(current**2 * time)


def test_outside_its_range_there_is_no_answer() -> None:
    for duration_s in (0.09, 5.01, float("nan")):
        with pytest.raises(ValueError, match=r"holds from 0.1 to 5 s"):
            smallest_area_mm2(1000, duration_s, 115)
    for current_a, k in ((0, 115), (float("inf"), 115), (1000, 0)):
        with pytest.raises(ValueError, match="above zero"):
            smallest_area_mm2(current_a, 0.1, k)
    with pytest.raises(ValueError, match="no k for Fe with PVC"):
        heating_factor("Fe", "PVC")
