"""What every way from the sources to a node passes through."""

from __future__ import annotations

from typing import Final

import networkx as nx

ROOT: Final = "*"
"""The node above all sources of a supply graph."""


class Dominators:
    """The dominator tree of a supply graph: what every way from the sources passes through."""

    def __init__(self, graph: nx.DiGraph[str]) -> None:
        above = dict(nx.immediate_dominators(graph, ROOT))
        above.pop(ROOT, None)
        self.parent: dict[str, str] = above
        self._children: dict[str, list[str]] = {}
        for node, parent in above.items():
            self._children.setdefault(parent, []).append(node)
        self._enter: dict[str, int] = {}
        self._leave: dict[str, int] = {}
        self._order: list[str] = []
        self._number()
        self._leaking = self._find_leaks(graph)

    def _number(self) -> None:
        stack: list[tuple[str, bool]] = [(ROOT, False)]
        while stack:
            node, done = stack.pop()
            if done:
                self._leave[node] = len(self._order)
                continue
            self._enter[node] = len(self._order)
            self._order.append(node)
            stack.append((node, True))
            stack.extend((child, False) for child in self._children.get(node, ()))

    def _find_leaks(self, graph: nx.DiGraph[str]) -> frozenset[str]:
        leaking = set()
        for tail, head in graph.edges:
            # An arc back to what governs its tail leads no simple path anywhere new.
            if tail not in self._enter or self.governs(head, tail):
                continue
            stop, node = self.parent[head], tail
            while node != stop:
                leaking.add(node)
                node = self.parent[node]
        return frozenset(leaking)

    def supplied(self, node: str) -> bool:
        """Say whether any source reaches a node."""
        return node in self._enter

    def below(self, node: str) -> list[str]:
        """Return everything that is reached only through a node, without the node itself."""
        if node not in self._enter:
            return []
        return self._order[self._enter[node] + 1 : self._leave[node]]

    def governs(self, node: str, other: str) -> bool:
        """Say whether every way to `other` passes `node`."""
        if node not in self._enter or other not in self._enter:
            return False
        return self._enter[node] <= self._enter[other] < self._leave[node]

    def closed_below(self, node: str) -> bool:
        """Say whether no arc leads out of what a node governs, except back through the node."""
        return node not in self._leaking

    def above(self, node: str) -> list[str]:
        """Return what governs a node, from next to it up to the sources, without `ROOT`."""
        found = []
        here = self.parent.get(node, ROOT)
        while here != ROOT:
            found.append(here)
            here = self.parent[here]
        return found
