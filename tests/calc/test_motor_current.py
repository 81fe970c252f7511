"""Motor currents against published figures and against the power that they mean."""

import math
from itertools import pairwise

import pytest

from recordgen.calc.motor_current import (
    dc_full_load_current_a,
    full_load_current_a,
    motor_voltage_v,
)
from recordgen.calc.published import rows

W_PER_HP = 745.7  # 550 ft·lbf/s
PHASES = {"single-phase": 1, "three-phase": 3}


def horsepower(row: dict[str, str]) -> float:
    whole, _, part = row["horsepower"].rpartition("-")
    number = part.split("/")
    return float(whole or 0) + float(number[0]) / float(number[1] if number[1:] else 1)


@pytest.mark.parametrize(
    ("hp", "system_v", "phases", "current_a"),
    # NEC 2014 tables 430.248 and 430.250, read in a transcription.
    [
        (30, 480, 3, 40),
        (25, 480, 3, 34),
        (10, 208, 3, 30.8),
        (7.5, 240, 3, 22),
        (50, 600, 3, 52),
        (200, 2400, 3, 49),
        (1.5, 120, 1, 20),
        (0.5, 208, 1, 5.4),
        (5, 240, 1, 28),
    ],
)
def test_current_is_the_published_one(
    hp: float, system_v: float, phases: int, current_a: float
) -> None:
    assert full_load_current_a(hp, system_v, phases) == current_a


def test_direct_current_is_the_published_one() -> None:
    # NEC 2014 table 430.247, read in a transcription.
    assert dc_full_load_current_a(1.5, 120) == 13.2
    assert dc_full_load_current_a(40, 240) == 140


@pytest.mark.parametrize("hp", [1 / 3, 0.33, 0.333])
def test_thirds_may_be_rounded(hp: float) -> None:
    assert full_load_current_a(hp, 115, 1) == 7.2
    assert full_load_current_a(0.17, 115, 1) == 4.4


@pytest.mark.parametrize(
    ("system_v", "motor_v"),
    # Notes of tables 430.248 and 430.250, from memory.
    [(120, 115), (110, 115), (115, 115), (200, 200), (208, 208), (240, 230), (220, 230),
     (480, 460), (460, 460), (600, 575), (2400, 2300)],
)  # fmt: skip
def test_systems_have_their_column(system_v: float, motor_v: int) -> None:
    assert motor_voltage_v(system_v) == motor_v


@pytest.mark.parametrize("system_v", [0, 24, 205, 277, 347, 400, 4160, math.nan])
def test_other_voltages_have_none(system_v: float) -> None:
    with pytest.raises(ValueError, match="no column for"):
        full_load_current_a(5, system_v, 3)


@pytest.mark.parametrize(
    ("hp", "system_v", "phases", "message"),
    [
        (4, 480, 3, "no three-phase motor of 4 hp at 480 V"),
        (0.125, 120, 1, "no single-phase motor of 0.125 hp at 120 V"),
        (250, 208, 3, "no three-phase motor of 250 hp"),
        (5, 480, 1, "no single-phase motor of 5 hp at 480 V"),
        (5, 480, 2, "a motor of 2 phases"),
    ],
)
def test_motors_that_the_tables_lack_are_named(
    hp: float, system_v: float, phases: int, message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        full_load_current_a(hp, system_v, phases)


def test_direct_current_motors_that_the_table_lacks_are_named() -> None:
    with pytest.raises(ValueError, match="no direct-current motor of 10 hp at 125 V"):
        dc_full_load_current_a(10, 125)


@pytest.mark.parametrize("kind", ["single-phase", "three-phase", "direct-current"])
def test_currents_mean_a_power_that_motors_have(kind: str) -> None:
    table = [row for row in rows("motor_currents") if row["kind"] == kind]
    assert len(table) > 40
    for row in table:
        volts = float(row["motor_v"]) * (math.sqrt(3) if kind == "three-phase" else 1)
        taken = volts * float(row["current_a"])
        quality = horsepower(row) * W_PER_HP / taken  # efficiency × power factor, at most 1
        # Small single-phase motors are poor, a quarter; large ones above 90 % (common practice).
        assert 0.2 < quality < 0.95, row
        if kind == "three-phase" and horsepower(row) >= 10:
            assert quality > 0.6, row


@pytest.mark.parametrize("kind", ["single-phase", "three-phase", "direct-current"])
def test_stronger_motors_draw_more_and_higher_voltage_less(kind: str) -> None:
    by_voltage: dict[float, list[tuple[float, float]]] = {}
    for row in (row for row in rows("motor_currents") if row["kind"] == kind):
        pair = (horsepower(row), float(row["current_a"]))
        by_voltage.setdefault(float(row["motor_v"]), []).append(pair)
    for pairs in by_voltage.values():
        assert pairs == sorted(pairs)
        assert all(a[1] < b[1] for a, b in pairwise(pairs))
    for low in by_voltage:
        for high in (volts for volts in by_voltage if volts > low):
            lower, higher = dict(by_voltage[low]), dict(by_voltage[high])
            assert all(higher[hp] < lower[hp] for hp in lower.keys() & higher.keys())


def test_twice_the_voltage_is_half_the_current() -> None:
    for hp in (0.5, 1, 5, 10, 25, 50, 100, 200):
        low, high = full_load_current_a(hp, 230, 3), full_load_current_a(hp, 460, 3)
        assert high == pytest.approx(low / 2, rel=0.02)  # printed to 0.1 A or 1 A
