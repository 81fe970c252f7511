"""What a drawn sheet is made of, in the pixels of its own grid; x to the right, y down."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

LINE_PX: Final = 15.0
"""From one line of text to the next."""
# Of a sans-serif at 12 pixels; the widest of the common ones (from memory of their metrics), so
# that no text reaches further than is counted for it.
_NARROW: Final = frozenset("iljtfrI.,:;|!'()[] -/")
_WIDE: Final = frozenset("mwMW@%&")
_NARROW_PX, _LOWER_PX, _UPPER_PX, _WIDE_PX = 5.2, 7.4, 8.6, 11.4


def text_px(text: str, *, bold: bool = False) -> float:
    """Return how much room a text takes at most [px].

    Examples
    --------
    >>> text_px("LP-1") < text_px("LP-1A")
    True
    """
    width = sum(
        _NARROW_PX
        if c in _NARROW
        else _WIDE_PX
        if c in _WIDE or not c.isascii()
        else _UPPER_PX
        if c.isupper()
        else _LOWER_PX
        for c in text
    )
    return width * (1.08 if bold else 1.0)


@dataclass(frozen=True)
class Box:
    """A rectangle that something covers [px]."""

    left: float
    top: float
    right: float
    bottom: float

    def overlaps(self, other: Box) -> bool:
        """Say whether two rectangles have more than an edge in common."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def moved(self, dx: float, dy: float) -> Box:
        """Return the rectangle moved."""
        return Box(self.left + dx, self.top + dy, self.right + dx, self.bottom + dy)


@dataclass(frozen=True)
class Label:
    """A line of text; `x` is its left end and `y` its base line [px].

    `role` is "name", "switch", "line", "way", "stop" or "sheet"; `tag` is the full tag it links to.
    """

    x: float
    y: float
    text: str
    role: str
    tag: str = ""

    @property
    def box(self) -> Box:
        """What it covers."""
        bold = self.role in ("name", "stop")
        width = text_px(self.text, bold=bold)
        return Box(self.x, self.y - 11, self.x + width, self.y + 3)

    def moved(self, dx: float, dy: float) -> Label:
        """Return the label moved."""
        return replace(self, x=self.x + dx, y=self.y + dy)


@dataclass(frozen=True)
class Sign:
    """A symbol; `x`, `y` is its middle [px], `half` half its width and height."""

    x: float
    y: float
    half: tuple[float, float]
    name: str
    open: bool = False
    tag: str = ""

    @property
    def box(self) -> Box:
        """What it covers."""
        dx, dy = self.half
        return Box(self.x - dx, self.y - dy, self.x + dx, self.y + dy)

    def moved(self, dx: float, dy: float) -> Sign:
        """Return the symbol moved."""
        return replace(self, x=self.x + dx, y=self.y + dy)


@dataclass(frozen=True)
class Wire:
    """A line from point to point [px]; `kind` is "line", "bus" or "across"."""

    points: tuple[tuple[float, float], ...]
    kind: str = "line"

    def moved(self, dx: float, dy: float) -> Wire:
        """Return the line moved."""
        return replace(self, points=tuple((x + dx, y + dy) for x, y in self.points))


@dataclass(frozen=True)
class End:
    """Where a way across leaves the tree: below `x`, `y` its column is free [px]."""

    x: float
    y: float
    key: str

    def moved(self, dx: float, dy: float) -> End:
        """Return the end moved."""
        return replace(self, x=self.x + dx, y=self.y + dy)


@dataclass(frozen=True)
class Drawing:
    """Shapes; `width` and `height` hold all of them [px]."""

    width: float
    height: float
    labels: tuple[Label, ...] = ()
    signs: tuple[Sign, ...] = ()
    wires: tuple[Wire, ...] = ()
    ends: tuple[End, ...] = ()

    def moved(self, dx: float, dy: float) -> Drawing:
        """Return the shapes moved, and room for them."""
        return Drawing(
            self.width + dx,
            self.height + dy,
            tuple(label.moved(dx, dy) for label in self.labels),
            tuple(sign.moved(dx, dy) for sign in self.signs),
            tuple(wire.moved(dx, dy) for wire in self.wires),
            tuple(end.moved(dx, dy) for end in self.ends),
        )
