"""Where supply has more than one way in, and which of them are lost.

A place is a zone, or a group of feeds of a load. A way in is a zone and the device that leads from
it; it counts as an input where it is supplied without passing the place itself. A load leans on a
place that stands on every way to it: when the place has lost an input, the load has lost its
standby or redundancy. Asked of what acts by itself, and of all that can be switched over by hand.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from recordgen.network.conductors import Conductors
from recordgen.network.dominators import ROOT
from recordgen.network.model import Legs
from recordgen.network.opening import Opening
from recordgen.network.supply_graphs import GraphName, Group, SupplyGraphs


@dataclass(frozen=True)
class Input:
    """One way into a place: the zone it comes from, and the device between (none at a load)."""

    zone: str
    device: str


@dataclass(frozen=True)
class Place:
    """Something with several inputs of which one is enough.

    `above` is everything on some way to it, and `groups` the groups of feeds that lean on it.
    """

    node: str
    inputs: tuple[Input, ...]
    above: frozenset[str] = field(repr=False)
    groups: tuple[Group, ...] = field(repr=False)


class Redundancy:
    """The places with several inputs, in one supply graph."""

    def __init__(self, supply: SupplyGraphs, name: GraphName) -> None:
        self.supply = supply
        self.name = name
        self.graph = supply.graphs[name]
        self.tree = supply.dominators[name]

    @cached_property
    def places(self) -> tuple[Place, ...]:
        """Every place with several inputs, in order of the records."""
        found = []
        nodes = dict.fromkeys([*self.supply.network.zones, *self.supply.groups_at])
        for node in nodes:
            if not self.tree.supplied(node):
                continue
            inputs = self._inputs(node)
            if len(inputs) > 1:
                above = self._above(node, inputs)
                found.append(Place(node, inputs, above, self._leaning(node)))
        return tuple(found)

    @cached_property
    def places_under(self) -> Mapping[str, list[Place]]:
        """Node → the places that it stands above."""
        found: dict[str, list[Place]] = {}
        for place in self.places:
            for node in place.above:
                found.setdefault(node, []).append(place)
        return found

    def _inputs(self, node: str) -> tuple[Input, ...]:
        network, pred = self.supply.network, self.graph.pred
        ways: dict[Input, None] = {}
        for before in pred[node]:
            if before in network.devices:
                zones = [zone for zone in pred[before] if zone != node]
                ways.update(dict.fromkeys(Input(zone, before) for zone in zones))
            elif before in network.sources:
                ways[Input(before, "")] = None
            else:
                ways[Input(before, "")] = None
        return tuple(
            way
            for way in ways
            if self.tree.supplied(way.zone) and not self.tree.governs(node, way.zone)
        )

    def _leaning(self, node: str) -> tuple[Group, ...]:
        groups_at = self.supply.groups_at
        below = [node, *self.tree.below(node)]
        return tuple(group for here in below for group in groups_at.get(here, ()))

    def _above(self, node: str, inputs: Collection[Input]) -> frozenset[str]:
        """Return everything on a way to a place, without arcs that lead back to where they came."""
        found = {way.zone for way in inputs} | {way.device for way in inputs if way.device}
        stack = list(found)
        while stack:
            here = stack.pop()
            for before in self.graph.pred[here]:
                new = before not in found and before != node and before != ROOT
                # Nothing new comes by an arc back to what governs its tail.
                if new and self.tree.supplied(before) and not self.tree.governs(here, before):
                    found.add(before)
                    stack.append(before)
        return frozenset(found)

    def weakened(
        self, opening: Opening, gone: Collection[str], lost: Collection[str]
    ) -> dict[Group, None]:
        """Return the groups that lean on a place that has lost an input and is still supplied.

        Parameters
        ----------
        opening : Opening
            Opens whole devices only.
        gone : collection of str
            Sources that may not start.
        lost : collection of str
            Nodes that nothing supplies any more in this graph.
        """
        shut = {*opening.whole, *gone}
        found: dict[Group, None] = {}
        for place in self._under(shut):
            if place.node not in lost and self._has_lost_some(place, shut):
                found.update(dict.fromkeys(place.groups))
        return found

    @cached_property
    def above_mixed(self) -> frozenset[str]:
        """Everything above a zone that several ways feed, some of them with fewer conductors.

        Two single-pole circuits that meet in a junction box are such ways: with one of them open
        the zone is still reached, and has lost a conductor.
        """
        devices, zones = self.supply.network.devices, self.supply.network.zones
        found: set[str] = set()
        for place in self.places:
            ways = [devices[way.device] for way in place.inputs if way.device]
            joins = place.node in zones and any(not device.converts for device in ways)
            circuits = (devices[node] for node in place.above if node in devices)
            if joins and any(one.legs and one.legs != one.bus_legs for one in circuits):
                found |= place.above
        return frozenset(found)

    def _under(self, nodes: Collection[str]) -> tuple[Place, ...]:
        return tuple(
            dict.fromkeys(place for node in nodes for place in self.places_under.get(node, ()))
        )

    def _has_lost_some(self, place: Place, shut: Collection[str]) -> bool:
        """Say whether a place has lost an input, and still has one."""
        seen = {ROOT}
        stack = [ROOT]
        while stack:
            for node in self.graph.succ[stack.pop()]:
                if node in place.above and node not in seen and node not in shut:
                    seen.add(node)
                    stack.append(node)
        left = [way.zone in seen and way.device not in shut for way in place.inputs]
        return any(left) and not all(left)

    def weakened_by_conductor(
        self, conductors: Conductors, opening: Opening, gone: Collection[str]
    ) -> dict[Group, None]:
        """Return the same where single conductors are open: an input needs all that it had."""
        found: dict[Group, None] = {}
        nothing = Opening(())
        for place in self._under({*opening.devices, *gone}):
            within = place.above | {place.node}
            before = conductors.arriving(self.name, nothing, within, place.node, {})
            left = within.difference(gone)
            after = conductors.arriving(self.name, opening, left, place.node, before)
            brought = [
                self._brought(conductors, nothing, way, before, (), {}) for way in place.inputs
            ]
            left_of = [
                self._brought(conductors, opening, way, after, gone, before) for way in place.inputs
            ]
            less = any(had & ~has for had, has in zip(brought, left_of, strict=True))
            if less and any(left_of):
                found.update(dict.fromkeys(place.groups))
        return found

    def _brought(
        self,
        conductors: Conductors,
        opening: Opening,
        way: Input,
        arriving: Mapping[str, Legs],
        gone: Collection[str],
        needed: Mapping[str, Legs],
    ) -> Legs:
        """Return the conductors that one way brings into a place."""
        network = self.supply.network
        if way.zone in network.sources:
            return 0 if way.zone in gone else network.sources[way.zone].legs
        legs = arriving.get(way.zone, 0)
        if not way.device:
            return legs
        return conductors.passed(self.name, opening, way.device, way.zone, legs, needed)
