from pathlib import Path

from recordgen.checks import contradicted_record
from recordgen.pages.answers import Answers
from tests.checks.running import PANEL, examples, found_by, told
from tests.network.asking import portfolio

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


# RC-1 is recorded on LP-1/1; LP-2 hangs on MSB/5 and LP-1 on MSB/7.
TWO_PANELS = f"""
sources: {{UTIL: {{kind: utility}}}}
panels:
  MSB: {{{PANEL}, fed_from: UTIL, circuits: {{5: {{device: 60 A}}, 7: {{device: 60 A}}}}}}
  LP-1: {{{PANEL}, fed_from: MSB/7, circuits: {{1: {{loads: {{RC-1: {{kind: receptacle}}}}}}}}}}
  LP-2: {{{PANEL}, fed_from: MSB/5, circuits: {{2: {{device: 20 A}}}}}}
loads:
  LAMP: {{kind: lighting, fed_from: unknown}}
traces:
"""
LIST = "by: JD, purpose: list what is downstream"


def test_it_is_told_on_every_list_that_leans_on_it(tmp_path: Path) -> None:
    text = f"{TWO_PANELS}  T-1: {{date: 2026-10-05, {LIST}, circuit: LP-2/2, found: RC-1}}\n"
    found = portfolio(tmp_path, text)
    answers = Answers(found)
    told_on = {
        tag
        for tag in ("LP-1/1", "LP-2/2", "MSB/5", "MSB/7")
        if answers.downstream([f"home:{tag}"]).stops
    }
    assert told_on == {"LP-1/1", "LP-2/2", "MSB/5", "MSB/7"}
    # MSB/5 isolates LP-2 all the same: what hangs there is another question than what feeds it.
    sheet = answers.isolation("home:LP-2")
    assert [point.device.tag for point in sheet.points] == ["home:MSB/5"]
    assert (sheet.verdict, len(sheet.stops)) == ("yes", 1)
    assert answers.isolation("home:LP-2/2").verdict == "unproven"


def test_a_trace_that_bears_the_record_is_named_with_its_place(tmp_path: Path) -> None:
    text = (
        f"{TWO_PANELS}"
        f"  T-1: {{date: 2026-10-05, {LIST}, circuit: LP-2/2, found: RC-1}}\n"
        f"  T-2: {{date: 2026-10-06, {LIST}, circuit: LP-1/1, found: RC-1}}\n"
    )
    (problem,) = found_by(contradicted_record, tmp_path, text)
    assert problem.message == (
        "trace T-1 finds RC-1 on LP-2/2, the record says LP-1/1, and so does trace T-2"
    )
    # The traces stand in lines 11 and 12, the load in line 6.
    assert problem.location.line == 11
    assert [place.line for place in problem.related] == [6, 12]


def test_two_traces_without_a_record(tmp_path: Path) -> None:
    text = (
        f"{TWO_PANELS}"
        f"  T-1: {{date: 2026-10-05, {LIST}, circuit: LP-2/2, found: LAMP}}\n"
        f"  T-2: {{date: 2026-10-06, {LIST}, circuit: LP-1/1, found: LAMP}}\n"
    )
    (problem,) = found_by(contradicted_record, tmp_path, text)
    assert problem.message == (
        "trace T-2 finds LAMP on LP-1/1, trace T-1 on LP-2/2, and what feeds it is not recorded"
    )
    assert problem.location.line == 12
    assert [place.line for place in problem.related] == [9, 11]
    assert set(problem.subjects) == {"home:LAMP", "home:LP-1/1", "home:LP-2/2"}
    assert set(problem.leaning) == {"home:MSB/5", "home:MSB/7"}


def test_a_feed_that_a_trace_has_elsewhere(tmp_path: Path) -> None:
    looked = "feed_checked: {date: 2026-10-05, by: JD, trace: T-1}, fed_from: MSB/5"
    text = TWO_PANELS.replace("fed_from: MSB/5", looked) + (
        "  T-1: {date: 2026-10-05, by: JD, purpose: identify the breaker, "
        "concluded_circuit: MSB/7}\n"
    )
    problems = found_by(contradicted_record, tmp_path, text)
    assert told(problems) == [(11, 3, "stop", "contradiction")]
    (problem,) = problems
    assert problem.message == "trace T-1 finds that LP-2 is fed from MSB/7, the record says MSB/5"
    assert [place.line for place in problem.related] == [7]
    assert set(problem.subjects) == {"home:LP-2", "home:MSB/5", "home:MSB/7"}
