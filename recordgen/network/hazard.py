"""Where voltage can come from: every source, every device closed, whatever its normal state.

Interlocks are no isolation, a UPS passes energy every way, and photovoltaic or an empty generator
inlet is a source like any other.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable

import networkx as nx

from recordgen.network.model import Network


class Hazard:
    """Answers whether a source can reach a node while some devices are locked open."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self._towards: dict[str, str | None] = dict.fromkeys(network.sources)
        # Readers look for the utility first; other sources stand in where it does not reach.
        utility = [t for t, source in network.sources.items() if source.kind == "utility"]
        self._spread(utility)
        self._spread(tag for tag in network.sources if tag not in utility)
        self._sources_of: dict[str, tuple[str, ...]] = {}
        for part in nx.connected_components(network.hazard):
            sources = tuple(tag for tag in network.sources if tag in part)
            self._sources_of.update(dict.fromkeys(part, sources))

    def _spread(self, sources: Iterable[str]) -> None:
        queue = deque(sources)
        while queue:
            node = queue.popleft()
            for near in self.network.hazard[node]:
                if near not in self._towards:
                    self._towards[near] = node
                    queue.append(near)

    def sources_of(self, node: str) -> tuple[str, ...]:
        """Return every source that some way leads from to a node, in order of the records."""
        return self._sources_of.get(node, ())

    def reacher(self, opened: Iterable[str]) -> Callable[[str], bool]:
        """Return a function that says whether a source reaches a node with devices open."""
        find = self.path_finder(opened)
        return lambda node: find(node) is not None

    def path_finder(self, opened: Iterable[str]) -> Callable[[str], tuple[str, ...] | None]:
        """Return a function node → the way from a source to it past the open devices, or None.

        Parameters
        ----------
        opened : iterable of str
            Tags of devices that are open.

        Notes
        -----
        A shortest way from every node to a source is known. Where it passes an open device, the
        search goes on around the node, and ends at the first node whose own way is clear; so a
        dead part costs its size and a live one little.
        """
        blocked = frozenset(opened)
        clear: dict[str, bool] = {}
        dead: set[str] = set()

        def is_clear(node: str) -> bool:
            chain = []
            here: str | None = node
            while here is not None and here not in clear:
                chain.append(here)
                here = self._towards[here]
            verdict = here is None or clear[here]
            for link in reversed(chain):
                verdict = verdict and link not in blocked
                clear[link] = verdict
            return clear[node]

        def find(node: str) -> tuple[str, ...] | None:
            if node in dead or node in blocked or node not in self._towards:
                return None
            from_node: dict[str, str | None] = {node: None}
            queue = deque([node])
            while queue:
                here = queue.popleft()
                if is_clear(here):
                    return self._chain(here)[:-1] + tuple(_back(from_node, here))
                for near in self.network.hazard[here]:
                    if near not in from_node and near not in blocked:
                        from_node[near] = here
                        queue.append(near)
            dead.update(from_node)
            return None

        return find

    def _chain(self, node: str) -> tuple[str, ...]:
        """Return the shortest way from a source to a node, both ends included."""
        found = []
        here: str | None = node
        while here is not None:
            found.append(here)
            here = self._towards[here]
        return tuple(reversed(found))


def _back(from_node: dict[str, str | None], node: str) -> list[str]:
    """Return the nodes from `node` to where the search began."""
    found = []
    here: str | None = node
    while here is not None:
        found.append(here)
        here = from_node[here]
    return found
