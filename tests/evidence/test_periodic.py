"""Periods: 29 CFR 1910.147(c)(6)(i) asks for an inspection at least annually."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.evidence.periodic import due_on, is_overdue
from tests.calc.worked_cases import expected, inputs

days = st.dates(dt.date(1990, 1, 1), dt.date(2100, 12, 31))


def test_a_year_and_a_day_is_overdue() -> None:
    # Case D01; on the anniversary itself it is still in time.
    last, on = (dt.date.fromisoformat(inputs("D01")[key]) for key in ("last", "check"))
    assert expected("D01") == "overdue"
    assert is_overdue(last, 1, on)
    assert not is_overdue(last, 1, on - dt.timedelta(days=1))
    assert not is_overdue(last, 3, on)


def test_the_twenty_ninth_of_february() -> None:
    leap = dt.date(2024, 2, 29)
    assert due_on(leap, 1) == dt.date(2025, 2, 28)
    assert due_on(leap, 4) == dt.date(2028, 2, 29)
    assert is_overdue(leap, 1, dt.date(2025, 3, 1))


@given(days, st.integers(1, 20))
def test_the_anniversary_has_the_same_day_and_is_never_later(last: dt.date, years: int) -> None:
    due = due_on(last, years)
    assert (due.year, due.month) == (last.year + years, last.month)
    assert last.day - due.day in (0, 1)
    assert not is_overdue(last, years, due)
    assert is_overdue(last, years, due + dt.timedelta(days=1))


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="once in 0 years"):
        due_on(dt.date(2024, 3, 15), 0)
    with pytest.raises(ValueError, match="after 2024-03-14"):
        is_overdue(dt.date(2024, 3, 15), 1, dt.date(2024, 3, 14))
