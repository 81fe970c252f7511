"""Which sheets a diagram takes: what would not fit on one goes on on another, by level."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from recordgen.pages.diagram.across import with_lines_across
from recordgen.pages.diagram.layout import block
from recordgen.pages.diagram.parts import Node
from recordgen.pages.diagram.shapes import Drawing

SCREEN_PX: Final = 2400.0
"""So wide a sheet may be where it can be scrolled: the whole distribution is better in one."""
PAPER_PX: Final = 1240.0
"""A sheet this wide prints across a page of Letter or A4 with text of 7 points or more."""
_BETWEEN_PX: Final = 30.0


@dataclass(frozen=True)
class Sheet:
    """One drawing of a diagram.

    Attributes
    ----------
    tag : str
        Full tag of what it begins with; empty for the first.
    part, parts : int
        Of how many sheets that begin with it, this is the n-th; 1 of 1 mostly.
    trees : tuple of Node
    drawing : Drawing
    """

    tag: str
    part: int
    parts: int
    trees: tuple[Node, ...]
    drawing: Drawing


def sheets(roots: Sequence[Node], widest_px: float) -> tuple[Sheet, ...]:
    """Return the sheets of a diagram, those that others lead to after them.

    Parameters
    ----------
    roots : sequence of Node
        Trees from sources down.
    widest_px : float
        What a sheet should not be wider than [px]: `SCREEN_PX` or `PAPER_PX`.

    Returns
    -------
    tuple of Sheet
        The first shows all sources. Where a bus has more on it than fits, it is drawn again on
        the next sheet, with the rest.
    """
    if not roots:
        return ()
    found: list[Sheet] = []
    waiting: list[tuple[str, tuple[Node, ...]]] = [("", tuple(roots))]
    while waiting:
        tag, trees = waiting.pop(0)
        folded, hidden = _fitted(trees, widest_px)
        chunks = _chunks(folded, widest_px)
        for number, chunk in enumerate(chunks, 1):
            found.append(Sheet(tag, number, len(chunks), chunk, _drawn(chunk)))
        waiting += [(node.tag, (_continued(above, node),)) for above, node in hidden]
    return tuple(found)


def _continued(above: Node, node: Node) -> Node:
    """Return a tree that begins with what a subtree hangs on, in name only."""
    return Node(above.tag, "elsewhere", above.name, ("on a sheet above",), children=(node,))


def _width(trees: Sequence[Node]) -> float:
    widths = [block(tree).drawing.width for tree in trees]
    return sum(widths) + _BETWEEN_PX * (len(widths) - 1)


def _fitted(
    trees: tuple[Node, ...], widest_px: float
) -> tuple[tuple[Node, ...], list[tuple[Node, Node]]]:
    """Return trees cut at a level of buses so that they fit, and what was cut off at each place.

    The deepest level that fits counts; the first level stays, and goes over several sheets.
    """
    if _width(trees) <= widest_px:
        return trees, []
    deepest = max(_levels(tree) for tree in trees)
    folded = trees
    hidden: list[tuple[Node, Node]] = []
    for level in range(max(deepest - 1, 1), 0, -1):
        hidden = []
        folded = tuple(_cut(tree, level, hidden) for tree in trees)
        if _width(folded) <= widest_px:
            break
    return folded, hidden


def _levels(node: Node) -> int:
    """Return how many buses follow one another from a node down."""
    below = max((_levels(child) for child in node.children), default=0)
    return below + (node.symbol == "bus")


def _cut(node: Node, level: int, hidden: list[tuple[Node, Node]]) -> Node:
    """Return a tree without what hangs on buses below a level; `hidden` takes what was cut off."""
    left = level - (node.symbol == "bus")
    children = []
    for child in node.children:
        if left == 0 and child.symbol == "bus" and _holds_more(child):
            hidden.append((node, child))
            children.append(replace(child, children=(), sheet=child.tag))
        else:
            children.append(_cut(child, left if left > 0 else 0, hidden))
    return replace(node, children=tuple(children))


def _holds_more(bus: Node) -> bool:
    """Say whether more hangs on a bus than a count of branch circuits."""
    return any(child.symbol != "load" or child.tag != bus.tag for child in bus.children)


def _chunks(trees: tuple[Node, ...], widest_px: float) -> list[tuple[Node, ...]]:
    """Return trees sheet by sheet: side by side while they fit, a wide bus in pieces."""
    pieces = [piece for tree in trees for piece in _pieces(tree, widest_px)]
    found: list[list[Node]] = [[]]
    for piece in pieces:
        if found[-1] and _width([*found[-1], piece]) > widest_px:
            found.append([])
        found[-1].append(piece)
    return [tuple(chunk) for chunk in found]


def _pieces(tree: Node, widest_px: float) -> list[Node]:
    """Return a tree whole where it fits, or its widest bus drawn several times with a part each."""
    if block(tree).drawing.width <= widest_px:
        return [tree]
    if len(tree.children) == 1:
        return [replace(tree, children=(piece,)) for piece in _pieces(tree.children[0], widest_px)]
    parts: list[list[Node]] = [[]]
    for child in tree.children:
        trial = replace(tree, children=(*parts[-1], child))
        if parts[-1] and block(trial).drawing.width > widest_px:
            parts.append([])
        parts[-1].append(child)
    if len(parts) == 1:
        return [tree]
    total = len(parts)
    return [
        replace(
            tree,
            lines=(*tree.lines, f"part {number} of {total}"),
            children=tuple(part),
            ways=tree.ways if number == 1 else (),
        )
        for number, part in enumerate(parts, 1)
    ]


def _drawn(trees: Sequence[Node]) -> Drawing:
    left, height = 0.0, 0.0
    moved: list[Drawing] = []
    for tree in trees:
        drawing = block(tree).drawing.moved(left, 0)
        moved.append(drawing)
        left = drawing.width + _BETWEEN_PX
        height = max(height, drawing.height)
    whole = Drawing(
        left - _BETWEEN_PX,
        height,
        tuple(label for d in moved for label in d.labels),
        tuple(sign for d in moved for sign in d.signs),
        tuple(wire for d in moved for wire in d.wires),
        tuple(end for d in moved for end in d.ends),
    )
    return with_lines_across(whole)
