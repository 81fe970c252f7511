from pathlib import Path

import pytest

from tests.calc.study.fault_records import addends, amount, largest, needs, study

# 460 V, three-phase: 30 hp draws 40 A and 10 hp 14 A (NEC table 430.250, read); four times that in
# the first cycle is common practice. The table's currents are for 460 V motors on 480 V systems.
BUILDING = """
sources:
  UTIL: {kind: utility, system: 480Y/277, available_fault_current: 20 kA, x_over_r: 1}
panels:
  MSB:
    kind: switchboard
    system: 480Y/277
    fed_from: UTIL
    feeder: {size: 350 kcmil Cu, neutral: 350 kcmil Cu, raceway: PVC, length: 0 ft}
    circuits:
      1:
        device: {rating: 100 A, poles: 3}
        loads: {M-1: {kind: pump, power: 30 hp}}
      2:
        device: {rating: 50 A, poles: 3}
        loads: {M-2: {kind: fan, power: 10 hp, quantity: 2}}
      3: {device: {rating: 50 A, poles: 3}}
      4: {device: {rating: 100 A, poles: 3}}
      5: {device: {rating: 50 A, poles: 3}, backfed_from: PV}
  HP:
    kind: panelboard
    system: 480Y/277
    fed_from: MSB/4
    feeder: {size: 4 AWG Cu, neutral: 4 AWG Cu, raceway: PVC, length: 100 ft}
equipment:
  VFD:
    kind: variable-frequency drive
    fed_from: MSB/3
loads:
  M-3: {kind: fan, power: 30 hp, fed_from: VFD}
"""
PV = "  PV: {kind: photovoltaic, system: 480Y/277, available_fault_current: 90 A}\n"
WITH_PV = BUILDING.replace("panels:", PV + "panels:")
WITHOUT_PV = BUILDING.replace(", backfed_from: PV", "")


def test_motors_add_four_times_their_full_load_but_not_those_behind_drives(tmp_path: Path) -> None:
    found = study(tmp_path, WITHOUT_PV)
    more = addends(found)
    expected = 4 * (40 + 2 * 14)
    assert amount(more.motors_a("home:MSB")) == pytest.approx(expected)
    assert needs(more.motors_a("home:MSB")) == []
    current = largest(found, "MSB").largest_a
    assert amount(more.total_a("home:MSB", current)) == pytest.approx(amount(current) + expected)


def test_motors_elsewhere_add_through_what_lies_between(tmp_path: Path) -> None:
    """Worked by hand, all impedances at one angle as the method has it.

    At MSB 20,000 A and 272 A of motors; the run to HP in series: 1 / (1/20,272 + run).
    """
    found = study(tmp_path, WITHOUT_PV)
    alone = amount(largest(found, "HP").three_phase_a)
    run = 1 / alone - 1 / 20_000
    expected = 1 / (1 / 20_272 + run) - alone
    assert 0 < expected < 272
    assert amount(addends(found).motors_a("home:HP")) == pytest.approx(expected, rel=1e-6)


def test_motors_of_unknown_size_make_it_an_at_least(tmp_path: Path) -> None:
    text = WITHOUT_PV.replace("power: 30 hp}}", "power: 22 kVA}}").replace(
        "loads: {M-2: {kind: fan, power: 10 hp, quantity: 2}}", "loads: unknown"
    )
    found = study(tmp_path, text)
    answer = addends(found).motors_a("home:MSB")
    assert amount(answer) == 0
    assert needs(answer) == [
        "M-1, power: 22 kVA, not in hp: what its motors add is unknown",
        "MSB/2, loads: unknown: may be motors",
    ]
    # Elsewhere they are counted: on a campus they may be thousands.
    assert needs(addends(found).motors_a("home:HP")) == [
        "UTIL, motors elsewhere: of unknown size: 2"
    ]


def test_inverters_beside_the_utility_add_what_is_recorded_of_them(tmp_path: Path) -> None:
    found = study(tmp_path / "a", WITH_PV)
    assert amount(addends(found).inverters_a("home:HP")) == pytest.approx(90)
    text = WITH_PV.replace(", available_fault_current: 90 A", "")
    found = study(tmp_path / "b", text)
    missing = "PV, available_fault_current: not recorded"
    assert needs(addends(found).inverters_a("home:HP")) == [missing]
    assert missing in needs(addends(found).total_a("home:HP", largest(found, "HP").largest_a))
    found = study(tmp_path / "c", WITHOUT_PV)
    assert addends(found).inverters_a("home:HP") is None


def test_without_motors_nothing_is_added(tmp_path: Path) -> None:
    text = WITHOUT_PV.replace("{kind: pump, power: 30 hp}", "{kind: heating, power: 30 kW}")
    text = text.replace("{kind: fan, power: 10 hp, quantity: 2}", "{kind: lighting, power: 1 kW}")
    found = study(tmp_path, text)
    assert addends(found).motors_a("home:MSB") is None
    current = largest(found, "MSB").largest_a
    assert amount(addends(found).total_a("home:MSB", current)) == amount(current)
