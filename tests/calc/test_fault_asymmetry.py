import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.fault_asymmetry import asymmetry_factor, peak_factor, x_over_r

ratios = st.floats(0.05, 100)


def instantaneous(radians: float, ratio: float, start: float) -> float:
    """Current of a shorted R-L circuit over its symmetrical crest, from its differential equation.

    L·di/dt + R·i = sin(ωt + start), i(0) = 0.
    """
    angle = math.atan(ratio)
    dc = -math.sin(start - angle)
    return math.sin(radians + start - angle) + dc * math.exp(-radians / ratio)


@given(ratios)
def test_peak_is_the_highest_of_all_moments_and_all_beginnings(ratio: float) -> None:
    moments = [step * 2 * math.pi / 300 for step in range(301)]
    beginnings = [step * math.pi / 60 for step in range(61)]
    highest = math.sqrt(2) * max(
        abs(instantaneous(moment, ratio, start)) for moment in moments for start in beginnings
    )
    # The grid misses the true crest by less than 0.1 %, never above it.
    assert highest <= peak_factor(ratio) * (1 + 1e-12)
    assert highest >= peak_factor(ratio) * (1 - 1e-3)


@given(ratios)
def test_asymmetry_is_the_rms_of_what_the_circuit_carries_half_a_cycle_on(ratio: float) -> None:
    # DC part read off the circuit's own current where its AC part is zero, worst beginning.
    start = math.atan(ratio) - math.pi / 2
    ac_half_cycle_on = math.sin(math.pi + start - math.atan(ratio))
    dc = instantaneous(math.pi, ratio, start) - ac_half_cycle_on
    rms = math.sqrt(0.5 + dc**2) / math.sqrt(0.5)
    assert asymmetry_factor(ratio) == pytest.approx(rms)


@given(st.floats(0.3, 100))
def test_peak_against_the_factor_of_iec_60909(ratio: float) -> None:
    # IEC 60909-0, κ = 1.02 + 0.98·e^(-3·R/X), from memory: an approximation, 2 % at most.
    kappa = 1.02 + 0.98 * math.exp(-3 / ratio)
    assert peak_factor(ratio) == pytest.approx(math.sqrt(2) * kappa, rel=0.02)


@pytest.mark.parametrize(
    ("power_factor", "rms", "peak"), [(0.15, 1.331, 2.309), (0.20, 1.247, 2.183)]
)
def test_factors_of_test_circuits_for_low_voltage_devices(
    power_factor: float, rms: float, peak: float
) -> None:
    # Multiplying factors by power factor of the test circuit, as printed with UL 489 and NEMA AB 1
    # practice; from memory, three digits after the point.
    ratio = math.tan(math.acos(power_factor))
    assert asymmetry_factor(ratio) == pytest.approx(rms, abs=1e-3)
    assert peak_factor(ratio) == pytest.approx(peak, abs=1e-3)


def test_ends_of_the_range() -> None:
    assert asymmetry_factor(0) == 1
    assert asymmetry_factor(math.inf) == pytest.approx(math.sqrt(3))
    assert peak_factor(0) == pytest.approx(math.sqrt(2))
    assert peak_factor(math.inf) == pytest.approx(2 * math.sqrt(2))
    assert peak_factor(1e6) == pytest.approx(2 * math.sqrt(2), rel=1e-5)
    assert peak_factor(1e-6) == pytest.approx(math.sqrt(2), rel=1e-5)


def test_ratio_of_an_impedance() -> None:
    assert x_over_r(0.02 + 0.05j) == pytest.approx(2.5)
    assert x_over_r(0.02 + 0j) == 0
    assert x_over_r(0.05j) == math.inf


@pytest.mark.parametrize("impedance", [0j, -0.01 + 0.1j, 0.01 - 0.1j])
def test_no_ratio_where_there_is_none(impedance: complex) -> None:
    with pytest.raises(ValueError, match="not both are zero"):
        x_over_r(impedance)


@pytest.mark.parametrize("factor", [asymmetry_factor, peak_factor])
def test_a_ratio_below_zero_is_refused(factor) -> None:  # type: ignore[no-untyped-def]
    for ratio in (-1, math.nan):
        with pytest.raises(ValueError, match="X/R"):
            factor(ratio)
