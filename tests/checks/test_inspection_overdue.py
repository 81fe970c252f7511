from pathlib import Path

from recordgen.checks import inspection_overdue
from recordgen.problems import Problem
from tests.checks.running import examples, found_by, told

HOUSE = """sources: {UTIL: {kind: utility}}
panels:
  LP-1:
    kind: panelboard
    main: lugs
    fed_from: UTIL
    circuits: {1: {device: 20 A, loads: {FAN: {kind: motor}}}}
"""


def inspected(folder: Path, fields: str) -> list[Problem]:
    inspection = f"inspections:\n  I-1: {{kind: lockout sheet, of: FAN, by: JD, {fields}}}\n"
    return found_by(inspection_overdue, folder, HOUSE + inspection)


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(inspection_overdue, "Passing")
    assert inspected(tmp_path, example) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(inspection_overdue, "Failing")
    (problem,) = inspected(tmp_path, example)
    assert told([problem]) == [(10, 53, "warning", "inspection-overdue")]
    assert problem.subjects == ("home:FAN",)
    assert "was due by 2026-02-24 (29 CFR 1910.147(c)(6)(i)" in problem.message
    assert "last done on 2025-02-24" in problem.message


def test_due_within_thirty_days_is_a_note_at_the_recorded_day(tmp_path: Path) -> None:
    found = inspected(tmp_path, "date: 2026-02-24, next_due: 2026-12-25")
    assert told(found) == [(10, 75, "note", "inspection-due")]
    assert "is due by 2026-12-25 (as recorded)" in found[0].message


def test_due_in_thirty_one_days_is_no_finding(tmp_path: Path) -> None:
    assert inspected(tmp_path, "date: 2026-02-24, next_due: 2026-12-26") == []


def test_an_inspector_among_the_users_is_found(tmp_path: Path) -> None:
    found = inspected(tmp_path, "date: 2026-02-24, employees: [AB, JD]")
    assert told(found) == [(10, 43, "warning", "inspected-by-user")]


def test_a_label_past_its_five_years_is_found_at_its_study(tmp_path: Path) -> None:
    records = f"{HOUSE}    arc_flash: {{study_date: 2021-11-24, review_due: 2027-01-01}}\n"
    found = found_by(inspection_overdue, tmp_path, records)
    assert told(found) == [(9, 29, "warning", "inspection-overdue")]
    assert "NFPA 70E" in found[0].message
    assert found[0].subjects == ("home:LP-1",)


def test_a_label_past_its_own_day_is_found_there(tmp_path: Path) -> None:
    records = f"{HOUSE}    arc_flash: {{study_date: 2024-11-24, review_due: 2026-01-01}}\n"
    found = found_by(inspection_overdue, tmp_path, records)
    assert told(found) == [(9, 53, "warning", "inspection-overdue")]
