"""Every day that the records name, the latest first."""

import datetime as dt
from pathlib import Path

from recordgen.evidence.changes import Change, changes
from tests.network.asking import portfolio

HOUSE = """
sources: {UTIL: {kind: utility}}
instruments: {IT-1: {kind: insulation tester, calibrated: 2026-01-04, due: 2027-01-04}}
panels:
  LP-1:
    kind: panelboard
    main: 100 A
    fed_from: UTIL
    changed: 2026-01-02
    recorded_demand: {demand: 20 kVA, first_day: 2025-11-01, last_day: 2025-12-01}
    temporary_feeds:
      - {fed_from: UTIL, since: 2026-01-05, until: 2026-02-05, by: M.K., reason: repair}
    arc_flash: {study_date: 2025-05-02}
    recorded_fault: {current: 5 kA, date: 2025-05-03, by: engineer}
    circuits:
      1:
        device: 20 A
        changed: 2026-01-03
        lock_in_force: {since: 2026-03-01, by: R.T., reason: no guard}
        present: {position: open, since: 2026-03-02}
        neutral_checked: {date: 2026-03-03, by: R.T., found: own neutral}
        loads: {R-1: {kind: receptacle, changed: 2026-03-04}}
      3: {device: 20 A}
equipment:
  T-1: {kind: transformer, fed_from: LP-1/3, changed: 2026-03-05}
traces:
  TR-1:
    date: 2026-04-01
    by: R.T.
    purpose: identify the breaker
    load: R-1
    concluded_circuit: LP-1/1
    conclusion: clear
faults:
  F-1:
    kind: open
    circuit: LP-1/1
    description: dead
    steps:
      - {step: found, date: 2026-04-02, by: R.T., what: no voltage}
      - {step: made safe, date: 2026-04-03, by: M.K.}
inspections:
  IN-1: {kind: directory walk-through, of: LP-1, date: 2026-04-04, by: M.K.}
"""

EXPECTED = [
    ("2026-04-04", "inspections", "IN-1", "directory walk-through", "M.K.", "LP-1"),
    ("2026-04-03", "faults", "F-1", "open made safe", "M.K.", "LP-1/1"),
    ("2026-04-02", "faults", "F-1", "open found: no voltage", "R.T.", "LP-1/1"),
    ("2026-04-01", "traces", "TR-1", "trace to identify the breaker: clear", "R.T.", "LP-1/1 R-1"),
    ("2026-03-05", "equipment", "T-1", "equipment changed", "", "T-1"),
    ("2026-03-04", "panels", "LP-1", "load changed", "", "R-1"),
    ("2026-03-03", "panels", "LP-1", "neutral looked for: own neutral", "R.T.", "LP-1/1"),
    ("2026-03-02", "panels", "LP-1", "put to open", "", "LP-1/1"),
    ("2026-03-01", "panels", "LP-1", "locked: no guard", "R.T.", "LP-1/1"),
    (
        "2026-01-05",
        "panels",
        "LP-1",
        "temporary feed from UTIL until 2026-02-05: repair",
        "M.K.",
        "LP-1",
    ),
    ("2026-01-04", "instruments", "IT-1", "insulation tester calibrated", "", ""),
    ("2026-01-03", "panels", "LP-1", "circuit changed", "", "LP-1/1"),
    ("2026-01-02", "panels", "LP-1", "panel changed", "", "LP-1"),
    ("2025-12-01", "panels", "LP-1", "demand of 20 kVA recorded to this day", "", "LP-1"),
    ("2025-05-03", "panels", "LP-1", "fault current of 5 kA recorded", "engineer", "LP-1"),
    ("2025-05-02", "panels", "LP-1", "arc-flash study of its label", "", "LP-1"),
]


def as_row(change: Change) -> tuple[str, ...]:
    about = " ".join(tag.removeprefix("home:") for tag in change.about)
    return (str(change.date), change.section, change.record, change.what, change.by, about)


def test_every_day_that_is_recorded_the_latest_first(tmp_path: Path) -> None:
    assert [as_row(c) for c in changes(portfolio(tmp_path, HOUSE).buildings)] == EXPECTED


def test_the_place_of_each_is_that_of_its_day(tmp_path: Path) -> None:
    loaded = portfolio(tmp_path, HOUSE).buildings["home"]
    lines = ("building: {name: House}\n" + HOUSE).splitlines()
    for change in changes({"home": loaded}):
        place = loaded.where(*change.where)
        key = {"faults": "step", "instruments": "calibrated"}.get(change.section, "")
        assert key in lines[place.line - 1]
        near = "\n".join(lines[place.line - 1 : place.line + 6])
        assert str(change.date) in near, change


def test_an_undated_record_gives_no_change(tmp_path: Path) -> None:
    text = "sources: {UTIL: {kind: utility}}\nloads: {R-1: {kind: receptacle, fed_from: UTIL}}\n"
    assert changes(portfolio(tmp_path, text).buildings) == ()


def test_later_than_the_day_of_the_page_is_told_too(tmp_path: Path) -> None:
    text = HOUSE.replace("2026-04-04", "2031-04-04")
    assert changes(portfolio(tmp_path, text).buildings)[0].date == dt.date(2031, 4, 4)
