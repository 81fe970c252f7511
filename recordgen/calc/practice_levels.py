"""Levels of common practice: from where on something is worth a word."""

from __future__ import annotations

from recordgen.calc.published import rows


def practice_level(level: str) -> float:
    """Return a level, in the unit that the table `practice_levels` gives.

    Parameters
    ----------
    level : str
        Name in the table.

    Returns
    -------
    float
        The value.

    Raises
    ------
    KeyError
        There is no such level.

    Notes
    -----
    No limits of a code: beyond them somebody should look. Each stands with where it comes from.

    Examples
    --------
    >>> practice_level("load unbalance")
    20.0
    """
    return {row["level"]: float(row["value"]) for row in rows("practice_levels")}[level]
