"""Category totals: the connected loads of a panel or feeder, sorted by demand category."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import isfinite
from typing import Literal, get_args

Category = Literal[
    "lighting",
    "receptacle",
    "kitchen",
    "range",
    "dryer",
    "appliance",
    "motor",
    "cooling",
    "heating",
    "vehicle charging",
    "other",
]


@dataclass(frozen=True)
class CategoryTotal:
    """All loads of one category on a panel or feeder.

    Attributes
    ----------
    category : Category
        `kitchen` is equipment of kitchens other than in dwellings; `range`, `dryer` and `appliance`
        (fastened in place) have factors in dwellings only; `motor` is all that motors drive but
        cooling: pumps, fans, elevators; `heating` is fixed electric space heating.
    pieces_va : tuple of float
        The connected load of each piece [VA].
    continuous_va : float
        How much of their sum runs three hours or more [VA]. Where that is not recorded, counting
        it in is the safe side; the caller says what was done.
    not_recorded : int
        How many more pieces there are whose load is not recorded.

    Raises
    ------
    ValueError
        There is no such category, or a load is below zero, or more is continuous than connected.
    """

    category: Category
    pieces_va: tuple[float, ...]
    continuous_va: float
    not_recorded: int

    def __post_init__(self) -> None:
        if self.category not in get_args(Category):
            raise ValueError(f'"{self.category}" is no category of loads')
        if any(not isfinite(va) or va < 0 for va in self.pieces_va) or self.not_recorded < 0:
            raise ValueError(f"{self.category}: loads are zero or more")
        # Sums of the same numbers in another order differ in their last digits.
        if not 0 <= self.continuous_va <= self.connected_va * (1 + 1e-9):
            raise ValueError(f"{self.category}: more is continuous than connected")

    @property
    def connected_va(self) -> float:
        """The sum of the pieces [VA]."""
        return sum(self.pieces_va)


def totals_together(totals: Iterable[CategoryTotal]) -> dict[Category, CategoryTotal]:
    """Return one total a category, with the pieces of all that were given.

    Parameters
    ----------
    totals : iterable of CategoryTotal
        Loads of one panel or of several [VA].

    Returns
    -------
    dict
        Category → its total, in order of the categories.

    Notes
    -----
    NEC 220.40: the load of a feeder is worked out from the loads of its branch circuits (from
    memory). Hence pieces are put together, and demands never added up.

    Examples
    --------
    >>> panels = [
    ...     CategoryTotal("motor", (5_000,), 0, 0),
    ...     CategoryTotal("lighting", (800,), 800, 0),
    ...     CategoryTotal("motor", (2_000,), 0, 1),
    ... ]
    >>> list(totals_together(panels))
    ['lighting', 'motor']
    >>> totals_together(panels)["motor"].connected_va
    7000
    """
    merged: dict[Category, list[CategoryTotal]] = {}
    for total in totals:
        merged.setdefault(total.category, []).append(total)
    return {
        category: CategoryTotal(
            category,
            tuple(va for total in merged[category] for va in total.pieces_va),
            sum(total.continuous_va for total in merged[category]),
            sum(total.not_recorded for total in merged[category]),
        )
        for category in get_args(Category)
        if category in merged
    }
