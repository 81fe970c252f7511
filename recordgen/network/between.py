"""What stands on some way from a source to a target: the rest of the network cannot matter to it.

"Way" means here one that passes nothing twice; devices count as closed, as everywhere in `hazard`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from recordgen.network.blocks import ROOT_BLOCK, Blocks


class Between:
    """The part of a network between every source and the zones of one target.

    To put it together costs no more than the way up to the nearest source or ring of sources, not
    a walk over the network.

    Parameters
    ----------
    blocks : Blocks
    zones : iterable of str
        The conductors of the target.
    """

    def __init__(self, blocks: Blocks, zones: Iterable[str]) -> None:
        self._blocks = blocks
        # Block → its node on the way down to the target, and node → the block to go down by.
        self._exit: dict[int, str] = {}
        self._down: dict[str, int] = {}
        self.zones = tuple(dict.fromkeys(zone for zone in zones if zone in blocks.above))
        self._targets = frozenset(self.zones)
        self._descents: dict[str, tuple[str, ...]] = {zone: (zone,) for zone in self.zones}
        self._roots = {blocks.root[zone] for zone in self.zones}
        for zone in self.zones:
            self._climb(zone)

    def _climb(self, zone: str) -> None:
        here = zone
        while True:
            block = self._blocks.above[here]
            if block == ROOT_BLOCK or block in self._exit:
                return
            self._exit[block] = here
            here = self._blocks.top[block]
            if here in self._targets or here in self._down:
                return
            self._down[here] = block

    def _uses(self, block: int) -> bool:
        return self._blocks.carries[block] or block in self._exit

    def holds(self, node: str) -> bool:
        """Say whether a node stands on some way from a source to the target."""
        blocks = self._blocks
        if blocks.root.get(node) not in self._roots:
            return False
        block = blocks.above[node]
        on_the_way = block == ROOT_BLOCK or self._uses(block)
        return on_the_way or node in self._targets or node in self._down

    def near(self, node: str) -> Iterator[str]:
        """Yield the neighbours of a node that are next to it on such a way."""
        blocks = self._blocks
        for other in blocks.near[node]:
            if self._uses(blocks.block_of_edge(node, other)):
                yield other

    def way(self, source: str) -> tuple[str, ...]:
        """Return a way from a source to the target, both ends included; it ends where it arrives.

        Raises
        ------
        KeyError
            No way leads from the source to the target.
        """
        blocks = self._blocks
        up, turns = blocks.climb(source)
        for node, passed in turns:
            if node in self._targets or node in self._down:
                return up[:passed] + self._descent(node)
            block = blocks.above[node]
            if block in self._exit:
                return up[:passed] + self._through(block, node)
        raise KeyError(source)

    def _through(self, block: int, start: str) -> tuple[str, ...]:
        """Return the way to the target from a node of a block that leads down to it."""
        piece = self._blocks.way_inside(block, start, self._exit[block])
        for index, node in enumerate(piece):
            if node in self._targets:
                return piece[: index + 1]
        return piece[:-1] + self._descent(piece[-1])

    def _descent(self, node: str) -> tuple[str, ...]:
        """Return the way down to the target from a node above it; found once for all sources."""
        below: list[str] = []
        here = node
        while here not in self._descents:
            below.append(here)
            here = self._exit[self._down[here]]
        for each in reversed(below):
            self._descents[each] = self._through(self._down[each], each)
        return self._descents[node]
