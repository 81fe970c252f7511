from pathlib import Path

import pytest

from recordgen.checks import trace_dates
from recordgen.problems import Problem
from tests.checks.running import examples, found_by, told

HOUSE = """sources: {UTIL: {kind: utility}}
panels:
  LP-1:
    kind: panelboard
    main: lugs
    fed_from: UTIL
    circuits:
      1: {device: 20 A, loads: {FAN: {kind: motor}}}
"""


def dated(folder: Path, rest: str) -> list[Problem]:
    return found_by(trace_dates, folder, HOUSE + rest)


def traced(folder: Path, *dates: str) -> list[Problem]:
    lines = "".join(
        f"  T-{n}: {{{date}, by: JD, purpose: list what is downstream, circuit: LP-1/1}}\n"
        for n, date in enumerate(dates, 1)
    )
    return dated(folder, f"traces:\n{lines}")


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(trace_dates, "Passing")
    assert traced(tmp_path, example) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(trace_dates, "Failing")
    (problem,) = traced(tmp_path, example)
    assert told([problem]) == [(11, 15, "warning", "date-in-future")]
    assert problem.subjects == ("home:LP-1/1",)
    assert "T-1 of 2062-03-18" in problem.message


def test_the_day_itself_is_not_in_the_future(tmp_path: Path) -> None:
    assert traced(tmp_path, "date: 2026-11-25") == []
    assert len(traced(tmp_path / "next", "date: 2026-11-26")) == 1


def test_many_of_a_section_are_one_finding(tmp_path: Path) -> None:
    (problem,) = traced(tmp_path, *["date: 2027-01-01"] * 7)
    assert problem.message.endswith("T-5 of 2027-01-01 and 2 more")
    assert len(problem.related) == 4


@pytest.mark.parametrize(
    ("rest", "line", "column", "subject"),
    [
        ("      3: {device: 20 A, changed: 2027-01-01}\n", 10, 34, "home:LP-1/3"),
        (
            "      3: {loads: {PUMP: {kind: motor, arc_flash: {study_date: 2027-01-01}}}}\n",
            10,
            63,
            "home:PUMP",
        ),
        ("    arc_flash: {study_date: 2027-01-01}\n", 10, 29, "home:LP-1"),
        (
            (
                "equipment:\n  D-1: {kind: disconnect, fed_from: LP-1/1, "
                "present: {position: open, since: 2027-01-01}}\n"
            ),
            11,
            78,
            "home:D-1",
        ),
    ],
)
def test_dates_are_found_wherever_they_stand(
    tmp_path: Path, rest: str, line: int, column: int, subject: str
) -> None:
    (problem,) = dated(tmp_path, rest)
    assert told([problem]) == [(line, column, "warning", "date-in-future")]
    assert problem.subjects == (subject,)


@pytest.mark.parametrize(
    ("rest", "column", "words"),
    [
        (
            "instruments:\n  M-1: {kind: multimeter, calibrated: 2026-01-01, due: 2025-01-01}\n",
            56,
            "`due` 2025-01-01 lies before `calibrated` 2026-01-01",
        ),
        (
            (
                "inspections:\n  I-1: {kind: thermographic survey, of: LP-1, by: JD, "
                "date: 2026-01-01, next_due: 2025-01-01}\n"
            ),
            83,
            "`next_due` 2025-01-01 lies before `date` 2026-01-01",
        ),
    ],
)
def test_an_end_before_its_beginning(tmp_path: Path, rest: str, column: int, words: str) -> None:
    (problem,) = dated(tmp_path, rest)
    assert told([problem]) == [(11, column, "warning", "date-order")]
    assert words in problem.message


def test_days_ahead_may_lie_in_the_future(tmp_path: Path) -> None:
    meter = "instruments:\n  M-1: {kind: multimeter, calibrated: 2026-01-01, due: 2030-01-01}\n"
    assert dated(tmp_path, meter) == []


@pytest.mark.parametrize(("day", "count"), [("2026-03-18", 0), ("2026-03-19", 1)])
def test_a_step_cannot_rest_on_a_later_trace(tmp_path: Path, day: str, count: int) -> None:
    records = f"""traces:
  T-1: {{date: {day}, by: JD, purpose: locate an open, circuit: LP-1/1}}
faults:
  F-1:
    kind: open
    circuit: LP-1/1
    description: dead
    steps:
      - {{step: located, date: 2026-03-18, by: JD, trace: T-1}}
"""
    found = dated(tmp_path, records)
    assert told(found) == [(18, 58, "warning", "date-order")][:count]
