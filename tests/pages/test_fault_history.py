"""The fault history: tables by year, figures, and the lists to take away."""

import csv
import io
from pathlib import Path
from typing import get_args

import pytest

from recordgen.pages import faults
from recordgen.pages.page import Page
from recordgen.records.field import FaultStep
from tests.pages.fault_house import HOUSE, house
from tests.pages.reading import Element, read

Row = dict[str, str]


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Page]:
    view = house(tmp_path_factory.mktemp("history"))
    return {page.path: page for page in faults.pages(view)}


@pytest.fixture(scope="module")
def home(pages: dict[str, Page]) -> Element:
    return read(pages["home/faults.html"].html)


def table(document: Element) -> dict[str, list[str]]:
    """Return fault → the cells of its row after the first."""
    found = {}
    for row in document.all("tr"):
        if "data-fault" in row.attributes:
            head, *cells = row.all("th", "td")
            found[next(head.all("a")).text] = [cell.text for cell in cells]
    return found


def lists(page: Page) -> dict[str, list[Row]]:
    """Return file name → its rows, column → cell."""
    return {
        file.path: list(csv.DictReader(io.StringIO(file.text.removeprefix("\ufeff"), newline="")))
        for file in page.files
    }


def test_there_is_one_for_each_building_and_one_for_all(pages: dict[str, Page]) -> None:
    assert list(pages) == ["home/faults.html", "shed/faults.html", "faults.html"]


def test_years_stand_latest_first_and_unknown_days_last(home: Element) -> None:
    years = [
        (heading.text, list(table(year)))
        for year in home.of_class("rg-year")
        for heading in year.all("h3")
    ]
    assert years == [
        ("2026", ["F-2", "F-1"]),
        ("2025", ["F-3", "F-5"]),
        ("Day not recorded", ["F-4"]),
    ]


def test_a_row_says_when_and_by_whom(home: Element) -> None:
    assert table(home)["F-1"] == [
        "LP-1/1 room R1",
        "2026-03-01 JD",
        "2026-03-02 AB",
        "2026-03-03 JD",
        "2026-03-05 AB",
        "2026-03-05 JD",
        "2026-03-11 JD",
        "closed 10 d",
        # The voltmeter is not named; the insulation tester was due the day before the retest.
        "instrument not recorded; out of calibration",
    ]


def test_a_missing_step_is_a_gap_and_a_later_one_is_not_recorded(home: Element) -> None:
    assert table(home)["F-2"] == [
        "LP-1/1 room not recorded",
        "2026-06-01 JD",
        "gap not recorded",
        "gap not recorded",
        "2026-06-09 AB",
        "not recorded",
        "not recorded",
        # To 25 November: 177 days.
        "open, repaired 177 d",
        "made safe, located",
    ]


def test_days_that_cannot_be_counted_are_not_recorded(home: Element) -> None:
    assert table(home)["F-4"][-2] == "open, no step recorded days not recorded"


def test_several_steps_of_one_kind_all_stand(tmp_path: Path) -> None:
    again = "      - {step: repaired, date: 2026-07-01, by: CD}\n"
    records = HOUSE.replace("date: 2026-06-09, by: AB}\n", f"date: 2026-06-09, by: AB}}\n{again}")
    page = next(iter(faults.pages(house(tmp_path, records))))
    assert table(read(page.html))["F-2"][4] == "2026-06-09 AB 2026-07-01 CD"
    (row,) = [r for r in lists(page)["home/faults.csv"] if r["fault"] == "F-2"]
    assert (row["repaired_date"], row["repaired_by"]) == ("2026-06-09; 2026-07-01", "AB; CD")


def test_figures_say_what_is_counted_and_what_is_left_out(home: Element) -> None:
    said = home.text
    assert "Open now 4 of 5" in said
    # F-5, found 2025-01-02, is 692 days old on 2026-11-25.
    assert "Oldest open F-5, 692 days calculated; of 1 more open the day of finding" in said
    # F-1 took 4 days and F-2 took 8.
    assert "Mean time to repair 6 days calculated" in said
    assert (
        "Mean of 2 faults, from the day found to the last repair; the longest took 8 days" in said
    )
    assert "Not in it: 2 faults found and not recorded as repaired" in said
    assert "1 fault whose days do not tell" in said


def test_what_came_back_is_named(home: Element) -> None:
    assert (
        "ground fault on LP-1/1, 2 times: F-1, F-2; shortest time from one to the next 92 days"
        in (home.text)
    )
    assert "1 fault names no circuit and cannot be counted here." in home.text


def test_the_whole_history_holds_every_building(pages: dict[str, Page]) -> None:
    found = table(read(pages["faults.html"].html))
    assert set(found) == {*(f"home:F-{n}" for n in range(1, 6)), "shed:S-1"}
    assert found["shed:S-1"][0].startswith("home:LP-1/2")


def test_the_filter_is_hidden_until_its_script_runs(home: Element) -> None:
    (form,) = home.all("form")
    assert "hidden" in form.attributes
    assert len(table(home)) == 5


def test_no_fault_is_said_and_not_left_empty(tmp_path: Path) -> None:
    view = house(tmp_path, HOUSE, shed="rooms: {A: }\n")
    page = {p.path: p for p in faults.pages(view)}["shed/faults.html"]
    document = read(page.html)
    assert "0 faults recorded" in document.text
    assert "None recorded." in document.text
    assert "Oldest open none is open" in document.text
    assert "Mean time to repair does not follow" in document.text
    assert list(lists(page).values()) == [[], []]


def test_the_list_of_faults_has_a_row_for_each(pages: dict[str, Page]) -> None:
    rows = lists(pages["home/faults.html"])["home/faults.csv"]
    assert [row["fault"] for row in rows] == ["F-1", "F-2", "F-3", "F-4", "F-5"]
    first, second, third, fourth, _ = rows
    assert first["days_open_d_calculated"] == "10"
    assert (first["open"], second["open"]) == ("no", "yes")
    assert second["missing_steps"] == "made safe; located"
    assert first["missing_steps"] == "none"
    assert "IT was out of calibration on 2026-03-05" in first["what_does_not_fit"]
    assert third["circuit"] == fourth["found_date"] == fourth["days_open_d_calculated"]
    assert third["circuit"] == "not recorded"
    for step in get_args(FaultStep):
        name = step.replace(" ", "_")
        assert {f"{name}_date", f"{name}_by"} <= set(first)
    assert first["photos"] == "fan-1.jpg; fan-2.jpg"
    assert first["record"].startswith("buildings/home/records.yaml:")
    assert {row["as_of"] for row in rows} == {"2026-11-25"}


def test_no_cell_of_a_list_is_a_formula(pages: dict[str, Page]) -> None:
    (first, *_, fourth, _) = lists(pages["home/faults.html"])["home/faults.csv"]
    assert first["notes"] == "'=see the file"
    assert fourth["description"] == "'+cmd|' /C calc'!A0"


def test_the_list_of_steps_has_a_row_for_each_value_and_each_gap(pages: dict[str, Page]) -> None:
    rows = lists(pages["home/faults.html"])["home/fault-steps.csv"]
    first = [row for row in rows if row["fault"] == "F-1"]
    assert [row["step"] for row in first] == [
        *("found", "made safe", "located", "repaired", "retested", "retested", "closed")
    ]
    found, *_, resistance, voltage, _ = first
    assert found["calibration_that_day_calculated"] == "in calibration on 2026-03-01"
    assert resistance["value_as_written"] == "40 Mohm"
    assert float(resistance["insulation_resistance_megohm"]) == 40
    # Halves for each 10 °C of warming (common practice).
    assert float(resistance["insulation_resistance_megohm_at_20_degC_calculated"]) == 80
    assert float(resistance["temperature_degC"]) == 30
    assert resistance["instrument_serial"] == "S-9"
    assert resistance["calibration_that_day_calculated"].startswith("out of calibration on")
    assert voltage["insulation_resistance_megohm"] == ""
    assert voltage["instrument"] == voltage["between"] == "not recorded"
    gaps = [row for row in rows if row["gap"] == "yes"]
    assert [(row["fault"], row["step"], row["date"]) for row in gaps if row["fault"] == "F-2"] == [
        ("F-2", "made safe", "not recorded"),
        ("F-2", "located", "not recorded"),
    ]


def test_the_lists_change_the_revision(tmp_path: Path, pages: dict[str, Page]) -> None:
    """The serial of an instrument stands in a list alone."""
    other = HOUSE.replace("serial: S-9", "serial: S-8")
    changed = next(iter(faults.pages(house(tmp_path, other))))
    assert changed.revision != pages["home/faults.html"].revision
