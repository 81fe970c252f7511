from pathlib import Path

import pytest

from recordgen.checks import high_leg_load
from tests.checks.running import examples, found_by, told

# The circuit stands in line 8, from column 7.
PANEL = """
sources: {{UTIL: {{kind: utility}}}}
panels:
  HL-1: {{kind: panelboard, system: 240/120 high-leg delta, main: lugs, fed_from: UTIL,
    {said}
    circuits: {{
      {circuit}
    }}}}
"""
SAID = "numbering: odd left, high_leg: B,"
LAMP = "loads: {RC-1: {kind: lighting, voltage: 208 V}}"


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(high_leg_load, "Passing")
    text = PANEL.format(said=SAID, circuit=example)
    assert found_by(high_leg_load, tmp_path, text) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(high_leg_load, "Failing")
    text = PANEL.format(said=SAID, circuit=example)
    problems = found_by(high_leg_load, tmp_path, text)
    assert told(problems) == [(8, 7, "stop", "high-leg-load")]
    assert problems[0].subjects == ("home:HL-1/3", "home:RC-1")
    # Half of the line voltage times the square root of three: geometry of the delta.
    assert "208 V to neutral, not 120 V" in problems[0].message


@pytest.mark.parametrize("said", ["", "numbering: odd left,", "high_leg: B,"])
def test_where_the_leg_is_assumed_it_is_a_warning(tmp_path: Path, said: str) -> None:
    (example,) = examples(high_leg_load, "Failing")
    (problem,) = found_by(high_leg_load, tmp_path, PANEL.format(said=said, circuit=example))
    assert problem.severity == "warning"
    assert "assumed" in problem.message


@pytest.mark.parametrize(
    ("circuit", "count"),
    [
        ("3: {device: 20 A, loads: unknown}", 1),
        ("3: {device: 20 A}", 1),
        ("3: {device: 20 A, loads: none}", 0),
        ("3: {device: 20 A, normal: open}", 0),
        ("3: spare", 0),
        ("3: space", 0),
        (f"3: {{device: 20 A, {LAMP}}}", 0),
        ("3-5: {device: 20 A, loads: {RC-1: {kind: receptacle}}}", 0),
        ("4: {device: 20 A, loads: {RC-1: {kind: receptacle}}}", 1),
        ("1: {device: 20 A, loads: {RC-1: {kind: receptacle}}}", 0),
    ],
)
def test_what_stands_on_the_leg(tmp_path: Path, circuit: str, count: int) -> None:
    text = PANEL.format(said=SAID, circuit=circuit)
    assert len(found_by(high_leg_load, tmp_path, text)) == count


def test_the_leg_that_is_recorded_counts(tmp_path: Path) -> None:
    (example,) = examples(high_leg_load, "Passing")
    text = PANEL.format(said="numbering: odd left, high_leg: C,", circuit=example)
    assert [p.subjects[0] for p in found_by(high_leg_load, tmp_path, text)] == ["home:HL-1/5"]


def test_what_is_fed_from_elsewhere_in_the_records_counts(tmp_path: Path) -> None:
    text = PANEL.format(said=SAID, circuit="3: {device: 20 A}")
    text += "loads: {LAMP: {kind: lighting, fed_from: HL-1/3}}\n"
    (problem,) = found_by(high_leg_load, tmp_path, text)
    assert "home:LAMP" in problem.subjects
