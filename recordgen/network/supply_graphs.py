"""What carries the load: directed graphs from the sources down.

Five graphs:

- `normal`: utility, devices in their normal (or recorded present) position;
- `battery`: the same with the batteries of UPSs, which carry for a while;
- `automatic`: with transfer switches, ties and static bypasses that act by themselves, and
  generators that start by themselves;
- `bridged`: the same with the batteries;
- `possible`: with all that somebody can switch over, close or start by hand; but nobody feeds a
  transformer backwards to carry loads.

Nodes are the zone ids and device tags of the network, the sources, a node for every group of feeds
that lie in different zones, and `ROOT` above all sources.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from typing import Literal

import networkx as nx

from recordgen.network.dominators import ROOT, Dominators
from recordgen.network.model import Device, Network, NetworkLoad
from recordgen.network.ways import (
    Positions,
    Ways,
    possible_ways,
    standby_ways,
    standing_ways,
)

GraphName = Literal["normal", "battery", "automatic", "bridged", "possible"]
Group = tuple[str, int]
"""One of the feeds that a load needs: the load's full tag, and the place among its groups."""


def feed_node(load: NetworkLoad, index: int) -> str:
    """Return the node that a group of feeds hangs on: its zone, or a node of its own above them."""
    zones = load.groups[index]
    return zones[0] if len(set(zones)) == 1 else f"{load.tag}#{index}"


class SupplyGraphs:
    """The supply graphs of a network for one set of switch positions."""

    def __init__(self, network: Network, positions: Positions = "normal") -> None:
        self.network = network
        self.positions = positions
        normal: nx.DiGraph[str] = nx.DiGraph()
        normal.add_node(ROOT)
        for device in network.devices.values():
            _add_ways(normal, device, standing_ways(device, positions))
        self._add_groups(normal)
        running = running_now(network) if positions == "present" else ()
        self._add_sources(normal, running)
        automatic = normal.copy()
        starting = (s.tag for s in network.sources.values() if s.starts_by_itself)
        self._add_sources(automatic, starting)
        for device in network.devices.values():
            _add_ways(automatic, device, standby_ways(device, positions))
        possible = automatic.copy()
        self._add_sources(possible, network.sources)
        for device in network.devices.values():
            _add_ways(possible, device, possible_ways(device, positions))
            if device.kind == "transformer":
                line, load = device.zones
                possible.remove_edges_from([(load, device.tag), (device.tag, line)])
        self.graphs: dict[GraphName, nx.DiGraph[str]] = {
            "normal": normal,
            "battery": self._with_batteries(normal),
            "automatic": automatic,
            "bridged": self._with_batteries(automatic),
            "possible": possible,
        }

    @property
    def normal(self) -> nx.DiGraph[str]:
        """The graph of the normal state."""
        return self.graphs["normal"]

    @property
    def automatic(self) -> nx.DiGraph[str]:
        """The graph with all that acts by itself."""
        return self.graphs["automatic"]

    def _with_batteries(self, graph: nx.DiGraph[str]) -> nx.DiGraph[str]:
        found = graph.copy()
        for source in self.network.sources.values():
            if source.kind == "UPS battery":
                ups = source.tag.removesuffix("/battery")
                found.add_edge(ROOT, source.tag)
                found.add_edge(source.tag, ups)
                found.add_edges_from((ups, zone) for zone in source.zones)
        return found

    def _add_sources(self, graph: nx.DiGraph[str], started: Iterable[str]) -> None:
        """Put the utilities above a graph, and the other sources that are started."""
        runs = set(started)
        for source in self.network.sources.values():
            if source.carries_load and (source.kind == "utility" or source.tag in runs):
                graph.add_edge(ROOT, source.tag)
                graph.add_edges_from((source.tag, zone) for zone in source.zones)

    def _add_groups(self, graph: nx.DiGraph[str]) -> None:
        for load in self.network.loads.values():
            for index, zones in enumerate(load.groups):
                node = feed_node(load, index)
                graph.add_edges_from((zone, node) for zone in zones if zone != node)

    @cached_property
    def dominators(self) -> dict[GraphName, Dominators]:
        """The dominator tree of each graph."""
        return {name: Dominators(graph) for name, graph in self.graphs.items()}

    @cached_property
    def load_order(self) -> dict[str, int]:
        """Load → its place in the order of the records."""
        return {tag: index for index, tag in enumerate(self.network.loads)}

    @cached_property
    def groups_at(self) -> dict[str, list[Group]]:
        """Node → the groups of feeds that hang on it, in order of the records."""
        found: dict[str, list[Group]] = {}
        for tag, load in self.network.loads.items():
            for index in range(len(load.groups)):
                found.setdefault(feed_node(load, index), []).append((tag, index))
        return found

    @cached_property
    def legs_meeting(self) -> dict[str, tuple[str, ...]]:
        """Zone of one leg of a load → the zones of all its legs, where they meet inside it."""
        found: dict[str, dict[str, None]] = {}
        for load in self.network.loads.values():
            if load.legs_together:
                zones = dict.fromkeys(z for g in load.groups[: len(load.circuits)] for z in g)
                for zone in zones:
                    found.setdefault(zone, {}).update(zones)
        return {zone: tuple(others) for zone, others in found.items()}

    @cached_property
    def unknown_loads_at(self) -> dict[str, list[tuple[int, str]]]:
        """Zone → the circuits there whose loads are not recorded, with their place in the order."""
        found: dict[str, list[tuple[int, str]]] = {}
        for index, tag in enumerate(self.network.unknown_load_circuits):
            found.setdefault(self.network.circuit_zone[tag], []).append((index, tag))
        return found

    @cached_property
    def parts(self) -> dict[GraphName, dict[str, frozenset[str]]]:
        """Graph → node → everything supplied that hangs together with it below the sources."""
        return {name: _parts(graph, self.dominators[name]) for name, graph in self.graphs.items()}


def running_now(network: Network) -> frozenset[str]:
    """Return the sources beside the utility that run in the recorded present positions.

    Those that reach, as the devices stand, the emergency side of a transfer switch that stands on
    it. A generator elsewhere is not taken as running: it carries nothing there.
    """
    standing: nx.DiGraph[str] = nx.DiGraph()
    standing.add_nodes_from(network.zones)
    carried: set[str] = set()
    for device in network.devices.values():
        _add_ways(standing, device, standing_ways(device, "present"))
    for device in network.devices.values():
        side = device.zone_at("emergency")
        if device.kind == "transfer switch" and device.present == "emergency" and side is not None:
            carried |= {side, *nx.ancestors(standing, side)}
    return frozenset(
        source.tag
        for source in network.sources.values()
        if source.carries_load and source.kind != "utility" and carried.intersection(source.zones)
    )


def _add_ways(graph: nx.DiGraph[str], device: Device, ways: Ways) -> None:
    for start, end in ways:
        graph.add_edge(start, device.tag)
        graph.add_edge(device.tag, end)


def _parts(graph: nx.DiGraph[str], tree: Dominators) -> dict[str, frozenset[str]]:
    lines: nx.Graph[str] = nx.Graph()
    lines.add_nodes_from(tree.parent)
    lines.add_edges_from(arc for arc in graph.edges if all(end in tree.parent for end in arc))
    parts = map(frozenset, nx.connected_components(lines))
    return {node: part for part in parts for node in part}
