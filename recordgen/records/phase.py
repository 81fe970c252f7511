"""Which phase a position of a panelboard stands on."""

from __future__ import annotations

from typing import Literal

Numbering = Literal["odd left", "down the columns"]


def position_phase(
    position: int, phases: int, numbering: Numbering = "odd left", positions: int | None = None
) -> str | None:
    """Return the phase of a position: `A`, `B` or `C`.

    Positions of one row stand on one phase, and the phases follow each other down the rows.

    Parameters
    ----------
    position : int
        Position number, from 1.
    phases : int
        3 for a three-phase bus, 1 for single-phase with two ungrounded conductors (A and B).
    numbering : {"odd left", "down the columns"}
        Odd numbers left and even right, or down the left column and then down the right one.
    positions : int or None
        Number of positions; needed for "down the columns".

    Returns
    -------
    str or None
        None where the phase does not follow from what is given.

    Raises
    ------
    ValueError
        If `position` is less than 1.

    Notes
    -----
    Phase arrangement A, B, C from top to bottom: NEC 408.3(E) (2014 and later; from memory, and
    read on a trade magazine's page). That both positions of a row share a phase, with odd numbers
    left, is common practice. Valid for panelboards; not for assemblies that number devices.

    Examples
    --------
    >>> [position_phase(n, 3) for n in (1, 2, 3, 17, 42)]
    ['A', 'A', 'B', 'C', 'C']
    >>> [position_phase(n, 1) for n in (1, 2, 3, 5)]
    ['A', 'A', 'B', 'A']
    """
    if position < 1:
        raise ValueError(f"position {position}: positions count from 1")
    if numbering == "odd left":
        row = (position - 1) // 2
    elif positions is None:
        return None
    else:
        row = (position - 1) % ((positions + 1) // 2)
    if phases == 3:
        return "ABC"[row % 3]
    return "AB"[row % 2] if phases == 1 else None
