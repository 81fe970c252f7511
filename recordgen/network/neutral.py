"""What an open neutral does to the loads that use it.

A neutral passes what is closed in the positions it is asked for, also when somebody opens it then:
breakers leave it joined, ties and transfer switches open it with the rest. Beyond what stands open,
a spare way to another panel or a tie, no neutral is counted on. Asked of the state after all has
acted by itself, sources that have started bring theirs, and a transfer switch joins the side it has
gone over to. Loads on a neutral that has lost its origin
stand in series between the ungrounded conductors they hang on: some see too much voltage, some too
little. Where they all hang on one conductor they go out, and the dead neutral stands at line
voltage behind them.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from functools import cached_property
from typing import Final

from recordgen.network.conductors import Conductors
from recordgen.network.dominators import ROOT
from recordgen.network.model import Device, Legs
from recordgen.network.opening import Opening
from recordgen.network.supply_graphs import GraphName, Group, SupplyGraphs
from recordgen.network.ways import standing_ways

Feed = tuple[str, int, str]
"""A way that a load is fed: the load, the place among its groups, the zone."""
_NOTHING: Final = Opening(())


class Neutrals:
    """The neutral conductors of a network, for one set of switch positions.

    Parameters
    ----------
    supply : SupplyGraphs
    conductors : Conductors
    graph : GraphName
        "normal", or "automatic" for the state after all has acted by itself.
    """

    def __init__(
        self, supply: SupplyGraphs, conductors: Conductors, graph: GraphName = "normal"
    ) -> None:
        self.supply = supply
        self.network = supply.network
        self.conductors = conductors
        self.graph = graph
        self._near: dict[str, list[tuple[str, str]]] = {zone: [] for zone in self.network.zones}
        for device in self.network.devices.values():
            for first, second in self._joined(device):
                through = _side(device.tag, first) if device.tag in self._switches else device.tag
                self._near[first].append((through, second))
                self._near[second].append((through, first))
        of_circuits = set(self.network.circuit_zone.values())
        for coupling in self.network.couplings.values():
            # Couplings beyond disconnects stand for the same neutral once more.
            if coupling.kind == "shared neutral" and of_circuits.issuperset(coupling.zones):
                first, second = coupling.zones
                self._near[first].append((coupling.id, second))
                self._near[second].append((coupling.id, first))

    @cached_property
    def _groups_touching(self) -> dict[str, list[Group]]:
        """Zone → the groups of feeds that have it as one of their ways."""
        found: dict[str, list[Group]] = {}
        for tag, load in self.network.loads.items():
            for index, zones in enumerate(load.groups):
                for zone in dict.fromkeys(zones):
                    found.setdefault(zone, []).append((tag, index))
        return found

    @cached_property
    def _switches(self) -> dict[str, list[str]]:
        """Transfer switch that joins one of its sides → the sides, the one it stands on first."""
        found = {}
        graph, standing = self.supply.graphs[self.graph], self.supply.normal
        for device in self.network.devices.values():
            if device.kind == "transfer switch" and device.neutral_follows:
                zones = [zone for zone in graph.pred[device.tag] if zone in self.network.zones]
                stands_on = [zone for zone in zones if standing.has_edge(zone, device.tag)]
                found[device.tag] = list(dict.fromkeys([*stands_on, *zones]))
        return found

    def _not_joined(self, opening: Opening) -> set[str]:
        """Return the sides of transfer switches that carry no neutral while something is open."""
        had = self.conductors.had(self.graph)
        has = had if self.graph == "normal" or not opening.asked else None
        found: set[str] = set()
        for tag, sides in self._switches.items():
            if has is None:
                has = self.conductors.arriving(self.graph, opening)
            whole = [z for z in sides if z in had and has.get(z, 0) & had[z] == had[z]]
            chosen = next(iter(whole or sides), None)
            found |= {_side(tag, zone) for zone in sides if zone != chosen}
        return found

    def _joined(self, device: Device) -> list[tuple[str, str]]:
        if device.kind == "transformer":
            return []
        if device.tag in self._switches:
            return [(side, device.load_side) for side in self._switches[device.tag]]
        standing = standing_ways(device, self.supply.positions)
        if device.kind == "transfer switch" and not device.neutral_follows:
            # Recorded as solid: both sides, whichever it stands on.
            first, *others = device.zones
            return [(first, other) for other in others]
        return standing

    def _origins(self, cut: Collection[str] = ()) -> list[str]:
        running = self.supply.graphs[self.graph].succ[ROOT]
        sources = (self.network.sources[tag] for tag in running)
        found = [zone for source in sources if source.neutral for zone in source.zones]
        for device in self.network.devices.values():
            zone = device.zone_at("load")
            if device.makes_neutral and zone is not None and device.tag not in cut:
                found.append(zone)
        return found

    def _reached(self, starts: Iterable[str], cut: Collection[str]) -> set[str]:
        seen = set(starts)
        stack = list(seen)
        while stack:
            for through, zone in self._near[stack.pop()]:
                if zone not in seen and through not in cut:
                    seen.add(zone)
                    stack.append(zone)
        return seen

    def _cut(self, opening: Opening) -> set[str]:
        """Return what the neutral no longer passes: circuits that share it, together.

        Ties and transfer switches open it with the rest, unless theirs is recorded as solid.
        """
        devices = self.network.devices
        opened = {tag for tag in opening.whole | opening.partial if devices[tag].neutral_follows}
        cut = opened.union(*(self._sharing(tag) for tag in opening.neutrals))
        sides = {_side(tag, z) for tag in cut for z in self._switches.get(tag, ())}
        return cut | sides | self._not_joined(opening)

    def _sharing(self, tag: str) -> set[str]:
        seen, stack = {tag}, [tag]
        while stack:
            for other in self._shared.get(stack.pop(), ()):
                if other not in seen:
                    seen.add(other)
                    stack.append(other)
        return seen

    @cached_property
    def _shared(self) -> dict[str, list[str]]:
        """Circuit → the circuits recorded as sharing its neutral."""
        found: dict[str, list[str]] = {}
        for coupling in self.network.couplings.values():
            for first, second in coupling.ends if coupling.kind == "shared neutral" else ():
                found.setdefault(first, []).append(second)
                found.setdefault(second, []).append(first)
        return found

    def afloat(self, opening: Opening, dead: Collection[str]) -> dict[Feed, bool]:
        """Return the feeds of loads that an open neutral touches.

        Parameters
        ----------
        opening : Opening
        dead : collection of str
            Zones that nothing supplies any more.

        Returns
        -------
        dict
            (load, place of the group, zone) → whether it may see an abnormal voltage; otherwise it
            goes out, with its neutral at line voltage.
        """
        cut = self._cut(opening)
        had = self._reached(self._origins(), self._not_joined(_NOTHING))
        lost = had - self._reached(self._origins(cut), cut)
        found: dict[Feed, bool] = {}
        while lost:
            island = self._reached([min(lost)], cut) & lost
            lost -= island
            supplied = island.difference(dead)
            using = dict(self._using(supplied))
            on = self._unknown(supplied)
            for legs in using.values():
                on |= legs
            found |= dict.fromkeys(using, on.bit_count() > 1)
        return found

    def _using(self, zones: Collection[str]) -> Iterator[tuple[Feed, Legs]]:
        """Yield the feeds that use the neutral in some zones, and the conductors they stand on."""
        had = self.conductors.had(self.graph)
        for zone in zones:
            legs = had.get(zone, 0)
            for load, index in self._groups_touching.get(zone, ()):
                single = legs.bit_count() == 1
                if legs and (single or not self.network.loads[load].line_to_line):
                    yield (load, index, zone), legs

    def _unknown(self, zones: Collection[str]) -> Legs:
        """Return the conductors of circuits of unknown loads: these may use the neutral."""
        had = self.conductors.had(self.graph)
        on: Legs = 0
        for zone in zones:
            if zone in self.supply.unknown_loads_at:
                on |= had.get(zone, 0)
        return on


def _side(tag: str, zone: str) -> str:
    """Return the name of one side of a transfer switch."""
    return f"{tag} from {zone}"
