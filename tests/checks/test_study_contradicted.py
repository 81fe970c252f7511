"""Recorded figures against what the records give: a source of 10 kA at the bus judges itself."""

from pathlib import Path

import pytest

from recordgen.checks import study_contradicted
from recordgen.problems import Problem
from tests.checks.running import examples, found_by, told

RECORDS = """sources:
  UTIL: {{kind: utility, system: 208Y/120, available_fault_current: 10 kA, x_over_r: 5}}
panels:
  LP-1:
    kind: panelboard
    system: 208Y/120
    fed_from: UTIL
    feeder: {{size: 500 kcmil Cu, parallel: 4, raceway: 3 in PVC, length: 1 in}}
    {said}
    circuits: {{1: {{loads: {{A: {{kind: other, power: 9 kVA}}}}}}}}
"""


def found(folder: Path, said: str) -> list[Problem]:
    return found_by(study_contradicted, folder, RECORDS.format(said=said))


def of_example(folder: Path, word: str) -> list[Problem]:
    (example,) = examples(study_contradicted, word)
    records = f"sources: {{UTIL: {{kind: utility}}}}\npanels:\n  {example[:-1]}, fed_from: UTIL}}\n"
    return found_by(study_contradicted, folder, records)


def test_the_passing_example(tmp_path: Path) -> None:
    assert of_example(tmp_path, "Passing") == []


def test_the_failing_example(tmp_path: Path) -> None:
    (problem,) = of_example(tmp_path, "Failing")
    assert told([problem]) == [(4, 46, "warning", "label-voltage")]
    assert "its label is for 480 V, and it is recorded as 208Y/120" in problem.message


# An inch of four 500 kcmil changes nothing that shows: 10 kA arrive.
@pytest.mark.parametrize(
    ("current", "told_of"),
    [
        ("10 kA", []),
        ("9.1 kA", []),
        ("8.8 kA", [(10, 5, "warning", "fault-current-differs")]),
        ("12.3 kA", []),
        ("12.8 kA", [(10, 5, "note", "fault-current-differs")]),
    ],
)
def test_a_recorded_fault_current(
    tmp_path: Path, current: str, told_of: list[tuple[int, int, str, str]]
) -> None:
    problems = found(tmp_path, f"recorded_fault: {{current: {current}}}")
    assert told(problems) == told_of
    for problem in problems:
        assert problem.subjects == ("home:LP-1",)


def test_by_how_much(tmp_path: Path) -> None:
    (problem,) = found(tmp_path, "recorded_fault: {current: 5 kA}")
    assert "5,000 A, the recorded fault current, is 50 % less than 9,999 A" in problem.message


def test_what_cannot_be_calculated_contradicts_nothing(tmp_path: Path) -> None:
    records = RECORDS.format(said="recorded_fault: {current: 1 kA}").replace(", x_over_r: 5", "")
    assert found_by(study_contradicted, tmp_path, records) == []


@pytest.mark.parametrize(("volts", "count"), [("208 V", 0), ("200 V", 0), ("240 V", 1)])
def test_a_label(tmp_path: Path, volts: str, count: int) -> None:
    problems = found(tmp_path, f"arc_flash: {{nominal_voltage: {volts}}}")
    assert told(problems) == [(10, 5, "warning", "label-voltage")] * count


@pytest.mark.parametrize(("demand", "count"), [("8 kVA", 0), ("9 kVA", 0), ("9.5 kVA", 1)])
def test_a_measured_demand(tmp_path: Path, demand: str, count: int) -> None:
    days = "first_day: 2026-06-01, last_day: 2026-07-10"
    problems = found(tmp_path, f"recorded_demand: {{demand: {demand}, {days}}}")
    assert told(problems) == [(10, 5, "warning", "more-measured-than-connected")] * count


def test_unknown_loads_explain_a_measured_demand(tmp_path: Path) -> None:
    days = "first_day: 2026-06-01, last_day: 2026-07-10"
    records = RECORDS.format(said=f"recorded_demand: {{demand: 20 kVA, {days}}}")
    records = records.replace(", power: 9 kVA", "")
    assert found_by(study_contradicted, tmp_path, records) == []
