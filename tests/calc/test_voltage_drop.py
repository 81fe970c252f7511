import cmath
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.voltage_drop import (
    Phases,
    approximate_drop_v,
    conductors_in_drop,
    drop_percent,
    exact_drop_v,
    loop_impedance_ohm,
)
from tests.calc.worked_cases import expected, inputs

ohms = st.builds(complex, st.floats(0, 0.05), st.floats(0, 0.05))
phases_of_circuits = st.sampled_from((1, 3))


def two_bus_load_volts(source_v: float, loop_ohm: complex, load: complex) -> float:
    """Load volts of a line with one source and one load, in closed form.

    Source: any textbook on power systems: V⁴ + (2(RP + XQ) - E²)·V² + |Z|²·|S|² = 0, the higher
    root.
    """
    half = source_v**2 / 2 - (loop_ohm.real * load.real + loop_ohm.imag * load.imag)
    return math.sqrt(half + math.sqrt(half**2 - abs(loop_ohm * load) ** 2))


def test_drop_of_a_feeder_from_table_nine() -> None:
    # Case V06; two digits printed.
    case = inputs("V06")
    z = complex(case["R"], case["X"]) * case["kft"]
    volts = approximate_drop_v(case["I"], case["pf"], z, 3)
    assert [volts, drop_percent(volts, case["V"])] == pytest.approx(expected("V06"), abs=0.01)


def test_drop_of_a_circuit_out_and_back_by_the_formula_of_iec_60364() -> None:
    # Case V08, b = 2: single-phase. Printed to 0.01.
    case = inputs("V08")
    z = complex(case["rho"] * case["L"] / case["S"], case["lam"] * case["L"])
    volts = approximate_drop_v(case["I"], case["pf"], z, 1)
    assert [volts, drop_percent(volts, case["V"])] == pytest.approx(expected("V08"), abs=0.01)


def test_drop_of_a_three_phase_circuit_by_the_formula_of_iec_60364() -> None:
    # Case V09, b = 1: three-phase, line to neutral; ours is line to line. Printed to 0.01.
    case = inputs("V09")
    z = complex(case["rho"] * case["L"] / case["S"], case["lam"] * case["L"])
    volts = approximate_drop_v(case["I"], case["pf"], z, 3) / math.sqrt(3)
    assert [volts, drop_percent(volts, case["V"])] == pytest.approx(expected("V09"), abs=0.01)


@given(ohms, phases_of_circuits, st.floats(1, 5000), st.floats(0, 1), st.booleans())
def test_repeating_comes_to_the_closed_form(
    z: complex, phases: Phases, va: float, power_factor: float, lagging: bool
) -> None:
    angle = math.acos(power_factor) * (1 if lagging else -1)
    loop = z * (2 if phases == 1 else 1)
    volts = two_bus_load_volts(208, loop, cmath.rect(va, angle))
    drop = exact_drop_v(va, power_factor, 208, z, phases, lagging=lagging)
    # What rounding leaves of E² - ..., of 208 V.
    assert drop == pytest.approx(208 - volts, abs=1e-7)


@given(ohms, phases_of_circuits, st.floats(1, 5000), st.floats(0, 1))
def test_the_usual_formula_differs_by_the_angle_between_the_ends_only(
    z: complex, phases: Phases, va: float, power_factor: float
) -> None:
    drop = exact_drop_v(va, power_factor, 208, z, phases)
    current = va / (208 - drop) / (math.sqrt(3) if phases == 3 else 1)
    usual = approximate_drop_v(current, power_factor, z, phases)
    # E² = (V + u)² + w²: u is the usual formula, w at most the whole drop across the line.
    whole = abs(z) * current * conductors_in_drop(phases)
    assert usual - 1e-9 <= drop <= usual + whole**2 / (2 * (208 - drop)) + 1e-9


@given(st.floats(0.01, 1), st.floats(0, 1), st.floats(1.001, 50))
def test_more_than_a_line_can_carry_is_refused(r: float, x: float, times: float) -> None:
    # The most at unity power factor: E² / (2·(|Z| + R)), by the closed form's root going to zero.
    loop = complex(r, x)
    most = 120**2 / (2 * (abs(loop) + loop.real))
    with pytest.raises(ValueError, match="cannot be supplied"):
        exact_drop_v(most * times, 1.0, 120, loop / 2, 1)
    assert exact_drop_v(most * 0.99, 1.0, 120, loop / 2, 1) > 0


def test_a_leading_current_through_a_reactance_raises_the_voltage() -> None:
    assert approximate_drop_v(10, 0.0, 0.1j, 1, lagging=False) == pytest.approx(-2)
    assert exact_drop_v(1200, 0.0, 120, 0.1j, 1, lagging=False) < 0


def test_three_phases_share_one_load_and_have_no_conductor_back() -> None:
    # At the same line volts the single-phase circuit drops twice what the three-phase one does:
    # 2·I·R against √3·(I/√3)·R. The drop is so small that the load volts are alike (0.1 %).
    one, three = (exact_drop_v(1000, 1.0, 480, 0.01 + 0j, phases) for phases in (1, 3))
    assert one / three == pytest.approx(2, rel=1e-3)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((-1, 0.9, 0.1j, 1), "a current"),
        ((math.inf, 0.9, 0.1j, 1), "a current"),
        ((1, 1.01, 0.1j, 1), "power factor"),
        ((1, -0.1, 0.1j, 1), "power factor"),
        ((1, math.nan, 0.1j, 1), "power factor"),
        ((1, 0.9, -0.1 + 0j, 1), "resistance"),
        ((1, 0.9, complex("inf"), 1), "finite"),
        ((1, 0.9, 0.1j, 2), "1 or 3 phases"),
    ],
)
def test_what_is_out_of_range_is_named(arguments: tuple, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        approximate_drop_v(*arguments)


def test_volts_are_needed() -> None:
    with pytest.raises(ValueError, match="more than 0 V"):
        exact_drop_v(100, 1.0, 0, 0.1 + 0j, 1)
    with pytest.raises(ValueError, match="above 0 V"):
        drop_percent(5, 0)
    with pytest.raises(ValueError, match="a load"):
        exact_drop_v(-100, 1.0, 120, 0.1 + 0j, 1)
    with pytest.raises(ValueError, match="phases"):
        loop_impedance_ohm(0.1j, 2)  # type: ignore[arg-type]
