"""Was that meter in calibration: on the day of the page, and on each day that it was used."""

from collections.abc import Mapping

import pytest

from recordgen.pages import instruments
from recordgen.pages.view import View
from tests.network.asking import portfolio
from tests.pages.reading import Element, read

RECORDS = """
instruments:
  M-1: {kind: multimeter, category: CAT III 600 V, calibrated: 2025-10-01, due: 2026-10-01}
  M-2: {kind: multimeter}
  T-9: {kind: tracer}
faults:
  F-1:
    kind: open
    description: dark
    steps:
      - {step: found, date: 2025-09-30, by: JD, instrument: M-1}
      - {step: located, date: 2026-10-01, by: JD, instrument: M-1}
      - {step: repaired, date: 2026-10-02, by: JD, instrument: M-1}
traces:
  TR-1: {date: 2026-03-01, by: JD, purpose: locate an open, instrument: T-9}
  TR-2: {date: 2026-03-02, by: JD, purpose: locate an open}
inspections:
  I-1: {kind: thermographic survey, of: UTIL, date: 2026-05-05, by: JD, instrument: M-2}
sources: {UTIL: {kind: utility}}
"""


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Element:
    (found,) = instruments.pages(View(portfolio(tmp_path_factory.mktemp("meters"), RECORDS)))
    assert found.path == "home/instruments.html"
    return read(found.html)


@pytest.fixture(scope="module")
def rows(page: Element) -> Mapping[str, str]:
    return {row.text.split()[0]: row.text for row in page.all("tr")}


def test_the_state_on_the_day_of_the_page(rows: Mapping[str, str]) -> None:
    # It ran out on 2026-10-01, and the page is of November.
    assert rows["M-1"].startswith("M-1 multimeter CAT III 600 V 2025-10-01 2026-10-01 out of")
    assert "3, 1 out of calibration, 1 not shown" in rows["M-1"]
    assert rows["M-2"] == (
        "M-2 multimeter not recorded not recorded not recorded not shown 1, 1 not shown"
    )
    assert "no calibration expected" in rows["T-9"]


@pytest.mark.parametrize(
    ("day", "said"),
    [
        # Both days of the sticker count; a use before it is not shown to be good, nor bad.
        ("2025-09-30", "fault F-1 not shown"),
        ("2026-10-01", "fault F-1 in calibration"),
        ("2026-10-02", "fault F-1 out of calibration"),
        ("2026-05-05", "inspection I-1 not shown"),
        ("2026-03-01", "trace TR-1 no calibration expected"),
    ],
)
def test_each_day_of_use(rows: Mapping[str, str], day: str, said: str) -> None:
    assert rows[day].startswith(f"{day} {said}")


def test_what_is_late_or_without_an_instrument_is_said(page: Element) -> None:
    (warning,) = page.of_class("rg-warning")
    assert "M-1 (1)" in warning.text
    assert "Instrument not recorded on: TR-2." in page.text
