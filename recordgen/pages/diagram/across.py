"""Lines across the tree: from the column of one end down, along below all between, and up again.

Nothing is crossed but other lines across, and those only at right angles.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from recordgen.pages.diagram.shapes import Box, Drawing, End, Wire

_LANE_PX: Final = 12.0


def with_lines_across(drawing: Drawing) -> Drawing:
    """Return a drawing with every way across drawn of which it holds both ends.

    Parameters
    ----------
    drawing : Drawing
        Of whole trees; the columns below its ends are free.

    Returns
    -------
    Drawing
        Without ends. One whose other end is on another sheet keeps its words.
    """
    by_key: dict[str, list[End]] = {}
    for end in drawing.ends:
        by_key.setdefault(end.key, []).append(end)
    pairs = [sorted(ends, key=lambda end: end.x) for ends in by_key.values() if len(ends) == 2]
    pairs.sort(key=lambda pair: (pair[1].x - pair[0].x, pair[0].x))
    boxes = list(_covered(drawing))
    lanes: list[tuple[float, float, float]] = []
    wires = list(drawing.wires)
    height = drawing.height
    for first, second in pairs:
        lane = _lane(first, second, boxes, lanes)
        lanes.append((first.x, second.x, lane))
        points = ((first.x, first.y), (first.x, lane), (second.x, lane), (second.x, second.y))
        wires.append(Wire(points, "across"))
        height = max(height, lane + _LANE_PX)
    return replace(drawing, wires=tuple(wires), ends=(), height=height)


def _lane(
    first: End,
    second: End,
    boxes: Iterable[Box],
    lanes: Iterable[tuple[float, float, float]],
) -> float:
    """Return the y of the highest free lane between two columns [px]."""
    left, right = first.x - _LANE_PX, second.x + _LANE_PX
    below = [box.bottom for box in boxes if box.left < right and left < box.right]
    lane = max([first.y, second.y, *below]) + _LANE_PX
    taken = sorted(y for a, b, y in lanes if a - _LANE_PX < right and left < b + _LANE_PX)
    for y in taken:
        if abs(y - lane) < _LANE_PX:
            lane = y + _LANE_PX
    return lane


def _covered(drawing: Drawing) -> Iterable[Box]:
    for label in drawing.labels:
        yield label.box
    for sign in drawing.signs:
        yield sign.box
    for wire in drawing.wires:
        xs, ys = zip(*wire.points, strict=True)
        yield Box(min(xs) - 1, min(ys) - 1, max(xs) + 1, max(ys) + 1)
