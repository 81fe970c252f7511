from pathlib import Path

import pytest

from recordgen.checks import voltage_drop
from tests.checks.running import examples, facts, told
from tests.network.asking import portfolio

# A panel of 208Y/120 on a service, with a feeder that can be made long and a circuit in line 8.
HOUSE = """
sources: {{UTIL: {{kind: utility, system: 208Y/120}}}}
panels:
  LP-1:
    {{kind: panelboard, system: 208Y/120, main: lugs, fed_from: UTIL,
    feeder: {{size: 4 AWG Cu, neutral: 4 AWG Cu, raceway: PVC, length: {feeder}}}, circuits: {{
      {circuits}
    }}}}
"""
ABOUT = ", code_edition: NEC 2020"


def found(folder: Path, circuits: str, feeder: str = "3 ft") -> list[voltage_drop.Problem]:
    text = HOUSE.format(circuits=circuits, feeder=feeder)
    return list(voltage_drop.check(facts(portfolio(folder, text, ABOUT))))


def heater(position: str, length: str, power: str = "1.5 kW") -> str:
    return (
        f"{position}: {{device: 20 A, conductors: {{size: 12 AWG Cu, raceway: PVC, "
        f"length: {length}}}, loads: {{H-{position}: {{kind: heating, power: {power}, "
        "voltage: 120 V}}}"
    )


def test_the_passing_example(tmp_path: Path) -> None:
    # By hand, chapter 9 table 9: 10 AWG copper in PVC 1.2 Ω per 1,000 ft, 90 ft, 12.5 A, two ways:
    # 2.7 V, 2.25 %.
    (example,) = examples(voltage_drop, "Passing")
    assert found(tmp_path, example) == []


def test_the_failing_example(tmp_path: Path) -> None:
    # By hand: 12 AWG 2.0 Ω per 1,000 ft, 160 ft, 12.5 A, two ways: 8.0 V, 6.67 %.
    (example,) = examples(voltage_drop, "Failing")
    (problem,) = found(tmp_path, example)
    assert told([problem]) == [(8, 7 + example.index("{size"), "note", "voltage-drop")]
    assert problem.subjects == ("home:LP-1/1",)
    assert "LP-1/1 is calculated to drop 6.7 % on its way" in problem.message
    assert "NEC 210.19(A) recommends at most 3 % for a branch circuit" in problem.message


def test_a_feeder_is_told_once_and_its_circuits_together(tmp_path: Path) -> None:
    # By hand: 4 AWG 0.31 Ω per 1,000 ft, 500 ft, 25 A on each of three phases: 3.9 V, 3.2 %. Each
    # circuit, 12 AWG 2.0 Ω per 1,000 ft, 25 ft two ways: 2.5 V, 2.1 %.
    circuits = ", ".join(heater(str(n), "25 ft", "3 kW") for n in (1, 3, 5))
    feeder, rest = found(tmp_path, circuits, "500 ft")
    assert feeder.subjects == ("home:LP-1",)
    assert "215.2(A) recommends at most 3 % for a feeder" in feeder.message
    assert told([feeder])[0][:2] == (7, 13)
    assert rest.subjects == ("home:LP-1/1", "home:LP-1/3", "home:LP-1/5")
    assert "5 % for feeders and branch circuit together, and 2 more of LP-1" in rest.message


@pytest.mark.parametrize(
    "circuit",
    [
        "1: {device: 20 A, loads: {H-1: {kind: heating, power: 1.5 kW, voltage: 120 V}}}",
        heater("1", "150 ft").replace("power: 1.5 kW, ", ""),
        heater("1", "150 ft").replace("raceway: PVC, ", ""),
        "1: {spare: yes, device: 20 A}",
    ],
)
def test_nothing_is_said_where_nothing_can_be_calculated(tmp_path: Path, circuit: str) -> None:
    assert found(tmp_path, circuit) == []


def test_what_is_assumed_and_what_is_missing_stand_in_the_message(tmp_path: Path) -> None:
    loads = "M-1: {kind: medical, power: 1.8 kVA}, M-2: {kind: medical}"
    circuit = heater("1", "150 ft").replace(
        "H-1: {kind: heating, power: 1.5 kW, voltage: 120 V}", loads
    )
    (problem,) = found(tmp_path, circuit)
    assert "(with power factors that are not recorded at their worst; what else" in problem.message
