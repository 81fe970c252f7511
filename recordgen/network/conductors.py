"""Supply conductor by conductor: what one open pole, a blown fuse or a two-pole switch leaves.

Every zone has a set of ungrounded conductors, as bits. Along the ways of a supply graph they pass
one by one; what converts (transformer, UPS, drive) needs all of its input, and so does a transfer
switch before it goes over to its other side. Two questions are asked of the same ways:

- what arrives for certain: `complete` zones still have all that they had with nothing opened;
- what may be live at all: also through a winding, or through a load between two conductors, which
  puts voltage on the dead one.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Collection, Mapping
from functools import cached_property
from typing import Final

from recordgen.network.dominators import ROOT
from recordgen.network.model import ALL_LEGS, Device, Legs
from recordgen.network.opening import Opening
from recordgen.network.supply_graphs import GraphName, SupplyGraphs, feed_node

Masks = dict[str, Legs]
"""Zone → the conductors that are supplied there; zones without any are left out."""

_NOTHING = Opening(())
_WIDEST: Final[tuple[GraphName, ...]] = ("possible", "bridged")
_ROUNDS: Final = 20
_ONE_WAY: Final = ("circuit device", "transformer")
"""What says nothing of its first zone by what it brings back there."""


class Conductors:
    """The conductors of every zone, in each supply graph."""

    def __init__(self, supply: SupplyGraphs) -> None:
        self.supply = supply
        self.network = supply.network
        self._known: frozenset[str] = frozenset()
        self._required: dict[GraphName, Masks] = {}
        self._settle_legs()

    def _settle_legs(self) -> None:
        """Find the circuits whose positions tell their conductors.

        They do where the bus has exactly the conductors of the panel's system: a single-phase panel
        on two of three phases names its own legs A and B, and which they are is not recorded. What
        comes back into a bus through one of its circuits says nothing about its legs.
        """
        for _ in range(_ROUNDS):
            carried: Masks = {}
            for graph in _WIDEST:
                for zone, legs in self._had(graph, back=False).items():
                    carried[zone] = carried.get(zone, 0) | legs
            known = frozenset(
                tag
                for tag, device in self.network.devices.items()
                if device.legs
                and device.opens_all
                and carried.get(device.zones[0]) == device.bus_legs
            )
            if known == self._known:
                return
            self._known = known

    @cached_property
    def _hops(self) -> dict[GraphName, dict[str, list[tuple[str, str]]]]:
        """Graph → zone → (device, zone behind it)."""
        found: dict[GraphName, dict[str, list[tuple[str, str]]]] = {}
        for name, graph in self.supply.graphs.items():
            hops = found[name] = {}
            for zone in self.network.zones:
                if zone in graph:
                    hops[zone] = [
                        (device, head)
                        for device in graph.succ[zone]
                        if device in self.network.devices
                        for head in graph.succ[device]
                        if head != zone
                    ]
        return found

    def legs(self, device: Device) -> Legs:
        """Return the conductors that a device carries when closed."""
        return device.legs if device.tag in self._known else ALL_LEGS

    def had(self, graph: GraphName) -> Masks:
        """Return what every zone has with nothing opened."""
        if graph not in self._required:
            self._required[graph] = self._had(graph)
        return self._required[graph]

    def _had(self, graph: GraphName, *, back: bool = True) -> Masks:
        forward = self._flow(graph, _NOTHING, {}, made=_forward, back=back)
        made = _made(forward)
        every = self._flow(graph, _NOTHING, {}, made=made, back=back)
        return self._flow(graph, _NOTHING, every, made=made, back=back)

    def arriving(
        self,
        graph: GraphName,
        opening: Opening,
        within: Collection[str] | None = None,
        without: str | None = None,
        had: Mapping[str, Legs] | None = None,
    ) -> Masks:
        """Return what arrives for certain at every zone while something is open.

        Parameters
        ----------
        graph : GraphName
        opening : Opening
        within : collection of str or None
            Zones and sources to look at; all, if None.
        without : str or None
            A zone that nothing may pass.
        had : mapping or None
            What every zone needs to be complete; what it has with nothing opened, if None.
        """
        normal = self.had(graph)
        had = normal if had is None else had
        return self._flow(graph, opening, had, _made(normal), within=within, without=without)

    def _flow(
        self,
        graph: GraphName,
        opening: Opening,
        required: Mapping[str, Legs],
        made: Callable[[Device, str], Legs],
        *,
        within: Collection[str] | None = None,
        without: str | None = None,
        back: bool = True,
    ) -> Masks:
        hops, devices = self._hops[graph], self.network.devices
        found: Masks = {}
        queue: deque[str] = deque()

        def arrive(zone: str, legs: Legs) -> None:
            before = found.get(zone, 0)
            if legs & ~before and zone != without and (within is None or zone in within):
                found[zone] = before | legs
                queue.append(zone)

        for zone, legs in self._starts(graph, opening, within):
            arrive(zone, legs)
        while queue:
            zone = queue.popleft()
            for tag, head in hops.get(zone, ()):
                device = devices[tag]
                if not back and device.kind in _ONE_WAY and head == device.zones[0]:
                    continue
                passed = self.passed(graph, opening, tag, zone, found[zone], required)
                if passed:
                    arrive(head, made(device, head) if device.converts else passed)
        return found

    def passed(
        self,
        graph: GraphName,
        opening: Opening,
        tag: str,
        zone: str,
        legs: Legs,
        required: Mapping[str, Legs],
    ) -> Legs:
        """Return which of the conductors that arrive at a zone pass a device from there.

        What converts passes all or nothing: all, where everything required is there.
        """
        if tag in opening.whole or tag in opening.partial:
            return 0
        device = self.network.devices[tag]
        cut = opening.poles.get(tag, 0)
        needed = required.get(zone, 0)
        whole = legs & needed == needed
        if device.converts:
            return legs if whole and not cut & legs else 0
        if not whole and self._waits(graph, device, zone):
            return 0
        return legs & self.legs(device) & ~cut

    def _waits(self, graph: GraphName, device: Device, zone: str) -> bool:
        """Say whether a transfer switch goes over to a side only when that is complete."""
        stands = graph in ("normal", "battery") or self.supply.normal.has_edge(zone, device.tag)
        return device.kind == "transfer switch" and not stands

    def gone_over(self, opening: Opening) -> frozenset[str]:
        """Return the transfer switches that leave by themselves the side on which they stand.

        They do where that side has lost a conductor, and another is complete. Until they have gone
        over, everything behind them is dark for a moment, on the conductors that were left too.
        """
        within = self.around("automatic", opening)
        had, has = self.had("automatic"), self.arriving("automatic", opening, within)
        standing, acting = self.supply.normal, self.supply.automatic

        def complete(zone: str) -> bool:
            return has.get(zone, 0) & had[zone] == had[zone]

        found = set()
        for tag in self._switches & within:
            sides = [zone for zone in acting.pred[tag] if zone in had]
            stands_on = [zone for zone in sides if standing.has_edge(zone, tag)]
            others = [zone for zone in sides if zone not in stands_on]
            if not all(map(complete, stands_on)) and any(map(complete, others)):
                found.add(tag)
        return frozenset(found)

    @cached_property
    def _switches(self) -> frozenset[str]:
        devices = self.network.devices.values()
        return frozenset(device.tag for device in devices if device.kind == "transfer switch")

    def _starts(
        self, graph: GraphName, opening: Opening, within: Collection[str] | None
    ) -> list[tuple[str, Legs]]:
        found = []
        succ = self.supply.graphs[graph].succ
        for tag in succ[ROOT]:
            source = self.network.sources[tag]
            if within is not None and tag not in within:
                continue
            through = [node for node in succ[tag] if node in self.network.devices]
            if any(node in opening.whole for node in through):
                continue  # the battery of a UPS that is switched off
            found += [(zone, source.legs) for zone in source.zones]
        return found

    def live(
        self, graph: GraphName, opening: Opening, within: Collection[str] | None = None
    ) -> Masks:
        """Return which conductors of every zone may be live while something is open.

        Parameters are those of `arriving`. What comes through a winding or a load counts too, at
        whatever voltage.
        """
        had, hops, devices = self.had(graph), self._hops[graph], self.network.devices
        made = _made(had)
        sure = self.arriving(graph, opening, within)
        found: Masks = {}
        queue: deque[str] = deque()

        def arrive(zone: str, legs: Legs) -> None:
            before = found.get(zone, 0)
            if legs & ~before and (within is None or zone in within):
                found[zone] = before | legs
                queue.append(zone)

        for zone, legs in self._starts(graph, opening, within):
            arrive(zone, legs)
        while queue:
            zone = queue.popleft()
            for other in self._bridged.get(zone, ()):
                arrive(other, had.get(other, 0))
            for tag, head in hops.get(zone, ()):
                device = devices[tag]
                waits = self._waits(graph, device, zone)
                if tag in opening.whole or (waits and sure.get(zone) != had.get(zone)):
                    continue
                if device.converts:
                    arrive(zone, had.get(zone, 0))
                    arrive(head, made(device, head))
                else:
                    kept = self.legs(device) & ~opening.poles.get(tag, 0)
                    arrive(head, found[zone] & kept)
        return found

    @cached_property
    def _bridged(self) -> dict[str, tuple[str, ...]]:
        """Zone → zones that a load puts voltage on when one conductor of the zone is live."""
        found: dict[str, dict[str, None]] = {}
        for load in self.network.loads.values():
            for zones in load.groups:
                for zone in zones:
                    found.setdefault(zone, {})[zone] = None
        for zone, meeting in self.supply.legs_meeting.items():
            found[zone].update(dict.fromkeys(meeting))
        for tag in self.network.unknown_load_circuits:
            zone = self.network.circuit_zone[tag]
            found.setdefault(zone, {})[zone] = None
        return {zone: tuple(others) for zone, others in found.items()}

    def around(self, graph: GraphName, opening: Opening) -> frozenset[str]:
        """Return everything that hangs together with what is opened."""
        parts, nothing = self.supply.parts[graph], frozenset[str]()
        return nothing.union(*(parts.get(device, nothing) for device in opening.devices))

    def incomplete(self, graph: GraphName, opening: Opening) -> set[str]:
        """Return the nodes that no longer have all they had: zones, and groups of several feeds."""
        within = self.around(graph, opening)
        had, has = self.had(graph), self.arriving(graph, opening, within)
        lost = {z for z in within if z in had and has.get(z, 0) & had[z] != had[z]}
        for node in within:
            if node in self._several:
                zones = self._several[node]
                if all(zone in lost for zone in zones if zone in had):
                    lost.add(node)
        return lost

    @cached_property
    def _several(self) -> dict[str, tuple[str, ...]]:
        """Node of a group of several feeds → their zones."""
        return {
            node: load.groups[index]
            for load in self.network.loads.values()
            for index in range(len(load.groups))
            if (node := feed_node(load, index)) not in self.network.zones
        }


def _forward(device: Device, head: str) -> Legs:
    """Return what a device makes, and nothing towards its line side."""
    return 0 if head == device.zone_at("line") else device.makes


def _made(had: Mapping[str, Legs]) -> Callable[[Device, str], Legs]:
    """Return a function: device, zone → the conductors that the device makes there."""

    def made(device: Device, head: str) -> Legs:
        if head == device.zone_at("line"):
            return had.get(head) or device.line_makes
        return device.makes

    return made
