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


def test_a_bundle_by_the_cable_that_the_trace_concludes(tmp_path: Path) -> None:
    text = BUNDLE.replace("cable: C-1", "concluded_cable: C-1") % ("category: Cat 6", "%s")
    near = "{at: C-1, values: 71, sensitivity: 2}, {at: C-2, values: 66, sensitivity: 2}"
    (problem,) = found_by(evidence_not_enough, tmp_path, text % near)
    assert problem.message.startswith("trace T-1 concludes C-1, whose readings do not bear it: ")


# The trace stands in line 14, from column 3.
ALONG = f"""
sources: {{UTIL: {{kind: utility}}}}
panels: {{LP-1: {{{PANEL}, fed_from: UTIL, circuits: {{{CIRCUITS}}}}}}}
runs:
  RUN-1:
    of: LP-1/14
    %s
    landmarks:
      - {{at: 0 m, what: LP-1}}
      - {{at: 50 m, what: gate}}
faults: {{F-1: {{kind: short, description: dark, circuit: LP-1/14, steps: [%s]}}}}
traces:
  T-1: {{date: 2026-10-05, by: JD, circuit: LP-1/14, run: RUN-1, %s}}
"""
JOINED = "connection: dead conductor with remote return"
SHORT = f"purpose: locate a short, {JOINED}, readings: [%s]"
FOLLOW = f"purpose: follow a run, {JOINED}, readings: [%s]"
LOCATED = "{step: located, date: 2026-10-05, by: JD, trace: T-1}"
WORDS = ", conclusion: short at 30 m"
LEANS_ON_IT = "trace: T-1"


def along(*values: int) -> str:
    return ", ".join(
        f"{{at: {10 * number} m, values: {value}, sensitivity: 4}}"
        for number, value in enumerate(values)
    )


FALLS, LEVEL = along(78, 77, 75, 20, 18, 17), along(78, 77, 75, 76, 75, 74)
# Half the loop of 60 m is 30 m: arms of one size, by hand.
BRIDGE = (
    ", bridge: {from: 0 m, towards: end, sound_arm: 1 ± 0.01 ohm, faulty_arm: %s, loop: 60 ± 1 m, "
    'faulty_length: 50 ± 1 m, conductor_per_route: "1 ± 0.01"}'
)


@pytest.mark.parametrize(
    ("step", "trace", "severity", "said"),
    [
        ("", SHORT % FALLS + WORDS, None, ""),
        (LOCATED, SHORT % FALLS, None, ""),
        # Nothing was concluded.
        ("", SHORT % LEVEL, None, ""),
        # Words may say just that there is no drop: they are not read, and it is for a reader.
        ("", SHORT % LEVEL + WORDS, "note", "gives no place (no clear drop)"),
        (LOCATED, SHORT % LEVEL, "warning", "F-1 was located by trace T-1, and what was read"),
        ("", SHORT % "" + WORDS, "warning", "(not enough): no reading is recorded"),
        ("", SHORT % "" + WORDS + BRIDGE % "1 ± 0.01 ohm", None, ""),
        (
            "",
            SHORT % "" + WORDS + BRIDGE % "1 ohm",
            "warning",
            "the uncertainty of `faulty_arm` is not recorded",
        ),
        # The tracer has it along 20 to 30 m, the bridge at 15 m.
        (LOCATED, SHORT % FALLS + BRIDGE % "0.333 ± 0.001 ohm", "warning", "methods disagree"),
    ],
)
def test_a_fault_along_a_run(
    tmp_path: Path, step: str, trace: str, severity: str | None, said: str
) -> None:
    problems = found_by(evidence_not_enough, tmp_path, ALONG % ("", step, trace))
    if severity is None:
        assert problems == []
    else:
        assert told(problems) == [(14, 3, severity, "evidence-not-enough")]
        assert said in problems[0].message
        assert problems[0].hint
        assert problems[0].subjects == ("home:LP-1/14",)


@pytest.mark.parametrize(
    ("run", "trace", "severity", "said"),
    [
        (LEANS_ON_IT, FOLLOW % LEVEL, None, ""),
        ("", FOLLOW % along(78), None, ""),
        ("", FOLLOW % along(78) + ", conclusion: straight", "warning", "does not show the run"),
        (LEANS_ON_IT, FOLLOW % along(78), "warning", "does not show RUN-1, which leans on it"),
        (LEANS_ON_IT, FOLLOW % along(78, 77), "note", "shows in part RUN-1"),
        (LEANS_ON_IT, FOLLOW % FALLS, "warning", "(signal lost)"),
    ],
)
def test_a_run_that_was_followed(
    tmp_path: Path, run: str, trace: str, severity: str | None, said: str
) -> None:
    problems = found_by(evidence_not_enough, tmp_path, ALONG % (run, "", trace))
    if severity is None:
        assert problems == []
    else:
        assert told(problems) == [(14, 3, severity, "evidence-not-enough")]
        assert said in problems[0].message


# The trace stands in line 10, from column 3.
LIST = f"""
sources: {{UTIL: {{kind: utility}}}}
panels:
  LP-1: {{{PANEL}, fed_from: UTIL, circuits: {{
    14: {{loads: {{RC-1: {{kind: receptacle}}, RC-2: {{kind: receptacle}}}}}},
    16: {{loads: {{RC-3: {{kind: receptacle}}}}}}
  }}}}
traces:
  T-1: {{date: 2026-10-05, by: JD, purpose: list what is downstream, circuit: LP-1/14, %s}}
%s"""
BOTH, OPENED = "found: [RC-1, RC-2]", "confirmed_by_opening: yes"


def at_loads(first: int, second: int) -> str:
    each = (("RC-1", first), ("RC-2", second), ("RC-3", 20))
    read = (f"{{at: {at}, values: {value}, sensitivity: 4}}" for at, value in each)
    return f"readings: [{', '.join(read)}]"


@pytest.mark.parametrize(
    ("trace", "severity", "said"),
    [
        (f"{BOTH}, {OPENED}", None, ""),
        (f"{BOTH}, {at_loads(74, 70)}", None, ""),
        (BOTH, "warning", "has RC-1, RC-2 on LP-1/14, which was not opened, and its readings"),
        (f"{BOTH}, {at_loads(74, 30)}", "warning", "has RC-2 on LP-1/14"),
        (f"found: RC-1, {OPENED}", "note", "does not name RC-2, which the record has on LP-1/14"),
    ],
)
def test_a_list_of_loads(tmp_path: Path, trace: str, severity: str | None, said: str) -> None:
    problems = found_by(evidence_not_enough, tmp_path, LIST % (trace, ""))
    if severity is None:
        assert problems == []
    else:
        assert told(problems) == [(10, 3, severity, "evidence-not-enough")]
        assert said in problems[0].message


def test_a_load_that_a_later_trace_found_there_is_left_alone(tmp_path: Path) -> None:
    later = (
        "  T-2: {date: 2026-10-06, by: JD, purpose: list what is downstream, circuit: LP-1/14, "
        f"found: [RC-1, RC-2], {OPENED}}}\n"
    )
    assert found_by(evidence_not_enough, tmp_path, LIST % (f"found: RC-1, {OPENED}", later)) == []
