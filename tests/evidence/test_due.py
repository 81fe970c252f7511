"""When inspections are due: the recorded day, but never later than a rule allows.

29 CFR 1910.147(c)(6)(i) asks for an inspection of lockout procedures at least annually (read);
NFPA 70E 130.5 for a review of labels at least every five years (from memory).
"""

import datetime as dt
from pathlib import Path

import pytest

from recordgen.evidence.due import Due, due_by, inspected_by_user, inspections_due, of_building
from recordgen.records.field import Inspection
from tests.network.asking import AS_OF, portfolio

HOUSE = """
sources: {{UTIL: {{kind: utility}}}}
panels:
  LP-1:
    kind: panelboard
    main: lugs
    fed_from: UTIL
    circuits: {{1: {{device: 20 A, loads: {{FAN: {{kind: motor{load}}}}}}}, 2-4: {{device: 20 A}}}}
{panel}
inspections:
  I-0: {{kind: thermographic survey, of: LP-1, date: 2020-01-01, by: JD}}
{inspections}
"""


def due(
    folder: Path, *inspections: str, panel: str = "", load: str = "", as_of: dt.date = AS_OF
) -> list[Due]:
    """Return what is due, but for the survey that no record names a next day for."""
    lines = "\n".join(f"  I-{n}: {{by: JD, {text}}}" for n, text in enumerate(inspections, 1))
    text = HOUSE.format(panel=panel and f"    {panel}", load=load, inspections=lines)
    buildings = portfolio(folder, text).buildings
    return [d for d in inspections_due(buildings, as_of) if d.inspection != "I-0"]


SHEET = "kind: lockout sheet, of: FAN"


# AS_OF is 2026-11-25; 30 days after it is 2026-12-25.
@pytest.mark.parametrize(
    ("last", "state"),
    [
        ("2025-11-24", "overdue"),
        ("2025-11-25", "due soon"),
        ("2025-12-25", "due soon"),
        ("2025-12-26", "in time"),
    ],
)
def test_a_lockout_sheet_is_due_on_the_anniversary(tmp_path: Path, last: str, state: str) -> None:
    (found,) = due(tmp_path, f"{SHEET}, date: {last}")
    assert found.state == state
    assert found.due == dt.date.fromisoformat(last).replace(year=2026)
    assert found.subjects == ("home:FAN",)


def test_a_later_day_in_the_record_does_not_move_the_rule(tmp_path: Path) -> None:
    (found,) = due(tmp_path, f"{SHEET}, date: 2025-06-01, next_due: 2028-06-01")
    assert (found.due, found.state) == (dt.date(2026, 6, 1), "overdue")
    assert "at least annually" in found.basis


def test_an_earlier_day_in_the_record_holds(tmp_path: Path) -> None:
    (found,) = due(tmp_path, f"{SHEET}, date: 2026-06-01, next_due: 2026-09-01")
    assert (found.due, found.state, found.basis) == (
        dt.date(2026, 9, 1),
        "overdue",
        "as recorded",
    )


def test_only_the_latest_counts_whatever_the_order(tmp_path: Path) -> None:
    (found,) = due(tmp_path, f"{SHEET}, date: 2026-06-01", f"{SHEET}, date: 2024-06-01")
    assert (found.inspection, found.state) == ("I-1", "in time")


def test_what_was_inspected_together_parts_when_one_is_inspected_again(tmp_path: Path) -> None:
    walk = "kind: directory walk-through, next_due: 2026-01-01"
    first, second = due(
        tmp_path,
        f"{walk}, of: [LP-1/1, LP-1/4, FAN], date: 2025-01-01",
        f"{walk}, of: FAN, date: 2025-06-01",
    )
    assert first.subjects == ("home:LP-1/1", "home:LP-1/2-4")
    assert second.subjects == ("home:FAN",)


def test_an_inspection_after_the_day_asked_about_is_not_there_yet(tmp_path: Path) -> None:
    inspections = (f"{SHEET}, date: 2025-06-01", f"{SHEET}, date: 2026-06-01")
    (found,) = due(tmp_path, *inspections, as_of=dt.date(2026, 5, 31))
    assert (found.inspection, found.state) == ("I-1", "due soon")


@pytest.mark.parametrize("kind", ["thermographic survey", "directory walk-through"])
def test_only_the_owner_sets_the_day_of_other_kinds(tmp_path: Path, kind: str) -> None:
    (found,) = due(tmp_path, f"kind: {kind}, of: LP-1, date: 2020-02-01, next_due: 2027-01-01")
    assert found.state == "in time"
    assert due_by(kind, dt.date(2020, 2, 1), None) == (None, "no day is recorded")


def test_a_label_is_due_five_years_after_its_study(tmp_path: Path) -> None:
    (found,) = due(tmp_path, panel="arc_flash: {study_date: 2021-11-24}")
    assert (found.kind, found.due, found.state) == (
        "arc-flash label review",
        dt.date(2026, 11, 24),
        "overdue",
    )
    assert found.inspection is None


def test_a_review_starts_the_five_years_of_a_label_again(tmp_path: Path) -> None:
    review = "kind: arc-flash label review, of: LP-1, date: 2024-05-21"
    (found,) = due(tmp_path, review, panel="arc_flash: {study_date: 2019-05-06}")
    assert (found.inspection, found.due) == ("I-1", dt.date(2029, 5, 21))


def test_the_label_of_a_load_counts_too(tmp_path: Path) -> None:
    (found,) = due(tmp_path, load=", arc_flash: {review_due: 2026-01-01}")
    assert (found.subjects, found.last, found.state) == (("home:FAN",), None, "overdue")
    assert found.where == ("panels", "LP-1", "circuits", "1", "loads", "FAN", "arc_flash")


def test_a_label_without_any_day_says_nothing(tmp_path: Path) -> None:
    assert due(tmp_path, panel="arc_flash: {ppe: gloves}") == []


@pytest.mark.parametrize(
    ("kind", "by", "employees", "same"),
    [
        ("lockout sheet", "JD", ["AB", "jd "], True),
        ("lockout sheet", "JD", ["AB"], False),
        ("lockout sheet", "JD", [], False),
        ("directory walk-through", "JD", ["JD"], False),
    ],
)
def test_who_uses_a_sheet_does_not_inspect_it(
    kind: str, by: str, employees: list[str], same: bool
) -> None:
    record = {"kind": kind, "of": "FAN", "date": "2026-01-01", "by": by, "employees": employees}
    assert inspected_by_user(Inspection.model_validate(record)) is same


def test_the_most_urgent_of_a_building_comes_first(tmp_path: Path) -> None:
    found = tuple(
        due(
            tmp_path,
            "kind: thermographic survey, of: LP-1, date: 2026-01-01",
            f"{SHEET}, date: 2026-06-01",
            "kind: directory walk-through, of: LP-1, date: 2025-01-01, next_due: 2026-01-01",
        )
    )
    ordered = [item.state for item in of_building(found, "home")]
    assert ordered == ["overdue", "in time", "no day recorded"]
    assert of_building(found, "elsewhere") == ()
