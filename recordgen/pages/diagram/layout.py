"""From a tree of nodes to shapes: buses lie, drops hang, and every subtree has columns of its own.

A subtree is drawn as a block, and blocks stand side by side below the bus that feeds them, so that
nothing of one can touch the other. Text stands to the right of the line it belongs to. The end of a
way across has a column that nothing stands in below it: lines across run down there, along below
everything between, and up again (`across.py`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

from recordgen.pages.diagram.parts import Node, Switch, Way
from recordgen.pages.diagram.shapes import (
    LINE_PX,
    Drawing,
    End,
    Label,
    Sign,
    Wire,
    text_px,
)

_GAP_PX: Final = 12.0
_DROP_PX: Final = 10.0
_SWITCH_HALF: Final = (7.0, 11.0)
_BESIDE_PX: Final = 9.0
"""From a line to the text beside it."""
_FARTHEST_PX: Final = 180.0
"""From the first thing on a bus to the line that feeds it: a phone shows both without scrolling."""
_SIDE_PX: Final = 14.0
"""Least from the left edge of a block to its line: half the widest symbol."""
_HALF: Final = {
    "transformer": (12.0, 18.0),
    "junction box": (5.0, 5.0),
    "load": (7.0, 9.0),
    "motor": (11.0, 11.0),
    "disconnect": _SWITCH_HALF,
    "utility": (13.0, 13.0),
    "generator": (13.0, 13.0),
}
_HALF_OF_OTHERS: Final = (13.0, 13.0)
TOP: Final = frozenset(
    {"utility", "generator", "photovoltaic", "battery storage", "generator inlet"}
)
"""Symbols of what power comes from: nothing above them."""


@dataclass(frozen=True)
class Block:
    """A drawn subtree, from its own left and top edge; `entry` is the x of its line at the top."""

    entry: float
    drawing: Drawing


@dataclass
class _Pen:
    """Collects shapes along a line at x = 0 that leads down; they are moved when it is known."""

    y: float = 0.0
    left: float = _SIDE_PX
    right: float = _SIDE_PX
    labels: list[Label] = field(default_factory=list)
    signs: list[Sign] = field(default_factory=list)
    wires: list[Wire] = field(default_factory=list)
    ends: list[End] = field(default_factory=list)

    def down(self, px: float) -> None:
        """Draw the line on."""
        if px > 0:
            self.wires.append(Wire(((0.0, self.y), (0.0, self.y + px))))
            self.y += px

    def sign(self, name: str, half: tuple[float, float], tag: str, *, is_open: bool) -> float:
        """Draw a symbol in the line; return the y of its middle."""
        middle = self.y + half[1]
        self.signs.append(Sign(0.0, middle, half, name, is_open, tag))
        self.left = max(self.left, half[0])
        self.right = max(self.right, half[0])
        self.y += 2 * half[1]
        return middle

    def text(self, rows: Sequence[tuple[str, str, str]], top: float, away: float) -> float:
        """Write rows of (text, role, tag) beside the line; return the y below them."""
        for index, (text, role, tag) in enumerate(rows):
            label = Label(away, top + 11 + index * LINE_PX, text, role, tag)
            self.labels.append(label)
            self.right = max(self.right, label.box.right + 2)
        return top + len(rows) * LINE_PX


def block(node: Node) -> Block:
    """Return a node and all that hangs on it, drawn.

    Parameters
    ----------
    node : Node

    Returns
    -------
    Block
    """
    pen = _Pen()
    if node.symbol not in TOP or node.switches:
        pen.down(_DROP_PX)
    for switch in node.switches:
        _draw_switch(pen, switch)
    if node.symbol == "way":
        return _way_end(pen, node)
    below = [block(child) for child in node.children]
    return _bus(pen, node, below) if node.symbol == "bus" else _thing(pen, node, below)


def _draw_switch(pen: _Pen, switch: Switch) -> None:
    rows = [(switch.name, "switch", switch.tag)]
    rows += [(line, "line", "") for line in switch.lines]
    if switch.open:
        rows.append(("normally open", "line", ""))
    if switch.remark:
        rows.append((switch.remark, "stop", ""))
    top = pen.y
    pen.sign(switch.symbol, _SWITCH_HALF, switch.tag, is_open=switch.open)
    bottom = pen.text(rows, top, _SWITCH_HALF[0] + _BESIDE_PX)
    pen.down(max(bottom - pen.y, 0) + _DROP_PX)


def _rows(node: Node) -> list[tuple[str, str, str]]:
    rows = [("STOP", "stop", "")] if node.stop else []
    if node.name:
        rows.append((node.name, "name", node.tag))
    rows += [(line, "line", "") for line in node.lines]
    if node.sheet:
        rows.append(("goes on below", "sheet", node.sheet))
    return rows


def _way_end(pen: _Pen, node: Node) -> Block:
    way = node.ways[0]
    top = pen.y
    bottom = pen.text([(line, "way", way.other) for line in way.lines], top, _BESIDE_PX)
    pen.down(bottom - pen.y + 4)
    pen.ends.append(End(0.0, pen.y, way.key))
    return _closed(pen, [], ())


def _bus(pen: _Pen, node: Node, below: list[Block]) -> Block:
    bottom = pen.text(_rows(node), pen.y, _BESIDE_PX)
    pen.down(bottom - pen.y + 5)
    return _closed(pen, below, node.ways, bus=True)


def _thing(pen: _Pen, node: Node, below: list[Block]) -> Block:
    """Draw a node that is no bus: its symbol in the line, and its text beside or below it."""
    half = _HALF.get(node.symbol, _HALF_OF_OTHERS)
    top = pen.y
    middle = pen.sign(node.symbol, half, node.tag, is_open=False)
    if node.ways:
        # The line to its side runs where the text would stand.
        bottom = pen.text(_rows(node), pen.y + 2, _BESIDE_PX)
    else:
        rows = _rows(node)
        start = max(top, middle - len(rows) * LINE_PX / 2)
        bottom = pen.text(rows, start, half[0] + _BESIDE_PX)
    if below:
        pen.down(max(bottom - pen.y, 0) + 4)
    else:
        pen.y = max(pen.y, bottom)
    return _closed(pen, below, node.ways, side=(half[0], middle))


def _closed(
    pen: _Pen,
    below: list[Block],
    ways: Sequence[Way],
    *,
    bus: bool = False,
    side: tuple[float, float] | None = None,
) -> Block:
    """Set what hangs below side by side, with columns for the ways, and join all to the line."""
    x, bottom = 0.0, pen.y
    placed: list[tuple[float, Block]] = []
    for each in below:
        placed.append((x, each))
        x += each.drawing.width + _GAP_PX
        bottom = max(bottom, pen.y + each.drawing.height)
    entries = [left + each.entry for left, each in placed]
    below_px = x - _GAP_PX if placed else 0.0
    middle = min((entries[0] + entries[-1]) / 2, entries[0] + _FARTHEST_PX) if entries else 0.0
    # With one thing below, the line runs straight through.
    entry = max(middle, pen.left)
    shift = entry - middle if entries else 0.0
    across = max(below_px + shift, entry + pen.right)
    slots: list[tuple[float, Way]] = []
    for way in ways:
        # Beyond all that hangs below: the column under it stays free.
        across += _SIDE_PX
        slots.append((across, way))
        across += _BESIDE_PX + max(map(text_px, way.lines)) + 2
    labels, signs, wires, ends = list(pen.labels), list(pen.signs), list(pen.wires), list(pen.ends)
    own = Drawing(0, 0, tuple(labels), tuple(signs), tuple(wires), tuple(ends)).moved(entry, 0)
    labels, signs = list(own.labels), list(own.signs)
    wires, ends = list(own.wires), list(own.ends)
    joined = [entry, *(shift + one for one in entries)]
    if bus:
        reach = [*joined, *(slot[0] for slot in slots)]
        wires.append(Wire(((min(reach) - 10, pen.y), (max(reach) + 10, pen.y)), "bus"))
        bottom = max(bottom, pen.y + 4)
    elif len(entries) > 1:
        wires.append(Wire(((min(joined), pen.y), (max(joined), pen.y))))
    for number, (slot_x, way) in enumerate(slots):
        start = pen.y
        if side is not None:
            # The farthest leaves highest, so that it passes over the nearer ones.
            start = side[1] + side[0] * (1 - 2 * (number + 1) / (len(slots) + 1))
            wires.append(Wire(((entry + side[0], start), (slot_x, start)), "across"))
        for index, line in enumerate(way.lines):
            y = start + 18 + index * LINE_PX
            labels.append(Label(slot_x + _BESIDE_PX, y, line, "way", way.other))
        foot = start + 12 + len(way.lines) * LINE_PX
        wires.append(Wire(((slot_x, start), (slot_x, foot)), "across"))
        ends.append(End(slot_x, foot, way.key))
        bottom = max(bottom, foot + 2)
    for left, each in placed:
        moved = each.drawing.moved(left + shift, pen.y)
        labels += moved.labels
        signs += moved.signs
        wires += moved.wires
        ends += moved.ends
    drawing = Drawing(
        max(across, entry + pen.right) + (10 if bus else 0),
        bottom,
        tuple(labels),
        tuple(signs),
        tuple(wires),
        tuple(ends),
    )
    return Block(entry, drawing)
