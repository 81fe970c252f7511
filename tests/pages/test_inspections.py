"""Which lockout sheets were inspected this year, what is due and by which rule.

29 CFR 1910.147(c)(6): at least annually, by an authorized employee other than those who use the
sheet. The day of the page is 2026-11-25.
"""

import re

import pytest

from recordgen.pages import inspections, lockout
from recordgen.pages.view import View
from tests.network.asking import portfolio
from tests.pages.reading import Element, read

RECORDS = """
sources: {UTIL: {kind: utility}}
panels:
  LP-1:
    kind: panelboard
    lockable: yes
    main: lugs
    fed_from: UTIL
    circuits: {14: {device: 20 A}, 16: {device: 20 A}, 18: {device: 20 A}, 20: space}
inspections:
  I-1: {kind: lockout sheet, of: LP-1/14, date: 2025-02-01, by: safety, employees: [JD]}
  I-2:
    {kind: lockout sheet, of: LP-1/16, date: 2026-02-01, by: safety, employees: [JD, MK], found: ok}
  I-3: {kind: lockout sheet, of: LP-1, date: 2026-03-01, by: JD, employees: [JD]}
  I-4: {kind: directory walk-through, of: LP-1, date: 2026-03-01, by: JD}
  I-5: {kind: lockout sheet, of: LP-1/18, date: 2027-01-01, by: safety}
"""


@pytest.fixture(scope="module")
def view(tmp_path_factory: pytest.TempPathFactory) -> View:
    return View(portfolio(tmp_path_factory.mktemp("sheets"), RECORDS))


@pytest.fixture(scope="module")
def page(view: View) -> Element:
    (found,) = inspections.pages(view)
    assert found.path == "home/inspections.html"
    return read(found.html)


def rows(page: Element, table: int) -> list[str]:
    return [row.text for row in list(page.all("table"))[table].all("tr")][1:]


def test_the_sheets_of_this_year_come_first(page: Element) -> None:
    # Panel and three circuits; a space has no sheet. I-5 lies in the days to come.
    assert "inspected in 2026: 2 of 4" in page.text
    assert "In 2026: LP-1, LP-1/16." in page.text
    assert "By one who uses it: LP-1;" in page.text


def test_the_sheets_that_never_were(page: Element) -> None:
    assert "No inspection is recorded of 1 sheets" in page.text
    (listed,) = page.all("details")
    assert listed.text == "1 of circuits LP-1/18"


def test_what_is_due_by_which_rule(page: Element) -> None:
    due = rows(page, 0)
    assert due[0].startswith("overdue 2026-02-01 lockout sheet LP-1/14 29 CFR 1910.147(c)(6)(i)")
    assert [re.split(r" \d{4}-", row)[0] for row in due[1:]] == [
        "in time",
        "in time",
        "no day recorded not recorded directory walk-through LP-1 no day is recorded",
    ]


def test_the_years_with_who_and_what(page: Element) -> None:
    assert [e.text for e in page.all("h2")][2:] == ["2027", "2026", "2025"]
    (later,) = rows(page, 1)
    assert "2027-01-01 (later than this page)" in later
    of_2026 = "\n".join(rows(page, 2))
    assert "I-2 2026-02-01 lockout sheet LP-1/16 safety JD, MK ok not recorded" in of_2026
    assert "JD uses the sheet" in of_2026


@pytest.mark.parametrize(
    ("sheet", "said"),
    [
        ("LP-1/14", "2025-02-01, I-1; due again by 2026-02-01 overdue."),
        ("LP-1/16", "2026-02-01, I-2; due again by 2027-02-01."),
        ("LP-1/18", "not recorded. Every sheet is to be inspected at least once a year"),
    ],
)
def test_a_sheet_says_when_it_was_inspected(view: View, sheet: str, said: str) -> None:
    (found,) = (p for p in lockout.pages(view) if p.path == f"home/lockout/{sheet}.html")
    assert f"Last inspection of this sheet recorded: {said}" in read(found.html).text
