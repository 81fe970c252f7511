"""What the records say of a tag, as sheets name it: its record, its place, what warns of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

from recordgen.network.model import Device, building_of, local
from recordgen.network.opening import NEUTRAL, split_conductor
from recordgen.pages.answer_values import DeviceLine
from recordgen.problems import Problem
from recordgen.records.parts import Placed
from recordgen.records.supply import Load

if TYPE_CHECKING:
    from recordgen.portfolio import Portfolio


class Known:
    """A checked portfolio, asked for what the records say of a tag."""

    def __init__(self, portfolio: Portfolio) -> None:
        self.portfolio = portfolio
        self.network = portfolio.network

    def record_of(self, tag: str) -> Placed | None:
        """Return the record that says where a thing is: a panel, equipment, load or source."""
        loaded = self.portfolio.buildings.get(building_of(tag))
        if loaded is None:
            return None
        name = local(tag).split("/")[0]
        records = loaded.records
        for section in (records.panels, records.equipment, records.sources):
            found = section.get(name)
            if found is not None:
                return found
        recorded = loaded.loads.get(name)
        return recorded.load if recorded else None

    def has_box(self, tag: str) -> bool:
        """Say whether a full tag is that of a panel or equipment, which others may pass through."""
        records = self.portfolio.buildings[building_of(tag)].records
        return local(tag) in records.panels or local(tag) in records.equipment

    def load(self, tag: str) -> Load:
        """Return the record of a load by its full tag."""
        return self.portfolio.buildings[building_of(tag)].loads[local(tag)].load

    def load_circuit(self, tag: str) -> str | None:
        """Return the first recorded feed of a load (full tags), or None."""
        circuits = self.network.loads[tag].circuits
        return circuits[0] if circuits else None

    def opened_line(self, tag: str) -> DeviceLine:
        """Return what is opened as sheets name it: a device, or one conductor of it."""
        device, conductor = split_conductor(self.network, tag)
        line = self.device_line(device)
        if not conductor:
            return line
        what = "neutral" if conductor == NEUTRAL else f"conductor {conductor} alone"
        return replace(line, tag=tag, title=f"{what} of {line.title or local(device)}")

    def device_line(self, tag: str) -> DeviceLine:
        """Return a device as sheets name it."""
        device = self.network.devices[tag]
        record = self.record_of(tag)
        room, directions = record.room if record else None, record.directions if record else None
        if device.kind == "local disconnect":
            switch = self.load(tag.removesuffix("/disconnect")).local_disconnect
            if switch is not None:
                room, directions = switch.room or room, switch.directions or directions
        return DeviceLine(
            tag=tag,
            kind=device.kind,
            title=device.title,
            rating=device.rating,
            room=room or "",
            directions=directions or "",
            key=(record.key if record else None) or "",
            lockable=_lockable(device),
            present=device.present or "",
        )

    def circuits_of(self, tag: str) -> tuple[str, ...]:
        """Return the recorded feeds of a load (full tags); nothing for what is no load."""
        load = self.network.loads.get(tag)
        return load.circuits if load else ()

    def stops(self, subjects: Iterable[str], opened: Iterable[str] = ()) -> tuple[Problem, ...]:
        """Return every STOP that touches any of some full tags, in order of place.

        Of those that are `opened`, also what their lists of what goes dark lean on.
        """
        by_tag, leaning = self.portfolio.problems_of, self.portfolio.stops_leaning
        found = {
            problem: None
            for tag in dict.fromkeys(subjects)
            for problem in by_tag.get(tag, ())
            if problem.severity == "stop"
        }
        found.update((problem, None) for tag in opened for problem in leaning.get(tag, ()))
        return tuple(sorted(found, key=lambda problem: problem.location))

    @cached_property
    def nowhere(self) -> dict[str, list[str]]:
        """Building → full tags of its loads whose source is not recorded."""
        found: dict[str, list[str]] = {}
        for source in self.network.sources.values():
            load = source.tag.removesuffix("/unknown-source")
            if source.kind == "unknown" and load in self.network.loads:
                found.setdefault(building_of(load), []).append(load)
        return found

    @cached_property
    def circuits_at(self) -> dict[str, list[str]]:
        """Zone → the circuits whose load side it is."""
        found: dict[str, list[str]] = {}
        for tag, zone in self.network.circuit_zone.items():
            found.setdefault(zone, []).append(tag)
        return found

    def sharing_neutral(self, tag: str) -> list[str]:
        """Return the circuits that share the neutral of a circuit (full tags)."""
        zone = self.network.circuit_zone.get(tag)
        if zone is None:
            return []
        partners = []
        for near in self.network.hazard[zone]:
            coupling = self.network.couplings.get(near)
            if coupling is not None and coupling.kind == "shared neutral":
                other = coupling.zones[coupling.zones[0] == zone]
                partners += self.circuits_at.get(other, [])
        return partners

    def devices_on(self, way: Iterable[str]) -> tuple[str, ...]:
        """Return sources, devices and couplings on a way, without the zones between."""
        network = self.network
        return tuple(
            network.couplings[node].text if node in network.couplings else node
            for node in way
            if node not in network.zones
        )


def _lockable(device: Device) -> str:
    if device.isolates:
        return "can be locked open"
    return device.bars or "not recorded as lockable"
