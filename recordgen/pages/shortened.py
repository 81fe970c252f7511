"""Long lists cut to what can be read, with an honest count of the rest."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import islice
from typing import Generic, TypeVar

Item = TypeVar("Item")


@dataclass(frozen=True)
class Shortened(Generic[Item]):
    """The first items of a list, and how many more there are."""

    items: tuple[Item, ...]
    more: int

    @property
    def rest(self) -> str:
        """The rest in words: `and 212 more`; empty where all are shown."""
        return f"and {self.more} more" if self.more else ""

    def __bool__(self) -> bool:
        """Whether there is anything at all."""
        return bool(self.items)


def shortened(items: Iterable[Item], count: int, limit: int) -> Shortened[Item]:
    """Return the first `limit` of `count` items; one more than that is shown too.

    A line that says "and 1 more" would take the place of the item itself.

    Examples
    --------
    >>> shortened("abcdef", 6, 3)
    Shortened(items=('a', 'b', 'c'), more=3)
    >>> shortened("abcd", 4, 3).rest
    ''
    """
    shown = count if count <= limit + 1 else limit
    return Shortened(tuple(islice(items, shown)), count - shown)
