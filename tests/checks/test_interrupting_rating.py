from pathlib import Path

import pytest

from recordgen.checks import interrupting_rating
from recordgen.problems import Problem
from tests.checks.running import examples, found_by, told

SOURCE = "UTIL: {kind: utility, system: 208Y/120, available_fault_current: 8 kA, x_over_r: 3}"
FEEDER = "{size: 500 kcmil Cu, neutral: 500 kcmil Cu, parallel: 4, length: 3 ft, raceway: 4 in PVC}"
SERIES = "rating: 20 A, interrupting_rating: 5 kAIC, series_rating: with the main"


def found(folder: Path, panel: str, source: str = SOURCE, more: str = "") -> list[Problem]:
    """Return what is found of a panel in line 5, from column 3, at the end of three feet."""
    begin = panel.replace("fed_from: UTIL", f"system: 208Y/120, feeder: {FEEDER}, fed_from: UTIL")
    text = f"\nsources: {{{source}}}\npanels: {{\n  {begin.removeprefix('panels: {')}\n{more}"
    return found_by(interrupting_rating, folder, text)


def panel(said: str) -> str:
    return f"panels: {{LP-1: {{kind: panelboard, {said}, fed_from: UTIL}}}}"


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(interrupting_rating, "Passing")
    assert found(tmp_path, example) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(interrupting_rating, "Failing")
    problems = found(tmp_path, example)
    # `  LP-1: {kind: panelboard, interrupting_rating: 5 kAIC, …`, at the rating.
    assert told(problems) == [(5, 49, "warning", "interrupting-rating")]
    assert problems[0].subjects == ("home:LP-1",)
    assert "5 kAIC" in problems[0].message
    assert "110.9" in problems[0].message


# Three feet of a very large feeder leave nearly all of 8 kA: 7 kA are too little by any reckoning,
# and 8 kA enough, since impedance only takes away (physics).
@pytest.mark.parametrize(
    ("said", "severities"),
    [
        ("interrupting_rating: 8 kAIC", []),
        ("interrupting_rating: 7 kAIC", ["warning"]),
        ("main: {rating: 100 A, interrupting_rating: 7 kAIC}", ["warning"]),
        ("main: {rating: 100 A, interrupting_rating: 10 kAIC}", []),
        ("circuits: {1: {device: {rating: 20 A, interrupting_rating: 5 kAIC}}}", ["warning"]),
        (f"circuits: {{1: {{device: {{{SERIES}}}}}}}", ["note"]),
        ("lockable: yes", []),
        # What a study found wins over what is calculated.
        ("interrupting_rating: 7 kAIC, recorded_fault: {current: 6.5 kA}", []),
        ("interrupting_rating: 10 kAIC, recorded_fault: {current: 12 kA}", ["warning"]),
    ],
)
def test_ratings(tmp_path: Path, said: str, severities: list[str]) -> None:
    assert [p.severity for p in found(tmp_path, panel(said))] == severities


def test_all_of_a_panel_are_one_finding(tmp_path: Path) -> None:
    device = "{rating: 20 A, interrupting_rating: 5 kAIC}"
    said = f"interrupting_rating: 5 kAIC, circuits: {{1: {{device: {device}}}}}"
    (problem,) = found(tmp_path, panel(said))
    assert problem.subjects == ("home:LP-1", "home:LP-1/1")
    assert len(problem.related) == 1


def test_motors_come_on_top(tmp_path: Path) -> None:
    # 100 hp at 200 V: 285 A by NEC table 430.250, four times that 1.1 kA (common practice).
    said = """interrupting_rating: 8.5 kAIC, circuits: {1-3-5: {device: 400 A,
      loads: {M: {kind: pump, power: 100 hp, voltage: 200 V}}}}"""
    assert [p.severity for p in found(tmp_path, panel(said))] == ["warning"]


def test_without_the_source_it_is_not_known(tmp_path: Path) -> None:
    source = SOURCE.replace(", available_fault_current: 8 kA", "")
    problems = found(tmp_path, panel("interrupting_rating: 10 kAIC"), source)
    assert [(p.severity, p.code) for p in problems] == [("note", "interrupting-rating-open")]
    assert "available_fault_current: not recorded" in problems[0].message


def test_what_bounds_the_current_may_be_enough(tmp_path: Path) -> None:
    # Without X/R the current cannot be calculated, but it is 8 kA at most.
    source = SOURCE.replace(", x_over_r: 3", "")
    assert found(tmp_path / "1", panel("interrupting_rating: 10 kAIC"), source) == []
    (problem,) = found(tmp_path / "2", panel("interrupting_rating: 5 kAIC"), source)
    assert problem.code == "interrupting-rating-open"


def test_a_transfer_switch_withstands(tmp_path: Path) -> None:
    more = """equipment: {ATS: {kind: transfer switch, withstand_rating: 5 kA, normal_from: LP-1/1,
  emergency_from: GEN}}
"""
    source = f"{SOURCE}, GEN: {{kind: generator}}"
    said = panel("circuits: {1-3-5: {device: 200 A, conductors: " + FEEDER + "}}")
    (problem,) = found(tmp_path, said, source, more)
    assert problem.subjects == ("home:ATS",)
    assert "withstand rating of 5 kA" in problem.message
