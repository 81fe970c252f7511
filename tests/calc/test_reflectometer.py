"""Reflectometer against a published formula and the time that light takes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.interval import Interval, around
from recordgen.calc.reflectometer import distance_m, velocity_factor
from tests.calc.worked_cases import expected, inputs

shares = st.floats(-1, 1)


def exactly(value: float) -> Interval:
    return around(value, 0)


def test_the_published_formula() -> None:
    # Case T04; 0.01 m.
    found = distance_m(exactly(inputs("T04")["t_ns"]), exactly(inputs("T04")["VF"]))
    assert found.best == pytest.approx(expected("T04"), abs=0.01)


def test_light_in_free_space() -> None:
    # SI: 299,792,458 m/s; 2 µs there and back. A foot a nanosecond is 1.7 % too much: 0.9836 ft.
    found = distance_m(exactly(2000), exactly(1))
    assert found.best == pytest.approx(299.792458)
    assert distance_m(exactly(2), exactly(1)).best / 0.3048 == pytest.approx(0.9836, abs=5e-5)


@given(st.floats(5, 2000), st.floats(0.3, 0.9), st.floats(0, 0.04), shares, shares)
def test_the_echo_is_inside_whatever_is_off(
    true_m: float, true_vf: float, most: float, time_off: float, vf_off: float
) -> None:
    # Readings that are off by no more than they say.
    time_ns = 2 * true_m / (0.299792458 * true_vf)
    read_ns, said_vf = time_ns / (1 + most * time_off), true_vf / (1 + most * vf_off)
    found = distance_m(around(read_ns, most * read_ns), around(said_vf, most * said_vf))
    assert found.low * (1 - 1e-9) <= true_m <= found.high * (1 + 1e-9)


@given(st.floats(5, 2000), st.floats(0.3, 0.9), st.floats(0.001, 0.04))
def test_a_known_length_gives_the_factor_and_the_factor_the_length(
    length_m: float, factor: float, most: float
) -> None:
    time_ns = exactly(2 * length_m / (0.299792458 * factor))
    found = velocity_factor(around(length_m, most * length_m), time_ns)
    assert found.best == pytest.approx(factor)
    assert distance_m(time_ns, found).best == pytest.approx(length_m)
    # An uncertain length stays as uncertain by way of the factor.
    assert distance_m(time_ns, found).high == pytest.approx(length_m * (1 + most))


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match=r"at most 1, not 1\.01"):
        distance_m(exactly(500), around(0.96, 0.05))
    with pytest.raises(ValueError, match="time of an echo is above zero"):
        distance_m(around(5, 5), exactly(0.66))
    with pytest.raises(ValueError, match="velocity factor is above zero"):
        distance_m(exactly(500), exactly(0))
    with pytest.raises(ValueError, match=r"1\.33: faster than light"):
        velocity_factor(exactly(100), exactly(500))
    with pytest.raises(ValueError, match="length is above zero"):
        velocity_factor(exactly(0), exactly(500))
