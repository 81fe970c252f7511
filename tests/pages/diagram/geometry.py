"""What is wrong with a drawing as geometry: things on top of each other, lines through words."""

from collections.abc import Iterator
from itertools import combinations, pairwise

from recordgen.pages.diagram.shapes import Box, Drawing, Wire


def segments(wire: Wire) -> Iterator[Box]:
    for (x1, y1), (x2, y2) in pairwise(wire.points):
        yield Box(min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2))


def crosses(line: Box, box: Box) -> bool:
    """Say whether a line passes through a box; along its edge does not count."""
    return (
        line.left < box.right
        and box.left < line.right
        and line.top < box.bottom
        and box.top < line.bottom
        if line.left != line.right and line.top != line.bottom
        else (
            box.left < line.left < box.right and line.top < box.bottom and box.top < line.bottom
            if line.left == line.right
            else box.top < line.top < box.bottom and line.left < box.right and box.left < line.right
        )
    )


def flaws(drawing: Drawing) -> Iterator[str]:
    """Yield what overlaps in a drawing, in words."""
    yield from _things_on_things(drawing)
    yield from _lines_through_things(drawing)
    yield from _lines_on_lines(drawing)
    yield from _outside(drawing)


def _things_on_things(drawing: Drawing) -> Iterator[str]:
    named = [(f"text {label.text!r}", label.box) for label in drawing.labels]
    named += [(f"sign {sign.name} {sign.tag}", sign.box) for sign in drawing.signs]
    for (one, first), (other, second) in combinations(named, 2):
        if first.overlaps(second):
            yield f"{one} on {other}"


def _lines_through_things(drawing: Drawing) -> Iterator[str]:
    for wire in drawing.wires:
        for line in segments(wire):
            for label in drawing.labels:
                if crosses(line, label.box):
                    yield f"a line through text {label.text!r}"
            for sign in drawing.signs:
                through = line.left == line.right == sign.x
                if not through and crosses(line, sign.box):
                    yield f"a {wire.kind} through sign {sign.name} {sign.tag}"


def _lines_on_lines(drawing: Drawing) -> Iterator[str]:
    lines = [(wire, line) for wire in drawing.wires for line in segments(wire)]
    for (first, one), (second, other) in combinations(lines, 2):
        kinds = {first.kind, second.kind}
        if first is second or "across" not in kinds:
            continue
        if alongside(one, other):
            yield f"a line {first.kind} lies on one {second.kind} at {one}"
        if kinds != {"across"} and cuts(one, other):
            yield f"a line across cuts the {first.kind}/{second.kind} at {one}"


def _outside(drawing: Drawing) -> Iterator[str]:
    whole = Box(0, 0, drawing.width, drawing.height)
    boxes = [label.box for label in drawing.labels] + [sign.box for sign in drawing.signs]
    boxes += [line for wire in drawing.wires for line in segments(wire)]
    for box in boxes:
        if box.left < whole.left or box.right > whole.right or box.bottom > whole.bottom:
            yield f"something leaves the drawing at {box}"


def alongside(one: Box, other: Box) -> bool:
    """Say whether two lines have more than a point in common."""
    if one.left == one.right == other.left == other.right:
        return min(one.bottom, other.bottom) - max(one.top, other.top) > 0.01
    if one.top == one.bottom == other.top == other.bottom:
        return min(one.right, other.right) - max(one.left, other.left) > 0.01
    return False


def cuts(one: Box, other: Box) -> bool:
    """Say whether two lines cross, and do not only meet at an end."""
    upright, level = (one, other) if one.left == one.right else (other, one)
    if upright.left != upright.right or level.top != level.bottom:
        return False
    return level.left < upright.left < level.right and upright.top < level.top < upright.bottom
