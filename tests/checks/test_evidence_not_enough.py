from pathlib import Path

import pytest

from recordgen.checks import evidence_not_enough
from recordgen.problems import Problem
from tests.checks.running import PANEL, examples, found_by, told

# The trace stands in line 6, from column 3; RC-1 is recorded on LP-1/14.
CIRCUITS = "14: {loads: {RC-1: {kind: receptacle}}}, 16: {}"
RECORDS = f"""
sources: {{UTIL: {{kind: utility}}}}
panels: {{LP-1: {{{PANEL}, fed_from: UTIL, circuits: {{{CIRCUITS}}}}}}}
traces:
  T-1: {{date: 2026-10-05, by: JD, purpose: identify the breaker, load: RC-1, readings: [%s]%s}}
"""
ON_14 = ", concluded_circuit: LP-1/14"
STRONG, COUPLED = "[86, 79, 74]", "[61, 33, 22]"
PLACE = (6, 3, "warning", "evidence-not-enough")


def found(folder: Path, on_14: str, on_16: str, more: str = ON_14) -> list[Problem]:
    readings = ", ".join(
        f"{{at: LP-1/{position}, values: {values}, sensitivity: 4}}"
        for position, values in ((14, on_14), (16, on_16))
    )
    return found_by(evidence_not_enough, folder, RECORDS % (readings, more))


def test_the_passing_example(tmp_path: Path) -> None:
    on_14, on_16 = examples(evidence_not_enough, "Passing")
    assert found(tmp_path, on_14, on_16) == []


def test_the_failing_example(tmp_path: Path) -> None:
    on_14, on_16 = examples(evidence_not_enough, "Failing")
    problems = found(tmp_path, on_14, on_16)
    assert told(problems) == [PLACE]
    (problem,) = problems
    assert "do not bear its conclusion LP-1/14: none is strong" in problem.message
    assert problem.hint is not None
    assert set(problem.subjects) == {"home:RC-1", "home:LP-1/14"}


def test_what_is_ambiguous_is_called_so_and_says_what_to_do(tmp_path: Path) -> None:
    (problem,) = found(tmp_path, "[99, 99, 97]", "[99, 99, 96]")
    assert "ambiguous, since LP-1/14 and LP-1/16 stand at the top of the scale" in problem.message
    assert problem.hint == "lower the sensitivity and read again in three orientations"


def test_readings_that_point_elsewhere_than_the_conclusion(tmp_path: Path) -> None:
    problems = found(tmp_path, COUPLED, STRONG)
    assert told(problems) == [PLACE]
    assert "point at LP-1/16, its conclusion is LP-1/14" in problems[0].message


def test_readings_against_the_record_without_a_conclusion(tmp_path: Path) -> None:
    problems = found(tmp_path, COUPLED, STRONG, "")
    assert told(problems) == [PLACE]
    assert "point at LP-1/16: the record says LP-1/14" in problems[0].message


def test_a_conclusion_that_the_readings_bear_is_left_to_the_contradiction(tmp_path: Path) -> None:
    assert found(tmp_path, COUPLED, STRONG, ", concluded_circuit: LP-1/16") == []


def test_a_conclusion_without_any_reading(tmp_path: Path) -> None:
    problems = found_by(evidence_not_enough, tmp_path, RECORDS % ("", ON_14))
    assert told(problems) == [PLACE]
    assert problems[0].hint == "read the covers of the panels"


@pytest.mark.parametrize(
    "settled", [", confirmed_by_opening: yes", ", resolved: opened on 2026-10-06"]
)
def test_what_was_opened_or_settled_needs_no_readings(tmp_path: Path, settled: str) -> None:
    assert found(tmp_path, "40", "38", ON_14 + settled) == []


def test_an_opening_that_clear_readings_speak_against(tmp_path: Path) -> None:
    (problem,) = found(tmp_path, COUPLED, STRONG, f"{ON_14}, confirmed_by_opening: yes")
    assert "its conclusion is LP-1/14, which was opened" in problem.message


def test_not_opened_is_not_opened(tmp_path: Path) -> None:
    assert len(found(tmp_path, "40", "38", f"{ON_14}, confirmed_by_opening: no")) == 1


BUNDLE = """
cables:
  C-1: {kind: coax, %s}
  C-2: {kind: coax}
traces:
  T-1: {date: 2026-10-05, by: JD, purpose: sort a bundle, cable: C-1, readings: [%s]}
"""
LEANS = "identified: strongest signal, trace: T-1"


@pytest.mark.parametrize(
    ("cable", "one", "two", "said"),
    [
        (LEANS, 88, 44, None),
        (LEANS, 71, 66, "whose readings do not bear it"),
        (LEANS, 30, 80, "whose readings point at C-2"),
        ("trace: T-1", 71, 66, None),
        ("identified: rang it", 71, 66, None),
    ],
)
def test_a_bundle(tmp_path: Path, cable: str, one: int, two: int, said: str | None) -> None:
    readings = (
        f"{{at: C-1, values: {one}, sensitivity: 2}}, {{at: C-2, values: {two}, sensitivity: 2}}"
    )
    problems = found_by(evidence_not_enough, tmp_path, BUNDLE % (cable, readings))
    if said is None:
        assert problems == []
    else:
        assert told(problems) == [(7, 3, "warning", "evidence-not-enough")]
        assert said in problems[0].message
