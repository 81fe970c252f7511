"""Where voltage can come from: every source, every device closed, whatever its normal state.

Interlocks are no isolation, a UPS passes energy every way, and photovoltaic or an empty generator
inlet is a source like any other.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Mapping
from functools import cached_property

import networkx as nx

from recordgen.network.between import Between
from recordgen.network.blocks import Blocks
from recordgen.network.model import Network


class Hazard:
    """Answers whether a source can reach a node while some devices are locked open."""

    def __init__(self, network: Network) -> None:
        self.network = network
        # The graph's own views cost more than the walks over them.
        self._near = {node: tuple(near) for node, near in network.hazard.adjacency()}
        self._towards: dict[str, str | None] = dict.fromkeys(network.sources)
        # Readers look for the utility first; other sources stand in where it does not reach.
        utility = [t for t, source in network.sources.items() if source.kind == "utility"]
        others = [t for t in network.sources if t not in utility]
        self.order = {tag: index for index, tag in enumerate((*utility, *others))}
        """Source → its place when one has to be named: utilities, then as recorded."""
        self._spread(utility)
        self._spread(others)
        self._sources_of = self._by_part()

    def _by_part(self) -> dict[str, tuple[str, ...]]:
        """Return node → the sources that hang together with it, in order of the records."""
        parts = list(nx.connected_components(self.network.hazard))
        number = {node: index for index, part in enumerate(parts) for node in part}
        sources: list[list[str]] = [[] for _ in parts]
        for tag in self.network.sources:
            sources[number[tag]].append(tag)
        found = [tuple(tags) for tags in sources]
        return {node: found[index] for node, index in number.items()}

    def _spread(self, sources: Iterable[str]) -> None:
        queue = deque(sources)
        while queue:
            node = queue.popleft()
            for near in self._near[node]:
                if near not in self._towards:
                    self._towards[near] = node
                    queue.append(near)

    @property
    def towards(self) -> Mapping[str, str | None]:
        """Node → the next one on a shortest way to a source, None at the source itself."""
        return self._towards

    def near(self, node: str) -> tuple[str, ...]:
        """Return the neighbours of a node."""
        return self._near[node]

    def sources_of(self, node: str) -> tuple[str, ...]:
        """Return every source that some way leads from to a node, in order of the records."""
        return self._sources_of.get(node, ())

    @cached_property
    def _blocks(self) -> Blocks:
        return Blocks(self._near, self.network.sources)

    def between(self, zones: Iterable[str]) -> Between:
        """Return what stands on some way from a source to the conductors of a target."""
        return Between(self._blocks, zones)

    def sources_of_all(self, zones: Iterable[str]) -> tuple[str, ...]:
        """Return every source that some way leads from to any of some zones."""
        parts = dict.fromkeys(map(self.sources_of, zones))
        return tuple(dict.fromkeys(tag for part in parts for tag in part))

    def reacher(self, opened: Iterable[str]) -> Callable[[str], bool]:
        """Return a function that says whether a source reaches a node with devices open."""
        return _Search(self._towards, self._near.__getitem__, opened).reaches

    def path_finder(
        self, opened: Iterable[str], between: Between | None = None
    ) -> Callable[[str], tuple[str, ...] | None]:
        """Return a function node → the way from a source to it past the open devices, or None.

        Parameters
        ----------
        opened : iterable of str
            Tags of devices that are open.
        between : Between or None
            Part of the network that all nodes asked about stand in: nothing else is searched.
        """
        near = between.near if between is not None else self._near.__getitem__
        return _Search(self._towards, near, opened).way


class _Search:
    """The search for sources while some devices are open.

    A shortest way from every node to a source is known. Where it passes an open device, the search
    goes on around the node, and ends at the first node whose own way is clear; so a dead part costs
    its size and a live one little.
    """

    def __init__(
        self,
        towards: Mapping[str, str | None],
        near: Callable[[str], Iterable[str]],
        opened: Iterable[str],
    ) -> None:
        self._towards = towards
        self._near = near
        self._opened = frozenset(opened)
        self._clear: dict[str, bool] = {}
        self._live: set[str] = set()
        self._dead: set[str] = set()

    def way(self, node: str) -> tuple[str, ...] | None:
        """Return the way from a source to a node, both ends included, or None."""
        found = self._nearest_clear(node)
        if found is None:
            return None
        here, from_node = found
        chain = _back(self._towards, here)[:0:-1]
        return (*chain, *_back(from_node, here))

    def reaches(self, node: str) -> bool:
        """Say whether a source reaches a node."""
        if node in self._live:
            return True
        found = self._nearest_clear(node)
        if found is None:
            return False
        # All that was passed hangs together with what is reached.
        self._live.update(found[1])
        return True

    def _nearest_clear(self, node: str) -> tuple[str, dict[str, str | None]] | None:
        """Return the nearest node whose known way is clear, and node → where it was come from."""
        if node in self._dead or node in self._opened or node not in self._towards:
            return None
        from_node: dict[str, str | None] = {node: None}
        queue = deque([node])
        while queue:
            here = queue.popleft()
            if self._is_clear(here):
                return here, from_node
            for near in self._near(here):
                if near not in from_node and near not in self._opened:
                    from_node[near] = here
                    queue.append(near)
        self._dead.update(from_node)
        return None

    def _is_clear(self, node: str) -> bool:
        """Say whether no open device is on the known way from a source to a node."""
        clear = self._clear
        chain = []
        here: str | None = node
        while here is not None and here not in clear:
            chain.append(here)
            here = self._towards[here]
        verdict = here is None or clear[here]
        for link in reversed(chain):
            verdict = verdict and link not in self._opened
            clear[link] = verdict
        return clear[node]


def _back(before: Mapping[str, str | None], node: str) -> list[str]:
    """Return the nodes from `node` back to where the search began."""
    found = []
    here: str | None = node
    while here is not None:
        found.append(here)
        here = before[here]
    return found
