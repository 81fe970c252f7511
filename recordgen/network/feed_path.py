"""The way from source to load: each device on it, as switches stand and from standby sources."""

from __future__ import annotations

from dataclasses import dataclass

import networkx as nx

from recordgen.network.dominators import ROOT
from recordgen.network.model import Network
from recordgen.network.supply import Supply


@dataclass(frozen=True)
class FeedPath:
    """One way from a source to a load or circuit.

    Attributes
    ----------
    feed : str
        Full tag of the circuit or equipment that the record names as the feed.
    source : str or None
        Full tag; None where no source reaches it in that state.
    devices : tuple of str
        Full tags, from the source down.
    standby : bool
        Whether it carries only when the normal source is lost.
    today : bool
        Whether it is from the recorded present positions, where they differ from the normal ones.
    """

    feed: str
    source: str | None
    devices: tuple[str, ...]
    standby: bool = False
    today: bool = False


class FeedPaths:
    """Shortest ways from the sources to everything, in the standing and the automatic graph."""

    def __init__(self, supply: Supply) -> None:
        self.network: Network = supply.network
        self._normal = _ways_down(supply.normal)
        # What is left without the utility is what standby sources carry.
        standby = supply.automatic.copy()
        standby.remove_nodes_from(
            tag for tag, source in supply.network.sources.items() if source.kind == "utility"
        )
        self._standby = _ways_down(standby)

    def of_zone(self, zone: str, feed: str) -> list[FeedPath]:
        """Return the ways to a zone: the normal one first, then that from a standby source."""
        normal = self._path(self._normal, zone)
        found = [FeedPath(feed, *(normal or (None, ())))]
        standby = self._path(self._standby, zone)
        if standby is not None and standby != normal:
            found.append(FeedPath(feed, *standby, standby=True))
        return found

    def of_load(self, tag: str) -> list[FeedPath]:
        """Return the ways to a load, feed by feed in order of the record."""
        load = self.network.loads[tag]
        zones = [zone for group in load.groups for zone in group]
        feeds = list(load.circuits) + ["control power"] * (len(zones) - len(load.circuits))
        return [path for z, f in zip(zones, feeds, strict=False) for path in self.of_zone(z, f)]

    def _path(self, above: dict[str, str], node: str) -> tuple[str, tuple[str, ...]] | None:
        if node not in above:
            return None
        devices, here = [], node
        while here not in self.network.sources:
            if here in self.network.devices:
                devices.append(here)
            here = above[here]
        return here, tuple(reversed(devices))


def _ways_down(graph: nx.DiGraph[str]) -> dict[str, str]:
    """Return node → the node before it on a shortest way from the sources."""
    return {node: before for before, node in nx.bfs_edges(graph, ROOT)}
