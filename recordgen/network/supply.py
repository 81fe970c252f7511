"""What carries the load: directed graphs from the sources down, and what stands on every way.

Four graphs:

- `normal`: utility, devices in their normal (or recorded present) position;
- `battery`: the same with the batteries of UPSs, which carry for a while;
- `automatic`: with transfer switches, ties and static bypasses that act by themselves, and
  generators that start by themselves;
- `bridged`: the same with the batteries.

Nodes are the zone ids and device tags of the network, the sources, one node for every group of
feeds a load needs, and `ROOT` above all sources. Breakers and ties conduct both ways; transfer
switches, UPSs and drives towards their output only.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Final, Literal

import networkx as nx

from recordgen.network.model import Device, Network

ROOT: Final = "*"
Positions = Literal["normal", "present"]
GraphName = Literal["normal", "battery", "automatic", "bridged"]


def group_node(load: str, index: int) -> str:
    """Return the node of a group of feeds of a load."""
    return f"{load}#{index}"


@dataclass(frozen=True)
class Redundancy:
    """Something with several inputs of which one is enough, and the loads that lean on it.

    `inputs` are zones; `groups` the group nodes downstream of it in the normal graph.
    """

    node: str
    inputs: tuple[str, ...]
    groups: frozenset[str] = field(repr=False)


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


class Supply:
    """The supply graphs of a network for one set of switch positions."""

    def __init__(self, network: Network, positions: Positions = "normal") -> None:
        self.network = network
        self.positions = positions
        self.normal: nx.DiGraph[str] = nx.DiGraph()
        self.normal.add_node(ROOT)
        self._add_sources(self.normal, standby=self._runs_on_standby())
        for device in network.devices.values():
            self._add_device(self.normal, device, self._closed_arcs(device))
        self._add_loads(self.normal)
        self.automatic = self.normal.copy()
        self._add_sources(self.automatic, standby=True)
        for device in network.devices.values():
            self._add_device(self.automatic, device, self._standby_arcs(device))
        self.graphs: dict[GraphName, nx.DiGraph[str]] = {
            "normal": self.normal,
            "battery": self._with_batteries(self.normal),
            "automatic": self.automatic,
            "bridged": self._with_batteries(self.automatic),
        }

    def _with_batteries(self, graph: nx.DiGraph[str]) -> nx.DiGraph[str]:
        found = graph.copy()
        for source in self.network.sources.values():
            if source.kind == "UPS battery":
                found.add_edge(ROOT, source.tag)
                found.add_edge(source.tag, source.tag.removesuffix("/battery"))
        return found

    def _runs_on_standby(self) -> bool:
        """Say whether a transfer switch stands on its emergency side now."""
        return self.positions == "present" and any(
            device.kind == "transfer switch" and device.present == "emergency"
            for device in self.network.devices.values()
        )

    def _add_sources(self, graph: nx.DiGraph[str], *, standby: bool) -> None:
        for source in self.network.sources.values():
            runs = source.kind == "utility" or (standby and source.starts_by_itself)
            if runs and source.carries_load:
                graph.add_edge(ROOT, source.tag)
                graph.add_edges_from((source.tag, zone) for zone in source.zones)

    @staticmethod
    def _add_device(graph: nx.DiGraph[str], device: Device, arcs: list[tuple[str, str]]) -> None:
        for start, end in arcs:
            graph.add_edge(start, device.tag)
            graph.add_edge(device.tag, end)

    def _closed_arcs(self, device: Device) -> list[tuple[str, str]]:
        """Return the zone pairs a device joins in its normal or present position."""
        state = device.present if self.positions == "present" else None
        if device.kind in ("transfer switch", "UPS", "variable-frequency drive"):
            output = device.zone_at("output") or device.zone_at("load")
            side = {
                None: ("normal", "line"),
                "emergency": ("emergency",),
                "bypass": ("maintenance", "bypass"),
                "open": (),
            }.get(state, ("normal", "line"))
            return [
                (terminal.zone, output)
                for terminal in device.terminals
                if terminal.role in side and output is not None
            ]
        closed = device.closed if state is None else state != "open"
        first, second = device.zones
        return [(first, second), (second, first)] if closed else []

    def _standby_arcs(self, device: Device) -> list[tuple[str, str]]:
        """Return the zone pairs a device would join by itself when its normal side is lost."""
        if self.positions == "present" and device.present == "open":
            return []
        if device.kind == "transfer switch" and device.automatic:
            output = device.zone_at("output")
            sides = (device.zone_at("normal"), device.zone_at("emergency"))
            return [(side, output) for side in sides if side and output]
        if device.kind == "UPS":
            bypass, output = device.zone_at("bypass"), device.zone_at("load")
            return [(bypass, output)] if bypass and output else []
        if device.kind == "bus tie" and device.automatic:
            first, second = device.zones
            return [(first, second), (second, first)]
        return []

    def _add_loads(self, graph: nx.DiGraph[str]) -> None:
        for load in self.network.loads.values():
            for index, group in enumerate(load.groups):
                graph.add_edges_from((zone, group_node(load.tag, index)) for zone in group)

    @cached_property
    def dominators(self) -> dict[GraphName, Dominators]:
        """The dominator tree of each graph."""
        return {name: Dominators(graph) for name, graph in self.graphs.items()}

    @cached_property
    def load_order(self) -> dict[str, int]:
        """Load → its place in the order of the records."""
        return {tag: index for index, tag in enumerate(self.network.loads)}

    @cached_property
    def redundancies(self) -> tuple[Redundancy, ...]:
        """Everything that has a second input in the automatic graph."""
        found = []
        for device in self.network.devices.values():
            if device.tag in self.automatic and device.kind in ("transfer switch", "UPS"):
                inputs = tuple(sorted(self.automatic.predecessors(device.tag)))
                if len(inputs) > 1:
                    found.append(Redundancy(device.tag, inputs, self._groups_below(device.tag)))
        for load in self.network.loads.values():
            for index, group in enumerate(load.groups):
                if len(set(group)) > 1:
                    node = group_node(load.tag, index)
                    found.append(Redundancy(node, tuple(sorted(set(group))), frozenset({node})))
        return tuple(found)

    @cached_property
    def redundancies_at(self) -> dict[str, list[Redundancy]]:
        """Zone → everything that has it as one of its inputs."""
        found: dict[str, list[Redundancy]] = {}
        for redundancy in self.redundancies:
            for zone in redundancy.inputs:
                found.setdefault(zone, []).append(redundancy)
        return found

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

    def _groups_below(self, node: str) -> frozenset[str]:
        # Downwards only: an arc back to where supply comes from leads to other branches.
        tree = self.dominators["automatic"]
        return frozenset(n for n in tree.below(node) if "#" in n)


def _parts(graph: nx.DiGraph[str], tree: Dominators) -> dict[str, frozenset[str]]:
    lines: nx.Graph[str] = nx.Graph()
    lines.add_nodes_from(tree.parent)
    lines.add_edges_from(arc for arc in graph.edges if all(end in tree.parent for end in arc))
    parts = map(frozenset, nx.connected_components(lines))
    return {node: part for part in parts for node in part}
