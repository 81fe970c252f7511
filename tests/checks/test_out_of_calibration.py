from pathlib import Path

import pytest

from recordgen.checks import out_of_calibration
from recordgen.problems import Problem
from tests.checks.running import examples, found_by, told

HOUSE = """sources: {UTIL: {kind: utility}}
panels: {LP-1: {kind: panelboard, main: lugs, fed_from: UTIL, circuits: {1: {device: 20 A}}}}
"""


def problems(
    folder: Path, dates: str, day: str = "2026-09-01", kind: str = "multimeter"
) -> list[Problem]:
    records = f"""{HOUSE}instruments:
  M-1: {{kind: {kind}{dates and ", "}{dates}}}
faults:
  F-1:
    kind: overload
    circuit: LP-1/1
    description: trips
    steps:
      - step: found
        date: {day}
        by: JD
        measured: {{quantity: current, value: 20 A, instrument: M-1}}
      - {{step: retested, date: {day}, by: JD, instrument: M-1}}
"""
    return found_by(out_of_calibration, folder, records)


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(out_of_calibration, "Passing")
    assert problems(tmp_path, f"calibrated: 2025-09-15, {example}") == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(out_of_calibration, "Failing")
    (problem,) = problems(tmp_path, f"calibrated: 2025-09-15, {example}")
    assert told([problem]) == [(15, 64, "warning", "out-of-calibration")]
    assert problem.subjects == ("home:LP-1/1",)
    assert [(place.line, place.column) for place in problem.related] == [(16, 64), (5, 56)]
    assert problem.message.count("F-1 on 2026-09-01") == 1


@pytest.mark.parametrize(
    "dates",
    ["", "due: 2027-01-01", "calibrated: 2026-01-01", "calibrated: 2026-10-01, due: 2027-10-01"],
)
def test_what_is_not_shown_is_a_note_at_the_instrument(tmp_path: Path, dates: str) -> None:
    found = problems(tmp_path, dates)
    assert told(found) == [(5, 3, "note", "calibration-not-shown")]


@pytest.mark.parametrize("kind", ["tracer", "cable tester"])
def test_no_sticker_is_asked_of_what_is_read_against_itself(tmp_path: Path, kind: str) -> None:
    assert problems(tmp_path, "", kind=kind) == []
    (problem,) = problems(tmp_path / "late", "due: 2026-06-30", kind=kind)
    assert problem.code == "out-of-calibration"


def test_a_use_in_the_future_is_not_judged(tmp_path: Path) -> None:
    assert problems(tmp_path, "calibrated: 2025-01-01, due: 2026-01-01", day="2027-09-01") == []
