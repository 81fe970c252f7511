"""From which sources a zone is live while devices are open.

Every node has a shortest way to a source, known beforehand: from that source it is live as long as
no open device stands on the way. What is cut off is live from all those sources that its
surroundings, with a clear way of their own, are live from. So the answer hangs on what is open, and
on nothing else.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Iterable

from recordgen.network.hazard import Hazard


class LiveSources:
    """Says which sources a node is live from while some devices are open."""

    def __init__(self, hazard: Hazard, opened: Iterable[str]) -> None:
        self._hazard = hazard
        self._opened = frozenset(opened)
        self._clear: dict[str, str | None] = {}
        self._cut_off: dict[str, tuple[str, ...]] = {}
        self._distance: dict[str, int] = {}

    def of(self, node: str) -> tuple[str, ...]:
        """Return the sources that a node is live from, utilities first; none where it is dead."""
        if node in self._opened:
            return ()
        clear = self._on_known_way(node)
        if clear is not None:
            return (clear,)
        if node not in self._cut_off:
            self._look_around(node)
        return self._cut_off[node]

    def comes_through(self, node: str, device: str) -> bool:
        """Say whether a live node is live through a device next to it, and not from behind."""
        if self._on_known_way(node) is not None:
            return self._hazard.towards[node] == device
        return self._distance.get(device, len(self._distance)) < self._distance.get(node, 0)

    def _on_known_way(self, node: str) -> str | None:
        """Return the source at the end of the known way, None where it is cut or leads nowhere."""
        towards = self._hazard.towards
        if node not in towards:
            return None
        chain = []
        here: str | None = node
        while here is not None and here not in self._clear and here not in self._opened:
            chain.append(here)
            here = towards[here]
        if here is None:
            source: str | None = chain[-1]
        else:
            source = None if here in self._opened else self._clear[here]
        for link in chain:
            self._clear[link] = source
        return source

    def _look_around(self, node: str) -> None:
        """Find the sources next to everything cut off that hangs together with a node."""
        seen, stack = {node}, [node]
        edge: dict[str, None] = {}
        while stack:
            for near in self._hazard.near(stack.pop()):
                if near in seen or near in self._opened:
                    continue
                if self._on_known_way(near) is not None:
                    edge[near] = None
                else:
                    seen.add(near)
                    stack.append(near)
        order = self._hazard.order
        sources = {source for near in edge if (source := self._on_known_way(near)) is not None}
        self._cut_off.update(dict.fromkeys(seen, tuple(sorted(sources, key=order.__getitem__))))
        self._measure(edge, seen)

    def _measure(self, edge: Iterable[str], cut_off: Collection[str]) -> None:
        """Count the steps from the live surroundings to everything cut off."""
        distance = dict.fromkeys(edge, 0)
        queue = deque(distance)
        while queue:
            here = queue.popleft()
            for near in self._hazard.near(here):
                if near in cut_off and near not in distance:
                    distance[near] = distance[here] + 1
                    queue.append(near)
        self._distance.update({node: distance[node] for node in cut_off if node in distance})
