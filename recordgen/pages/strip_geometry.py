"""Where things stand on the drawing of a run: scale, ticks, and labels that never overlap.

One unit of the drawing is about one pixel on a phone 390 px wide, so that a text 12 units high is
read there as it is. Every place is worked out here; a template only prints it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

WIDTH: Final = 360.0
TEXT_HEIGHT: Final = 14.0
"""Of a line of text, its descenders included."""
# No text is measured here: the widest letters of common sans-serif fonts are allowed for.
_LETTER_WIDTH: Final = 7.4
_APART: Final = 3.0
_MOST_SHIFT: Final = 26.0
_MOST_TICKS: Final = 5
_ROUND: Final = (1.0, 2.0, 5.0, 10.0)


@dataclass(frozen=True)
class Box:
    """A part of the drawing, from its left and upper edge."""

    left: float
    top: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Its right edge."""
        return self.left + self.width

    @property
    def bottom(self) -> float:
        """Its lower edge; y counts downwards."""
        return self.top + self.height

    @property
    def middle(self) -> float:
        """Halfway from left to right."""
        return round(self.left + self.width / 2, 1)

    @property
    def baseline(self) -> float:
        """Where a line of text in it stands."""
        return round(self.top + 11.5, 1)

    def overlaps(self, other: Box) -> bool:
        """Return whether the two share more than an edge."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )


@dataclass(frozen=True)
class Scale:
    """From a distance along the run to a place on the drawing.

    Attributes
    ----------
    low_m, high_m : float
        What the drawing reaches from and to [m]; not the same.
    left, right : float
        Where on the drawing.
    """

    low_m: float
    high_m: float
    left: float
    right: float

    def x(self, at_m: float) -> float:
        """Return the place of a distance, not beyond the ends of the drawing."""
        share = (at_m - self.low_m) / (self.high_m - self.low_m)
        return round(self.left + min(1.0, max(0.0, share)) * (self.right - self.left), 1)


def text_width(text: str) -> float:
    """Return how wide a text may be at most in common fonts, at 12 units of height."""
    return len(text) * _LETTER_WIDTH


def tick_values(low: float, high: float) -> tuple[float, ...]:
    """Return round values within a range, few enough that their labels stay apart.

    Examples
    --------
    >>> tick_values(0, 450)
    (0.0, 100.0, 200.0, 300.0, 400.0)
    """
    wanted = (high - low) / _MOST_TICKS
    power = 10.0 ** math.floor(math.log10(wanted))
    step = next(power * one for one in _ROUND if power * one >= wanted * (1 - 1e-9))
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return tuple(round(count * step, 6) for count in range(first, last + 1))


def rows(extents: Sequence[tuple[float, float]]) -> tuple[int, ...]:
    """Return for each stretch of the drawing the first row in which it is free.

    Examples
    --------
    >>> rows([(0, 50), (40, 90), (60, 100)])
    (0, 1, 0)
    """
    taken: list[list[tuple[float, float]]] = []
    found = []
    for left, right in extents:
        row = next((n for n, row in enumerate(taken) if _free(row, left, right)), len(taken))
        if row == len(taken):
            taken.append([])
        taken[row].append((left, right))
        found.append(row)
    return tuple(found)


def _free(row: Iterable[tuple[float, float]], left: float, right: float) -> bool:
    return all(right + _APART <= there or left >= end + _APART for there, end in row)


def labels_in_rows(
    wanted: Sequence[tuple[float, float]], *, left: float = 0.0, right: float = WIDTH
) -> tuple[tuple[float, int], ...]:
    """Return left edge and row of each label, near the place it belongs to.

    Parameters
    ----------
    wanted : sequence of (float, float)
        Middle and width of each label, in order from left to right.
    left, right : float
        What the labels have to stay within.

    Returns
    -------
    tuple of (float, int)
        In the same order. In a row no two overlap: one that is in the way of the next moves it to
        the right, or where that would lead too far, into another row.

    Examples
    --------
    >>> labels_in_rows([(50, 20), (55, 20), (57, 20), (200, 20)])
    ((40.0, 0), (63.0, 0), (47.0, 1), (190.0, 0))
    """
    ends: list[float] = []
    found = []
    for middle, width in wanted:
        at = max(left, min(middle - width / 2, right - width))
        for row in range(len(ends)):
            free = max(at, ends[row] + _APART)
            if free - at <= _MOST_SHIFT and free + width <= right:
                at = free
                break
        else:
            row = len(ends)
            ends.append(left)
        ends[row] = at + width
        found.append((at, row))
    return tuple(found)


def raised(
    wanted: Sequence[Box], obstacles: Sequence[Box], *, left: float = 0.0, right: float = WIDTH
) -> tuple[Box, ...]:
    """Return the boxes, each moved up as far as needed to stand clear of all others.

    Parameters
    ----------
    wanted : sequence of Box
        Where they would stand if nothing was in the way.
    obstacles : sequence of Box
        What has to be left free, too.
    left, right : float
        What the boxes have to stay within.

    Returns
    -------
    tuple of Box
        In the same order.
    """
    taken = list(obstacles)
    found = []
    for box in wanted:
        at = max(left, min(box.left, right - box.width))
        clear = Box(at, box.top, box.width, box.height)
        while blocking := [one for one in taken if one.overlaps(clear)]:
            top = min(one.top for one in blocking) - box.height - 1
            clear = Box(at, top, box.width, box.height)
        taken.append(clear)
        found.append(clear)
    return tuple(found)


def mark_path(shape: int, x: float, y: float) -> str:
    """Return the outline of one of several marks that can be told without colour."""
    return _SHAPES[shape % len(_SHAPES)].format(x=round(x, 1), y=round(y, 1))


_SHAPES: Final = (
    "M{x} {y}m-4 0a4 4 0 1 0 8 0a4 4 0 1 0 -8 0Z",  # round
    "M{x} {y}m-4 -4h8v8h-8Z",  # square
    "M{x} {y}m0 -5l5 9h-10Z",  # triangle
    "M{x} {y}m0 -5l5 5l-5 5l-5 -5Z",  # diamond
    "M{x} {y}m-1.5 -4.5h3v3h3v3h-3v3h-3v-3h-3v-3h3Z",  # cross
    "M{x} {y}m0 5l5 -9h-10Z",  # triangle on its tip
)
