"""The auditor's first page: it counts what the records hold, and each line has its place."""

import datetime as dt
import re
from pathlib import Path

from recordgen.pages import audit, paths
from recordgen.pages.page import Page
from recordgen.pages.view import View
from recordgen.portfolio import Portfolio
from tests.network.asking import portfolio
from tests.pages.reading import read

HOUSE = """
sources: {UTIL: {kind: utility}}
instruments:
  IT-1: {kind: insulation tester, calibrated: 2024-01-04, due: 2025-01-04}
  IT-2: {kind: insulation tester, calibrated: 2026-01-04, due: 2027-01-04}
panels:
  LP-1:
    kind: panelboard
    main: lugs
    fed_from: UTIL
    circuits:
      1: {device: 20 A, loads: {R-1: {kind: receptacle}, R-2: {kind: receptacle}}}
      3: {device: 20 A, loads: unknown}
traces:
  TR-1: {date: 2026-04-01, by: R.T., purpose: identify the breaker, load: R-1, concluded_circuit: LP-1/1, confirmed_by_opening: yes}
  TR-9: {date: 2027-04-01, by: R.T., purpose: identify the breaker, load: R-2, concluded_circuit: LP-1/1, confirmed_by_opening: yes}
faults:
  F-1:
    kind: ground fault
    circuit: LP-1/1
    description: trips
    steps:
      - {step: found, date: 2026-11-15, by: R.T., measured: {quantity: insulation resistance, value: 1 Mohm, instrument: IT-1}}
  F-2:
    kind: open
    circuit: LP-1/3
    description: dead
    steps: [{step: made safe, date: 2026-11-20, by: R.T.}]
  F-3:
    kind: open
    description: was dead
    steps: [{step: found, date: 2026-01-15, by: R.T.}, {step: closed, date: 2026-01-16, by: R.T.}]
inspections:
  IN-1: {kind: lockout sheet, of: LP-1/1, date: 2025-01-15, by: safety lead}
  IN-2: {kind: thermographic survey, of: LP-1, date: 2026-11-01, by: M.K., next_due: 2027-11-01, instrument: IT-2}
"""  # noqa: E501 - records as people write them


def made(found: Portfolio) -> dict[str, Page]:
    return {page.path: page for page in audit.pages(View(found))}


def text_of(page: Page) -> str:
    return re.sub(r"\s+", " ", read(page.html).text)


def section(text: str, start: str, end: str) -> str:
    return text[text.index(start, text.index("Findings")) :].split(end)[0]


def test_every_building_and_the_portfolio_have_one(tmp_path: Path) -> None:
    pages = made(portfolio(tmp_path, HOUSE, annex="sources: {U: {kind: utility}}\n"))
    assert set(pages) == {paths.ALL_AUDIT, "home/audit.html", "annex/audit.html"}


def test_figures_lead_and_are_those_of_the_records(tmp_path: Path) -> None:
    text = text_of(made(portfolio(tmp_path, HOUSE))["home/audit.html"])
    head = text[: text.index("Findings")]
    for figure in (
        "Overdue inspections 1",
        "Uses out of calibration 1",
        "Open faults 2, the oldest 10 d",
        "Loads verified 50 %",
        "STOP 1",
    ):
        assert figure in head


def test_a_fault_whose_age_is_unknown_stands_before_the_oldest(tmp_path: Path) -> None:
    text = text_of(made(portfolio(tmp_path, HOUSE))["home/audit.html"])
    faults = section(text, "Open faults, the oldest first", "What changed")
    assert faults.index("F-2") < faults.index("F-1")
    assert "F-3" not in faults
    assert "not recorded" in faults[: faults.index("F-1")]


def test_overdue_and_out_of_calibration_say_why_and_where(tmp_path: Path) -> None:
    text = text_of(made(portfolio(tmp_path, HOUSE))["home/audit.html"])
    due = section(text, "Overdue and due", "Instruments out of calibration")
    assert "2026-01-15 (314 d late)" in due
    assert "29 CFR 1910.147(c)(6)(i)" in due
    assert "IN-2" not in due
    assert "thermographic" not in due
    used = section(text, "Instruments out of calibration", "Open faults")
    assert "IT-1" in used
    assert "IT-2" not in used
    assert re.search(r"records\.yaml:\d+:\d+", used)


def test_what_is_dated_later_than_the_page_is_told_first(tmp_path: Path) -> None:
    text = text_of(made(portfolio(tmp_path, HOUSE))["home/audit.html"])
    changed = text[text.rindex("What changed") :]
    assert changed.index("Dated after 2026-11-25") < changed.index("TR-9")
    assert changed.index("TR-9") < changed.index("From 2025-11-25 to 2026-11-25")
    recent = changed[changed.index("From 2025-11-25") :]
    assert "TR-9" not in recent
    assert "2026-11: 3 entries" in recent
    assert "2025-01-15" not in recent


def test_every_stop_of_the_demo_stands_on_the_page_of_all_buildings(demo: Portfolio) -> None:
    text = text_of(made(demo)[paths.ALL_AUDIT])
    stops = [problem for problem in demo.problems if problem.severity == "stop"]
    assert stops
    for problem in stops:
        assert str(problem.location) in text


def test_the_29th_of_february_has_a_year_before(tmp_path: Path) -> None:
    found = portfolio(tmp_path, HOUSE)
    found.as_of = dt.date(2028, 2, 29)
    assert "From 2027-02-28 to 2028-02-29" in text_of(made(found)["home/audit.html"])
