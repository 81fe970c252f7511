import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.fault_current import single_phase_fault_a
from recordgen.calc.published import rows
from recordgen.calc.transformer_impedance import (
    half_winding_impedance_ohm,
    impedance_at_angle_ohm,
    refer,
    transformer_impedance_ohm,
    zero_sequence_ohm,
)

ratios = st.floats(0, 100)


@given(st.floats(1e-6, 10), ratios)
def test_an_impedance_keeps_its_size_and_its_ratio(size: float, ratio: float) -> None:
    z = impedance_at_angle_ohm(size, ratio)
    assert abs(z) == pytest.approx(size)
    assert z.imag == pytest.approx(ratio * z.real)


@given(st.floats(1e3, 1e7), st.floats(100, 600), st.floats(0.5, 10), ratios)
def test_shorted_secondary_at_impedance_volts_draws_rated_current(
    va: float, volts: float, percent: float, ratio: float
) -> None:
    # What %Z means: the percentage of rated volts that drives rated current through a short
    # circuit (IEEE C57.12.80, from memory).
    z = transformer_impedance_ohm(va, volts, percent, ratio)
    three_phase = percent / 100 * volts / math.sqrt(3) / abs(z)
    assert three_phase == pytest.approx(va / volts / math.sqrt(3))
    single_phase = percent / 100 * volts / abs(z)
    assert single_phase == pytest.approx(va / volts)


@given(st.floats(100, 35_000), st.floats(100, 600), ratios)
def test_referring_there_and_back_changes_nothing(high: float, low: float, ratio: float) -> None:
    z = impedance_at_angle_ohm(0.3, ratio)
    assert refer(refer(z, high, low), low, high) == pytest.approx(z)


def test_referring_keeps_the_power_of_a_fault() -> None:
    # V²/Z is the same on both sides of an ideal transformer.
    z = 0.01 + 0.04j
    assert 208**2 / abs(refer(z, 480, 208)) == pytest.approx(480**2 / abs(z))


@given(ratios)
def test_half_of_a_winding_draws_the_range_that_hand_methods_quote(ratio: float) -> None:
    # 1.33 to 1.67 times the line-to-line fault, 1.5 between (common practice; table of the
    # point-to-point method, range from memory; quoted to two digits after the point).
    winding = impedance_at_angle_ohm(0.01, ratio)
    neutral = single_phase_fault_a(120, half_winding_impedance_ohm(winding))
    times = neutral / single_phase_fault_a(240, winding)
    (quoted,) = rows("centre_tap_factors")
    assert float(quoted["lowest"]) - 0.005 <= times <= float(quoted["highest"]) + 0.005


def test_zero_sequence_stops_at_a_delta_and_passes_two_wyes() -> None:
    assert zero_sequence_ohm("delta-wye", 0.01 + 0.02j, 5j) == 0.01 + 0.02j
    assert zero_sequence_ohm("wye-wye", 0.01 + 0.02j, 5j) == 0.01 + 5.02j


@pytest.mark.parametrize("connection", [None, "delta-delta", "wye-delta", ""])
def test_an_unknown_connection_is_asked_for(connection: str | None) -> None:
    with pytest.raises(ValueError, match=f"not for {connection}"):
        zero_sequence_ohm(connection, 0.01 + 0.02j)  # type: ignore[arg-type]


def test_what_is_missing_or_out_of_range_is_named() -> None:
    with pytest.raises(ValueError, match="upstream of a wye-wye"):
        zero_sequence_ohm("wye-wye", 0.01 + 0.02j)
    with pytest.raises(ValueError, match="rating is above zero"):
        transformer_impedance_ohm(0, 208, 3.5, 1.5)
    with pytest.raises(ValueError, match="impedance in percent is above zero"):
        transformer_impedance_ohm(75_000, 208, 0, 1.5)
    with pytest.raises(ValueError, match="secondary voltage is above zero"):
        transformer_impedance_ohm(75_000, math.nan, 3.5, 1.5)
    with pytest.raises(ValueError, match="X/R"):
        transformer_impedance_ohm(75_000, 208, 3.5, -1)
    with pytest.raises(ValueError, match="from 0 Ω on"):
        impedance_at_angle_ohm(-1, 1)
    with pytest.raises(ValueError, match="above 0 V"):
        refer(0.01j, 0, 208)
