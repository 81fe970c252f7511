"""Nothing in a drawing lies on anything else, whatever the trees; checked by geometry."""

from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from recordgen.pages.diagram.parts import Node, Switch, Way
from recordgen.pages.diagram.sheets import PAPER_PX, SCREEN_PX, sheets
from tests.pages.diagram.geometry import flaws

WORDS = st.text(alphabet="ABCWilm 0123-/", min_size=1, max_size=16).map(
    lambda text: text.strip() or "A"
)
LINES = st.lists(WORDS, max_size=4).map(tuple)
SWITCHES = st.lists(
    st.builds(
        Switch,
        tag=st.just("b:P/1"),
        name=WORDS,
        lines=LINES,
        symbol=st.sampled_from(["breaker", "fuse", "switch", "contactor", "not recorded"]),
        open=st.booleans(),
        remark=st.sampled_from(["", "now open"]),
    ),
    max_size=2,
).map(tuple)
LEAVES = st.builds(
    Node,
    tag=WORDS,
    symbol=st.sampled_from(["load", "motor", "elsewhere", "bus", "transformer", "disconnect"]),
    name=WORDS,
    lines=LINES,
    switches=SWITCHES,
    stop=st.booleans(),
)


def grown(children: st.SearchStrategy[Node]) -> st.SearchStrategy[Node]:
    return st.builds(
        Node,
        tag=WORDS,
        symbol=st.sampled_from(
            ["bus", "bus", "transformer", "transfer switch", "UPS", "junction box", "disconnect"]
        ),
        name=WORDS,
        lines=LINES,
        switches=SWITCHES,
        children=st.lists(children, min_size=1, max_size=4).map(tuple),
    )


TREES = st.recursive(LEAVES, grown, max_leaves=14)
FORESTS = st.lists(TREES, min_size=1, max_size=3)


def joined(trees: list[Node], picks: list[tuple[int, int]]) -> list[Node]:
    """Return trees with ways across from the n-th node with children to the m-th node."""
    inside = [n for n, node in enumerate(walk(trees)) if node.children]
    total = sum(1 for _ in walk(trees))
    ends: dict[int, list[Node]] = {}
    starts: dict[int, list[Way]] = {}
    for number, (a, b) in enumerate(picks if inside else []):
        source, target = inside[a % len(inside)], b % total
        key = f"way {number}"
        switch = Switch(f"b:TIE-{number}", f"TIE-{number}", ("400 A",), "switch", open=True)
        end = Node("b:X", "way", "", switches=(switch,), ways=(Way(key, ("to X", key), "b:X"),))
        ends.setdefault(source, []).append(end)
        starts.setdefault(target, []).append(Way(key, ("from Y", key), "b:Y"))
    counter = iter(range(total))

    def rebuilt(node: Node) -> Node:
        number = next(counter)
        children = tuple(rebuilt(child) for child in node.children)
        return Node(
            node.tag,
            node.symbol,
            node.name,
            node.lines,
            node.switches,
            (*children, *ends.get(number, ())),
            tuple(starts.get(number, ())),
            node.stop,
        )

    return [rebuilt(tree) for tree in trees]


def walk(trees: list[Node]) -> Iterator[Node]:
    for tree in trees:
        yield from tree.walk()


@settings(max_examples=60, deadline=None)
@given(FORESTS, st.lists(st.tuples(st.integers(0, 99), st.integers(0, 99)), max_size=4))
def test_nothing_lies_on_anything_else(trees: list[Node], picks: list[tuple[int, int]]) -> None:
    for sheet in sheets(joined(trees, picks), SCREEN_PX):
        assert list(flaws(sheet.drawing)) == []


@settings(max_examples=25, deadline=None)
@given(FORESTS, st.lists(st.tuples(st.integers(0, 99), st.integers(0, 99)), max_size=4))
def test_narrow_sheets_hold_everything_once(
    trees: list[Node], picks: list[tuple[int, int]]
) -> None:
    roots = joined(trees, picks)
    found = sheets(roots, PAPER_PX)
    for sheet in found:
        assert list(flaws(sheet.drawing)) == []
    shown = [switch for sheet in found for switch in _switches(sheet.trees)]
    for switch in _switches(roots):
        assert switch in shown


def _switches(trees: list[Node] | tuple[Node, ...]) -> list[str]:
    return [repr(switch) for node in walk(list(trees)) for switch in node.switches]


def test_a_way_is_drawn_where_both_ends_are_on_the_sheet() -> None:
    end = Node("b:ATS", "way", "", ways=(Way("k", ("to ATS",), "b:ATS"),))
    switch = Node("b:ATS", "transfer switch", "ATS", ways=(Way("k", ("emergency",), "b:E"),))
    one = Node("b:U", "utility", "U", children=(Node("b:M", "bus", "M", children=(switch,)),))
    two = Node("b:G", "generator", "G", children=(Node("b:E", "bus", "E", children=(end,)),))
    (sheet,) = sheets([one, two], SCREEN_PX)
    across = [
        wire for wire in sheet.drawing.wires if wire.kind == "across" and len(wire.points) > 2
    ]
    assert len(across) == 1
    low = max(y for _, y in across[0].points)
    assert all(label.box.bottom <= low for label in sheet.drawing.labels)


@pytest.mark.parametrize("count", [1, 9, 40])
def test_a_wide_bus_goes_over_several_sheets(count: int) -> None:
    loads = tuple(Node(f"b:L-{n}", "load", f"L-{n}", ("20 kVA",)) for n in range(count))
    bus = Node("b:M", "bus", "M", children=loads)
    found = sheets([Node("b:U", "utility", "U", children=(bus,))], PAPER_PX)
    names = [n.name for sheet in found for n in walk(list(sheet.trees)) if n.symbol == "load"]
    assert names == [f"L-{n}" for n in range(count)]
    assert all(sheet.drawing.width <= PAPER_PX for sheet in found)


def test_a_building_without_sources_has_no_sheet() -> None:
    assert sheets([], SCREEN_PX) == ()
