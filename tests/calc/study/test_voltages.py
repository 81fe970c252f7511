"""Voltage drops of small records, by hand from the ohms of NEC chapter 9 table 9."""

import math
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from recordgen.calc.answer import Need, NoValue, Value
from recordgen.calc.study.voltages import VoltageAnswer, VoltageStudy
from recordgen.portfolio import Portfolio
from tests.network.asking import portfolio

ABOUT = ", code_edition: NEC 2020"
# Table 9, copper in PVC, 75 °C [Ω per 1,000 ft]: 12 AWG 2.0 + j0.054, 4 AWG 0.31 + j0.048,
# 1/0 AWG 0.12 + j0.044.
HOUSE = """
sources:
  UTIL: {kind: utility, system: 480Y/277, available_fault_current: 20 kA, x_over_r: 5}
panels:
  MSB:
    kind: switchboard
    system: 480Y/277
    main: lugs
    fed_from: UTIL
    feeder: {size: 1/0 AWG Cu, neutral: 1/0 AWG Cu, raceway: PVC, length: 100 ft}
    circuits:
      1: {device: {rating: 70 A, poles: 3}}
      2:
        device: {rating: 30 A, poles: 3}
        conductors: {size: 12 AWG Cu, raceway: PVC, length: 200 ft}
        loads: {P-1: {kind: other, power: 12 kVA, power_factor: 80 %}}
      3: {device: {rating: 30 A, poles: 3}, loads: unknown}
      4: {spare: yes, device: {rating: 20 A, poles: 3}, conductors: {size: 12 AWG Cu, raceway: PVC,
          length: 9 ft}}
  LP-1:
    kind: panelboard
    system: 208Y/120
    main: lugs
    fed_from: T-1
    feeder: {size: 4 AWG Cu, neutral: 4 AWG Cu, raceway: PVC, length: 50 ft}
    circuits:
      1:
        device: 20 A
        conductors: {size: 12 AWG Cu, raceway: PVC, length: 100 ft}
        loads: {H-1: {kind: heating, power: 1.2 kW, voltage: 120 V}}
      2-4:
        device: {rating: 20 A, poles: 2}
        conductors: {size: 12 AWG Cu, raceway: PVC, length: 100 ft}
        loads: {X-2: {kind: medical, power: 2.08 kVA}}
equipment:
  T-1:
    kind: transformer
    fed_from: MSB/1
    rating: 45 kVA
    primary: 480 delta
    secondary: 208Y/120
    impedance: 4 %
    x_over_r: 1
    connection: delta-wye
    conductors: {size: 4 AWG Cu, raceway: PVC, length: 100 ft}
"""


def study(found: Portfolio) -> VoltageStudy:
    return found.study.voltages


def of(folder: Path, tag: str, text: str = HOUSE) -> VoltageAnswer:
    return study(portfolio(folder, text, ABOUT)).of(f"home:{tag}")


def amount(answer: object) -> float:
    assert isinstance(answer, Value), answer
    return answer.amount


def needs(answer: object) -> list[str]:
    assert isinstance(answer, NoValue), answer
    return [str(need) for need in answer.needs]


def test_a_circuit_to_neutral(tmp_path: Path) -> None:
    # 10 A at unity, two ways of 0.2 Ω: 4 V of 120 V.
    answer = of(tmp_path, "LP-1/1")
    assert answer.branch
    assert amount(answer.drop_percent) == pytest.approx(100 * 2 * 10 * 0.2 / 120)
    # By the closed form of two buses with R alone: V² - V·Vs + R·P = 0.
    volts = (120 + math.sqrt(120**2 - 4 * 0.4 * 1200)) / 2
    assert amount(answer.exact_percent) == pytest.approx(100 * (1 - volts / 120), rel=1e-3)


def test_two_poles_without_a_power_factor_drop_by_the_whole_impedance(tmp_path: Path) -> None:
    answer = of(tmp_path, "LP-1/2-4").drop_percent
    assert amount(answer) == pytest.approx(100 * 2 * 10 * abs(0.2 + 0.0054j) / 208)
    assert isinstance(answer, Value)
    (said,) = [each for each in answer.inputs if "power factor" in each.name]
    assert said.origin == "assumed"


def test_three_phases_with_a_power_factor(tmp_path: Path) -> None:
    amperes = 12_000 / (math.sqrt(3) * 480)
    drop = math.sqrt(3) * amperes * (0.4 * 0.8 + 0.0108 * 0.6)
    assert amount(of(tmp_path, "MSB/2").drop_percent) == pytest.approx(100 * drop / 480)


def test_a_feeder_carries_its_demand_and_its_primary_has_its_own_volts(tmp_path: Path) -> None:
    # Below T-1: 1.2 kW of heat and 2.08 kVA; demand factors of both are 1 (220.51; other loads).
    # Worst angle for what has no power factor: R·P + X·Q of the one, |Z|·S of the other.
    ohm = (0.31 + 0.048j) / 10
    answer = of(tmp_path, "T-1")
    assert not answer.branch
    assert amount(answer.drop_percent) == pytest.approx(
        100 * (ohm.real * 1200 + abs(ohm) * 2080) / 480**2
    )
    assert amount(of_again(tmp_path, "MSB/1").drop_percent) == amount(answer.drop_percent)


def of_again(folder: Path, tag: str) -> VoltageAnswer:
    return of(folder / "again", tag)


def test_the_worst_phase_of_a_panel_has_the_neutrals_drop_in_it(tmp_path: Path) -> None:
    # Legs of LP-1: 1 on A; 2-4 on A and B (positions two by two, common practice). All at unity
    # by the record or with X/R of 0.15, that is, 8.8°.
    answer = of(tmp_path, "LP-1")
    ohm = (0.31 + 0.048j) / 20
    angle = math.atan2(ohm.imag, ohm.real)
    ab = 208 * complex(math.cos(math.pi / 6), math.sin(math.pi / 6))
    heat = 10 + 0j
    line = (2080 * complex(math.cos(angle), math.sin(angle)) / ab).conjugate()
    a = 120 - abs(120 - ohm * (heat + line) - ohm * heat)
    assert answer.worst_phase_percent is not None
    assert answer.worst_phase_percent.amount == pytest.approx(100 * a / 120, rel=1e-6)
    assert answer.worst_phase_percent.amount > amount(answer.drop_percent)


def test_the_total_is_the_sum_of_the_segments_and_transformers_stand_apart(tmp_path: Path) -> None:
    found = study(portfolio(tmp_path, HOUSE, ABOUT))
    way = [found.of(f"home:{tag}") for tag in ("MSB", "T-1", "LP-1", "LP-1/1")]
    parts = [
        max(amount(each.drop_percent), each.worst_phase_percent.amount)
        if each.worst_phase_percent
        else amount(each.drop_percent)
        for each in way
    ]
    assert amount(way[-1].total_percent) == pytest.approx(sum(parts))
    # T-1 by itself: 4 % at 45° on 45 kVA; the heat at 0°, the rest in line with it.
    own = 100 * (0.04 / 45_000) * (1200 * math.cos(math.pi / 4) + 2080)
    assert way[-1].transformers_percent is not None
    assert way[-1].transformers_percent.amount == pytest.approx(own)
    assert way[0].transformers_percent is None


def test_loads_of_unknown_size_make_it_at_least(tmp_path: Path) -> None:
    found = study(portfolio(tmp_path, HOUSE, ABOUT))
    feeder = found.of("home:MSB").drop_percent
    assert isinstance(feeder, Value)
    assert feeder.at_least == (Need("home:MSB/3", "loads"),)
    total = found.of("home:LP-1/1").total_percent
    assert isinstance(total, Value)
    assert total.at_least == (Need("home:MSB/3", "loads"),)


@pytest.mark.parametrize(
    ("tag", "old", "new", "wanted"),
    [
        ("MSB/3", "", "", ["MSB/3, conductors: not recorded", "MSB/3, loads: not recorded"]),
        ("LP-1/1", "raceway: PVC, length: 100 ft}", "raceway: PVC}", ["LP-1/1, length of the"]),
        ("LP-1/1", "power: 1.2 kW, ", "", ["LP-1/1, loads: nothing", "H-1, power"]),
        ("T-1", "", "", ["house, code_edition: not recorded", "building, code_edition"]),
    ],
)
def test_what_is_missing_is_named(
    tmp_path: Path, tag: str, old: str, new: str, wanted: list[str]
) -> None:
    about = ABOUT if tag != "T-1" else ""
    text = HOUSE.replace(old, new) if old else HOUSE
    found = study(portfolio(tmp_path, text, about)).of(f"home:{tag}")
    said = needs(found.drop_percent)
    assert said
    assert all(any(each.startswith(one) for one in wanted) for each in said), said
    assert isinstance(found.exact_percent, NoValue)
    assert isinstance(found.total_percent, NoValue)


def test_a_spare_drops_nothing_and_a_source_has_no_drop(tmp_path: Path) -> None:
    found = study(portfolio(tmp_path, HOUSE, ABOUT))
    assert amount(found.of("home:MSB/4").drop_percent) == 0
    assert found.of("home:UTIL").drop_percent is None
    assert found.of("home:UTIL").total_percent is None


def test_conductors_missing_on_the_way_leave_a_total_of_at_least(tmp_path: Path) -> None:
    text = HOUSE.replace(
        "    feeder: {size: 4 AWG Cu, neutral: 4 AWG Cu, raceway: PVC, length: 50 ft}\n", ""
    )
    total = of(tmp_path, "LP-1/1", text).total_percent
    assert isinstance(total, Value)
    assert Need("home:LP-1", "feeder") in total.at_least


def test_the_same_conductors_written_at_the_circuit_and_behind_it_count_once(
    tmp_path: Path,
) -> None:
    wire = "conductors: {size: 4 AWG Cu, raceway: PVC, length: 100 ft}"
    text = HOUSE.replace("70 A, poles: 3}}", f"70 A, poles: 3}}, {wire}}}")
    twice, once = of(tmp_path, "LP-1", text), of_again(tmp_path, "LP-1")
    assert amount(twice.total_percent) == pytest.approx(amount(once.total_percent))
    longer = text.replace(f"{wire}}}", f"{wire}}}".replace("100", "101"), 1)
    both = of(tmp_path / "both", "LP-1", longer)
    assert amount(both.total_percent) > amount(once.total_percent)


def test_outlets_and_what_plugs_in_count_by_the_larger(tmp_path: Path) -> None:
    loads = (
        "{R-1: {kind: receptacle, quantity: 4}, "
        "C-1: {kind: IT, power: 600 VA, connection: plug}, "
        "H-1: {kind: heating, power: 600 W, voltage: 120 V, connection: fixed}}"
    )
    text = HOUSE.replace("{H-1: {kind: heating, power: 1.2 kW, voltage: 120 V}}", loads)
    # 4 · 180 VA (220.14(I)) against 600 VA: 720 VA at the worst angle, and 600 W.
    ohm = 0.2 + 0.0054j
    drop = 2 * (abs(ohm) * 720 + ohm.real * 600) / 120
    answer = of(tmp_path, "LP-1/1", text)
    assert amount(answer.drop_percent) == pytest.approx(100 * drop / 120)


def test_a_half_of_a_two_pole_circuit_to_neutral_is_a_two_wire_circuit(tmp_path: Path) -> None:
    text = HOUSE.replace("power: 2.08 kVA", "power: 2.08 kVA, voltage: 120 V").replace(
        "conductors: {size: 12 AWG Cu, raceway: PVC, length: 100 ft}\n        loads: {X-2",
        "conductors: {size: 12 AWG Cu, neutral: 12 AWG Cu, raceway: PVC, length: 100 ft}\n"
        "        loads: {X-2",
    )
    answer = of(tmp_path, "LP-1/2-4", text)
    drop = 2 * (1040 / 120) * abs(0.2 + 0.0054j)
    assert amount(answer.drop_percent) == pytest.approx(100 * drop / 120)


def test_one_pole_on_the_high_leg_has_no_nominal_voltage(tmp_path: Path) -> None:
    text = (
        "sources: {U: {kind: utility, system: 240/120 high-leg delta}}\n"
        "panels: {P: {kind: panelboard, system: 240/120 high-leg delta, main: lugs, fed_from: U, "
        "circuits: {3: {device: 20 A, conductors: {size: 12 AWG Cu, raceway: PVC, length: 9 ft}, "
        "loads: {L: {kind: lighting, power: 100 VA}}}}}}"
    )
    (said,) = needs(of(tmp_path, "P/3", text).drop_percent)
    assert "high leg" in said


CASES = settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@CASES
@given(st.integers(1, 400), st.integers(0, 200), st.integers(10, 3000), st.integers(0, 1000))
def test_longer_or_more_loaded_never_drops_less(
    tmp_path_factory: pytest.TempPathFactory, feet: int, longer: int, va: int, more: int
) -> None:
    def dropped(length: int, load: int) -> tuple[float, float]:
        text = HOUSE.replace(
            "length: 100 ft}\n        loads: {X-2", f"length: {length} ft}}\n        loads: {{X-2"
        ).replace("2.08 kVA", f"{load} VA")
        answer = of(tmp_path_factory.mktemp("house"), "LP-1/2-4", text)
        assert isinstance(answer.below_nominal_percent, Value)
        return amount(answer.drop_percent), amount(answer.total_percent)

    short = dropped(feet, va)
    assert all(b >= a for a, b in zip(short, dropped(feet + longer, va), strict=True))
    assert all(b >= a for a, b in zip(short, dropped(feet, va + more), strict=True))
