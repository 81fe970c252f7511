"""The network cut up at the nodes that everything beyond them hangs on.

Two nodes belong to one block where two ways without a common node lead from one to the other, or
where an edge joins them; blocks meet in single nodes. A way between two nodes that passes no node
twice goes through the blocks between them and through no other, and every node of those blocks is
on such a way. So blocks tell at once what a way from a source to a target can use at all.

The blocks of a connected part form a tree, here with a source at its root. Method: depth-first
search with low points (Hopcroft and Tarjan, Communications of the ACM 16(6), 1973, algorithm 447),
in time linear in nodes and edges.
"""

from __future__ import annotations

from array import array
from collections import deque
from collections.abc import Collection, Iterable, Iterator, Mapping

Near = Mapping[str, tuple[str, ...]]
Climb = tuple[tuple[str, ...], tuple[tuple[str, int], ...]]
"""A way up to the root, and the nodes on it where blocks meet with how many nodes come before."""
ROOT_BLOCK = -1
"""What stands for "no block above": the root of a part."""


class Blocks:
    """The blocks of every part of a network that holds a source.

    Attributes
    ----------
    above : dict
        Node → number of the one block that it shares with nodes nearer to the root; `ROOT_BLOCK`
        for a root. Nodes that hang together with no source are missing.
    top : list of str
        Number of a block → its node nearest to the root.
    carries : list of bool
        Number of a block → whether some source stands in it or beyond it, seen from the root.
    root : dict
        Node → the source at the root of its part.
    """

    def __init__(self, near: Near, sources: Collection[str]) -> None:
        self.near = near
        self.above: dict[str, int] = {}
        self.root: dict[str, str] = {}
        # The last entry stands for ROOT_BLOCK.
        self.top: list[str] = [""]
        self.carries: list[bool] = [False]
        self._members: dict[int, list[str]] = {}
        self._loops: dict[int, _Loop] = {}
        self._climbs: dict[str, Climb] = {}
        self._cut_up(sources)

    def _cut_up(self, sources: Collection[str]) -> None:
        leads_to_source = set(sources)
        for root in sources:
            if root not in self.above:
                self.above[root] = ROOT_BLOCK
                self._cut_up_from(root, leads_to_source)

    def _cut_up_from(self, root: str, leads_to_source: set[str]) -> None:
        found = {root: 0}
        low = {root: 0}
        waiting: list[str] = []
        stack: list[tuple[str, str, Iterator[str]]] = [(root, "", iter(self.near[root]))]
        while stack:
            node, parent, rest = stack[-1]
            for other in rest:
                if other not in found:
                    found[other] = low[other] = len(found)
                    waiting.append(other)
                    stack.append((other, node, iter(self.near[other])))
                    break
                if other != parent and found[other] < low[node]:
                    low[node] = found[other]
            else:
                stack.pop()
                if not parent:
                    continue
                low[parent] = min(low[parent], low[node])
                if low[node] >= found[parent]:
                    self._close(node, parent, waiting, leads_to_source)
        self.root.update(dict.fromkeys(found, root))

    def _close(self, node: str, top: str, waiting: list[str], leads_to_source: set[str]) -> None:
        """Make a block of what was found since `node`, and of `top`, which it hangs on."""
        number = len(self.top) - 1
        members: list[str] = []
        while not members or members[-1] != node:
            members.append(waiting.pop())
        carries = not leads_to_source.isdisjoint(members)
        if carries:
            leads_to_source.add(top)
        self.above.update(dict.fromkeys(members, number))
        self.top.insert(number, top)
        self.carries.insert(number, carries)
        if len(members) > 1:
            self._members[number] = [top, *members]

    def block_of_edge(self, one: str, other: str) -> int:
        """Return the number of the block that two neighbours share."""
        below = self.above[other]
        return below if below == self.above[one] or self.top[below] == one else self.above[one]

    def climb(self, source: str) -> Climb:
        """Return the way from a source to the root; kept, since all targets ask for it."""
        if source not in self._climbs:
            way = [source]
            turns = [(source, 0)]
            while (block := self.above[way[-1]]) != ROOT_BLOCK:
                way.extend(self.way_inside(block, way[-1], self.top[block])[1:])
                turns.append((way[-1], len(way) - 1))
            self._climbs[source] = tuple(way), tuple(turns)
        return self._climbs[source]

    def way_inside(self, block: int, start: str, end: str) -> tuple[str, ...]:
        """Return a shortest way from one node of a block to another, both ends included."""
        if start == end:
            return (start,)
        if block not in self._members or end in self.near[start]:
            return (start, end)
        if block not in self._loops:
            self._loops[block] = _Loop(self._members[block], self.near)
        return self._loops[block].way(start, end)


class _Loop:
    """A block of more than two nodes, with the searches through it that were asked for.

    A search is kept as numbers in an array: blocks can be large, and every source may start one.
    """

    def __init__(self, members: Iterable[str], near: Near) -> None:
        # In order of the names, so that which of several shortest ways is taken does not depend
        # on where the search for blocks began.
        self._nodes = sorted(members)
        self._number = {node: index for index, node in enumerate(self._nodes)}
        self._near = [
            [self._number[other] for other in near[node] if other in self._number]
            for node in self._nodes
        ]
        self._before: dict[int, array[int]] = {}

    def way(self, start: str, end: str) -> tuple[str, ...]:
        first = self._number[start]
        before = self._before.get(first)
        if before is None:
            before = self._before[first] = self._search(first)
        found = [self._number[end]]
        while found[-1] != first:
            found.append(before[found[-1]])
        return tuple(self._nodes[index] for index in reversed(found))

    def _search(self, first: int) -> array[int]:
        before = array("l", [-1]) * len(self._nodes)
        before[first] = first
        queue = deque([first])
        while queue:
            here = queue.popleft()
            for other in self._near[here]:
                if before[other] < 0:
                    before[other] = here
                    queue.append(other)
        return before
