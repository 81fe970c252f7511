"""What is done once every so many years: when it is due, and whether it is overdue."""

from __future__ import annotations

import datetime as dt


def due_on(last: dt.date, every_years: int) -> dt.date:
    """Return the day by which something periodic is to be done again.

    Parameters
    ----------
    last : date
        The day it was last done.
    every_years : int
        At least once in so many years.

    Returns
    -------
    date
        The anniversary; of a 29 February the 28th, where the year has no 29th: never later.

    Raises
    ------
    ValueError
        Less than one year.

    Notes
    -----
    29 CFR 1910.147(c)(6)(i): energy control procedures are inspected at least annually (read). That
    a year ends on the anniversary is common practice; an owner's rule may ask for less.

    Examples
    --------
    >>> due_on(dt.date(2024, 3, 15), 1)
    datetime.date(2025, 3, 15)
    >>> due_on(dt.date(2024, 2, 29), 1)
    datetime.date(2025, 2, 28)
    """
    if every_years < 1:
        raise ValueError(f"once in {every_years} years cannot be")
    try:
        return last.replace(year=last.year + every_years)
    except ValueError:
        return dt.date(last.year + every_years, 2, 28)


def is_overdue(last: dt.date, every_years: int, on: dt.date) -> bool:
    """Return whether something periodic is overdue on a day.

    Parameters
    ----------
    last : date
        The day it was last done. Never done has no such day, and is the caller's to tell.
    every_years : int
        At least once in so many years.
    on : date
        The day that is asked about.

    Returns
    -------
    bool
        False up to and on the day it is due, True from the day after.

    Raises
    ------
    ValueError
        Less than one year, or a last time after the day asked about.

    Notes
    -----
    As `due_on`.

    Examples
    --------
    >>> is_overdue(dt.date(2024, 3, 15), 1, dt.date(2025, 3, 15))
    False
    >>> is_overdue(dt.date(2024, 3, 15), 1, dt.date(2025, 3, 16))
    True
    """
    if last > on:
        raise ValueError(f"last done on {last}, which is after {on}")
    return on > due_on(last, every_years)
