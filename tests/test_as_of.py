"""The date that everything is computed for.

The meaning of SOURCE_DATE_EPOCH is that of the specification at reproducible-builds.org: seconds
since 1970-01-01T00:00:00Z. The two pairs of seconds and date below were made with `date -u -d @N`.
"""

from datetime import UTC, date, datetime, timedelta

import pytest

from recordgen.as_of import as_of_date


def test_the_chosen_date_comes_first() -> None:
    assert as_of_date("2026-02-28", {"SOURCE_DATE_EPOCH": "1767225600"}) == date(2026, 2, 28)


@pytest.mark.parametrize(
    ("epoch", "day"), [("1767225599", date(2025, 12, 31)), ("1767225600", date(2026, 1, 1))]
)
@pytest.mark.parametrize("chosen", [None, ""])
def test_then_source_date_epoch_in_utc(chosen: str | None, epoch: str, day: date) -> None:
    assert as_of_date(chosen, {"SOURCE_DATE_EPOCH": epoch}) == day


def test_then_today() -> None:
    assert abs(as_of_date(None, {}) - datetime.now(UTC).date()) <= timedelta(days=1)


@pytest.mark.parametrize("chosen", ["1 March 2026", "2026-02-30", "20260301", "2026-3-1x"])
def test_another_way_of_writing_a_date_is_refused(chosen: str) -> None:
    with pytest.raises(ValueError, match=f'as-of date "{chosen}": expected YYYY-MM-DD'):
        as_of_date(chosen, {})


@pytest.mark.parametrize("epoch", ["soon", "1e9", "99999999999999999999"])
def test_a_source_date_epoch_that_is_no_number_of_seconds_is_refused(epoch: str) -> None:
    with pytest.raises(ValueError, match="SOURCE_DATE_EPOCH"):
        as_of_date(None, {"SOURCE_DATE_EPOCH": epoch})
