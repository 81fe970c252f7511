from pathlib import Path

from recordgen.checks import contradicted_record
from tests.checks.running import PANEL, examples, found_by, told

# The trace stands in line 6, from column 3.
RECORDS = f"""
sources: {{UTIL: {{kind: utility}}}}
panels: {{LP-1: {{{PANEL}, fed_from: UTIL, circuits: {{14: {{%s}}, 16: {{%s}}}}}}}}
traces:
  T-1: {{date: 2026-10-05, by: JD, purpose: identify the breaker, load: RC-1, %s%s}}
"""
RC_1, NONE = "loads: {RC-1: {kind: receptacle}}", "loads: none"


def test_the_passing_example(tmp_path: Path) -> None:
    (concluded,) = examples(contradicted_record, "Passing")
    text = RECORDS % (RC_1, NONE, concluded, "")
    assert found_by(contradicted_record, tmp_path, text) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (concluded,) = examples(contradicted_record, "Passing")
    text = RECORDS % (NONE, RC_1, concluded, "")
    problems = found_by(contradicted_record, tmp_path, text)
    assert told(problems) == [(6, 3, "stop", "contradiction")]
    (problem,) = problems
    assert set(problem.subjects) == {"home:RC-1", "home:LP-1/14", "home:LP-1/16"}
    assert [place.line for place in problem.related] == [4]


def test_one_that_somebody_settled_is_none(tmp_path: Path) -> None:
    (concluded,) = examples(contradicted_record, "Passing")
    text = RECORDS % (NONE, RC_1, concluded, ", resolved: moved to LP-1/16 on 2026-10-06")
    assert found_by(contradicted_record, tmp_path, text) == []
