from pathlib import Path

import pytest

from recordgen.checks import branch_mixed
from tests.checks.running import examples, found_by, told

# A transfer switch serves two branches, as is allowed up to 150 kVA.
RECORDS = """
sources: {UTIL: {kind: utility}, GEN: {kind: generator}}
panels:
  MSB: {kind: switchboard, main: lugs, branch: normal, fed_from: UTIL, circuits: {1: {}, 2: {}}}
  EDP: {kind: switchboard, main: lugs, fed_from: GEN, circuits: {1: {}}}
  LS: {kind: panelboard, main: lugs, branch: life safety, fed_from: ATS, circuits: {1: {}}}
  A: {kind: panelboard, main: lugs, branch: normal, fed_from: MSB/2, circuits: {1: {}, 3: {}}}
equipment:
  ATS: {kind: transfer switch, branch: critical, normal_from: MSB/1, emergency_from: EDP/1}
"""
BATTERY = "stored_energy: {kind: battery}"


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(branch_mixed, "Passing")
    assert found_by(branch_mixed, tmp_path, f"{RECORDS}{example}\n") == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(branch_mixed, "Failing")
    problems = found_by(branch_mixed, tmp_path, f"{RECORDS}{example}\n")
    # Line 11: `loads: {EXIT-1: {kind: exit sign, branch: life safety, …`, at the branch.
    assert told(problems) == [(11, 43, "warning", "branch-mixed")]
    assert problems[0].subjects == ("home:EXIT-1", "home:A")


def test_a_panel_and_a_circuit_of_another_branch_than_what_feeds_them(tmp_path: Path) -> None:
    text = RECORDS.replace("branch: normal, fed_from: MSB/2", "branch: critical, fed_from: MSB/2")
    (problem,) = found_by(branch_mixed, tmp_path / "1", text)
    assert problem.subjects == ("home:A", "home:MSB")
    text = RECORDS.replace("3: {}", "3: {branch: critical}")
    (problem,) = found_by(branch_mixed, tmp_path / "2", text)
    assert problem.subjects == ("home:A/3", "home:A")


@pytest.mark.parametrize(
    ("load", "codes"),
    [
        ("kind: exit sign, criticality: life safety, fed_from: A/1", ["life-safety-elsewhere"]),
        ("kind: exit sign, criticality: life safety, fed_from: LS/1", []),
        ("kind: exit sign, criticality: life safety, branch: normal, fed_from: A/1", []),
        ("kind: exit sign, criticality: critical, fed_from: A/1", []),
        (f"kind: exit sign, criticality: life safety, {BATTERY}, fed_from: A/1", []),
        ("kind: pump, criticality: life safety, fed_from: DS", []),
    ],
)
def test_what_life_safety_hangs_on(tmp_path: Path, load: str, codes: list[str]) -> None:
    # The disconnect is tapped ahead of a main device, as for a fire pump.
    tap = "  DS: {kind: disconnect, fed_from: MSB/line}\n"
    text = f"{RECORDS}{tap}loads: {{X: {{{load}}}}}\n"
    problems = found_by(branch_mixed, tmp_path, text)
    assert [p.code for p in problems] == codes
    assert {p.severity for p in problems} <= {"note"}


def test_a_building_without_a_life_safety_branch_asks_nothing(tmp_path: Path) -> None:
    load = "loads: {X: {kind: exit sign, criticality: life safety, fed_from: A/1}}\n"
    text = RECORDS.replace("branch: life safety", "branch: critical") + load
    assert found_by(branch_mixed, tmp_path, text) == []
