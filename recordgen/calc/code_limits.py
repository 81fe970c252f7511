"""Single figures of the electrical code that no table of it holds, each with its clause."""

from __future__ import annotations

from recordgen.calc.published import rows


def code_limit(limit: str) -> str:
    """Return the value of a limit as the table `code_limits` writes it.

    Parameters
    ----------
    limit : str
        Name in the table; the unit is the last part of it.

    Returns
    -------
    str
        The value.

    Raises
    ------
    KeyError
        There is no such limit.

    Notes
    -----
    The clause of each limit stands beside it in the table. Values from memory.

    Examples
    --------
    >>> code_limit("next_size_up_to_a")
    '800'
    """
    return {row["limit"]: row["value"] for row in rows("code_limits")}[limit]
