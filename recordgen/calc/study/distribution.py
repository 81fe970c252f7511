"""Which thing hangs on which in the normal state, and by which conductors: one tree for all sums.

The network knows zones; a calculation wants things. Every source, panel, circuit and piece of
equipment is an element here, hanging on the one that feeds it in the normal state. Where a record
names several feeds, the first that is supplied in the normal state counts, or else the first.
What is fed from unknown is an element without a feed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from recordgen.network.model import Network
from recordgen.network.references import Resolver
from recordgen.network.supply import Supply
from recordgen.records.equipment import BusTie, Equipment, TransferSwitch, Transformer
from recordgen.records.loader import LoadedBuilding
from recordgen.records.parts import Conductors
from recordgen.records.positions import Reference
from recordgen.records.supply import Circuit, Load, Panel, Source
from recordgen.records.system import NominalSystem

Record = Source | Panel | Circuit | Equipment


@dataclass(frozen=True)
class Element:
    """A thing that hands power on.

    Attributes
    ----------
    tag : str
        Full tag.
    kind : str
        "source", "panel", "circuit", or the kind of equipment.
    record : Source, Panel, Circuit or Equipment
    feed : str or None
        Full tag of the element it hangs on in the normal state.
    other_feeds : tuple of str
        Full tags of what may feed it in another state.
    live : bool
        Whether a source supplies it in the normal state.
    conductors : Conductors or None
        From its feed to it; of a circuit, from its device to what hangs on it.
    conductors_of : str
        Full tag of the record that holds these conductors.
    system : NominalSystem or None
        What it hands on; None where that is not recorded and does not follow.
    legs : str
        The ungrounded conductors it hands on, "ABC", "A", "CA"; empty where they do not follow.
    poles : int or None
        How many ungrounded conductors it hands on.
    """

    tag: str
    kind: str
    record: Record
    feed: str | None
    other_feeds: tuple[str, ...]
    live: bool
    conductors: Conductors | None
    conductors_of: str
    system: NominalSystem | None
    legs: str
    poles: int | None


@dataclass(frozen=True)
class LoadAt:
    """A load at one of the elements that feed it.

    Attributes
    ----------
    tag : str
        Full tag of the load.
    load : Load
    feeds : tuple of str
        Every element that feeds it, in order of the record.
    """

    tag: str
    load: Load
    feeds: tuple[str, ...]


@dataclass
class Distribution:
    """The elements of a portfolio, feeds before what they feed."""

    buildings: Mapping[str, LoadedBuilding]
    network: Network
    supply: Supply
    elements: dict[str, Element] = field(init=False)

    def __post_init__(self) -> None:
        """Find every element and put them in order."""
        self._resolver = Resolver(self.buildings, [])
        self._feeds: dict[str, tuple[str, ...]] = {}
        self._records: dict[str, Record] = {}
        for building, loaded in self.buildings.items():
            self._note(building, loaded)
        self.elements = {}
        for tag in self._records:
            self._place(tag)

    @cached_property
    def below(self) -> Mapping[str, list[str]]:
        """Element → the elements that hang on it, in order of the records."""
        found: dict[str, list[str]] = {tag: [] for tag in self.elements}
        for tag in self._records:
            feed = self.elements[tag].feed
            if feed is not None:
                found[feed].append(tag)
        return found

    @cached_property
    def loads_at(self) -> Mapping[str, list[LoadAt]]:
        """Element → the loads that hang on it, in order of the records."""
        found: dict[str, list[LoadAt]] = {}
        for building, loaded in self.buildings.items():
            for local, recorded in loaded.loads.items():
                tag = f"{building}:{local}"
                circuits = self.network.loads[tag].circuits
                feeds = tuple(dict.fromkeys(c for c in circuits if c in self.elements))
                one = LoadAt(tag, recorded.load, feeds)
                for feed in feeds:
                    found.setdefault(feed, []).append(one)
        return found

    def path(self, tag: str) -> tuple[Element, ...]:
        """Return the elements from the source down to one, both included."""
        found = []
        here: str | None = tag
        while here is not None:
            found.append(self.elements[here])
            here = found[-1].feed
        return tuple(reversed(found))

    def from_loads_up(self) -> Iterator[Element]:
        """Yield every element after all that hang on it."""
        return reversed(self.elements.values())

    def _note(self, building: str, loaded: LoadedBuilding) -> None:
        records = loaded.records
        for local, source in records.sources.items():
            self._records[f"{building}:{local}"] = source
            self._feeds[f"{building}:{local}"] = ()
        for local, panel in records.panels.items():
            tag = f"{building}:{local}"
            self._records[tag] = panel
            self._feeds[tag] = self._in_order(building, tag, panel.fed_from or ())
            for position, circuit in panel.circuits.items():
                if not circuit.space:
                    self._records[f"{tag}/{position}"] = circuit
                    self._feeds[f"{tag}/{position}"] = (tag,)
        for local, equipment in records.equipment.items():
            if not isinstance(equipment, BusTie):
                tag = f"{building}:{local}"
                self._records[tag] = equipment
                self._feeds[tag] = self._in_order(building, tag, _references(equipment))

    def _in_order(
        self, building: str, tag: str, references: tuple[Reference, ...]
    ) -> tuple[str, ...]:
        """Return what some references name, what is supplied in the normal state first."""
        place = self.buildings[building].where_building()
        targets = [self._resolver.resolve(one, building, place) for one in references]
        found = dict.fromkeys(t.tag for t in targets if t is not None and t.tag != tag)
        return tuple(sorted(found, key=lambda feed: not self._live(feed)))

    def _live(self, tag: str) -> bool:
        """Say whether a source supplies a thing in the normal state, and not by way of itself."""
        network, tree = self.network, self.supply.dominators["normal"]
        device = network.devices.get(tag)
        if device is not None:
            side = device.zone_at("normal") or device.zones[0]
            return device.closed and tree.supplied(side) and not tree.governs(tag, side)
        if tag in network.sources:
            return tree.supplied(tag)
        return tag in network.enclosures and tree.supplied(network.bus_zone(tag))

    def _place(self, tag: str) -> None:
        """Add an element after everything it hangs on."""
        way: list[str] = []
        here: str | None = tag
        while here is not None and here not in self.elements and here not in way:
            way.append(here)
            here = next(iter(self._feeds[here]), None)
        if here in way:  # a ring: the one that closes it hangs on nothing
            self._feeds[way[-1]] = ()
        for each in reversed(way):
            self.elements[each] = self._element(each)

    def _element(self, tag: str) -> Element:
        record = self._records[tag]
        feed, *others = self._feeds[tag] or (None,)
        above = self.elements[feed] if feed is not None else None
        conductors, of = self._conductors(tag, record, above)
        system, legs, poles = self._hands_on(tag, record, above)
        return Element(
            tag=tag,
            kind=_kind(record),
            record=record,
            feed=feed,
            other_feeds=tuple(one for one in others if one is not None),
            live=self._live(tag),
            conductors=conductors,
            conductors_of=of,
            system=system,
            legs=legs,
            poles=poles,
        )

    def _conductors(
        self, tag: str, record: Record, above: Element | None
    ) -> tuple[Conductors | None, str]:
        """Return the conductors that lead to an element, and whose record holds them.

        A circuit's own are those that leave it: what it feeds and has none recorded hangs on them.
        """
        if isinstance(record, Panel):
            own = record.feeder
        elif isinstance(record, Source):
            own = None
        else:
            own = record.conductors
        if own is None and above is not None and isinstance(above.record, Circuit):
            return above.record.conductors, above.tag
        return own, tag

    def _hands_on(
        self, tag: str, record: Record, above: Element | None
    ) -> tuple[NominalSystem | None, str, int | None]:
        if isinstance(record, Circuit):
            return self._of_circuit(tag)
        own: NominalSystem | None = None
        if isinstance(record, Source | Panel):
            own = record.system
        elif isinstance(record, Transformer):
            own = record.secondary
        if own is not None:
            legs = {3: "ABC", 1: "AB"}.get(own.phases, "")
            return own, legs, len(legs) or None
        # A panel or transformer may stand on less than its feed brings: nothing follows.
        if above is None or isinstance(record, Source | Panel | Transformer):
            return None, "", None
        return above.system, above.legs, above.poles

    def _of_circuit(self, tag: str) -> tuple[NominalSystem | None, str, int | None]:
        device = self.network.devices[tag]
        panel = self._records[tag.rpartition("/")[0]]
        system = panel.system if isinstance(panel, Panel) else None
        legs = "".join(leg for bit, leg in ((1, "A"), (2, "B"), (4, "C")) if device.legs & bit)
        if not legs and system is not None and device.poles == 3 and system.phases == 3:
            legs = "ABC"
        elif not legs and system is not None and device.poles == 2 and system.phases == 1:
            legs = "AB"
        return system, legs, device.poles or (len(legs) or None)


def _references(equipment: Equipment) -> tuple[Reference, ...]:
    if isinstance(equipment, TransferSwitch):
        return (equipment.normal_from, equipment.emergency_from)
    if isinstance(equipment, BusTie):
        return ()
    return equipment.fed_from or ()


def _kind(record: Record) -> str:
    if isinstance(record, Source):
        return "source"
    if isinstance(record, Panel):
        return "panel"
    return "circuit" if isinstance(record, Circuit) else record.kind
