"""The one date that everything is computed for; never the clock in the middle of a run."""

from __future__ import annotations

import os
from collections.abc import Mapping
from datetime import UTC, date, datetime


def as_of_date(chosen: str | None = None, environment: Mapping[str, str] = os.environ) -> date:
    """Return the date to compute for: the chosen one, else `SOURCE_DATE_EPOCH`, else today.

    Parameters
    ----------
    chosen : str or None
        What somebody asked for, as `YYYY-MM-DD`; an empty text counts as not asked.
    environment : mapping of str to str
        Where `SOURCE_DATE_EPOCH` (seconds since 1970-01-01 UTC, as agreed by
        reproducible-builds.org) is looked up.

    Raises
    ------
    ValueError
        If the chosen date or `SOURCE_DATE_EPOCH` is written in another way. A wrong date must not
        become today without a word: grades and deadlines would be computed for the wrong day.

    Examples
    --------
    >>> as_of_date("2026-03-01", {"SOURCE_DATE_EPOCH": "0"})
    datetime.date(2026, 3, 1)
    >>> as_of_date(None, {"SOURCE_DATE_EPOCH": "86399"})
    datetime.date(1970, 1, 1)
    """
    if chosen:
        try:
            return datetime.strptime(chosen, "%Y-%m-%d").replace(tzinfo=UTC).date()
        except ValueError:
            raise ValueError(f'as-of date "{chosen}": expected YYYY-MM-DD') from None
    epoch = environment.get("SOURCE_DATE_EPOCH")
    if epoch:
        try:
            return datetime.fromtimestamp(int(epoch), UTC).date()
        except (ValueError, OverflowError, OSError):
            raise ValueError(
                f'SOURCE_DATE_EPOCH "{epoch}": expected seconds since 1970-01-01 UTC'
            ) from None
    # Today as the reader's calendar has it, hence the local zone.
    return datetime.now(UTC).astimezone().date()
