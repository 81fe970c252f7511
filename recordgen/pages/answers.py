"""The two answers, put together for readers: what goes dark, and where the locks go.

Pages, terminal text and JSON all come from these values, so they cannot disagree.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from typing import TYPE_CHECKING

from recordgen.network.downstream import OUTCOMES, Affected, downstream
from recordgen.network.feed_path import FeedPath
from recordgen.network.isolation import isolate, still_live, target_of
from recordgen.network.model import Device, building_of, local
from recordgen.network.supply import Positions
from recordgen.pages.answer_values import (
    GRAVE,
    DeviceLine,
    DownstreamAnswer,
    IsolationAnswer,
    LiveLine,
    LoadLine,
    LockLine,
    Notice,
)
from recordgen.problems import Problem
from recordgen.records.parts import Placed, StoredEnergy
from recordgen.records.supply import Load

if TYPE_CHECKING:
    from recordgen.portfolio import Portfolio


class Answers:
    """Puts answers together from a checked portfolio."""

    def __init__(self, portfolio: Portfolio) -> None:
        self.portfolio = portfolio
        self.network = portfolio.network
        self._nowhere: dict[str, list[str]] = {}
        for source in self.network.sources.values():
            load = source.tag.removesuffix("/unknown-source")
            if source.kind == "unknown" and load in self.network.loads:
                self._nowhere.setdefault(building_of(load), []).append(load)

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

    def load(self, tag: str) -> Load:
        """Return the record of a load by its full tag."""
        return self.portfolio.buildings[building_of(tag)].loads[local(tag)].load

    def load_circuit(self, tag: str) -> str | None:
        """Return the first recorded feed of a load (full tags), or None."""
        circuits = self.network.loads[tag].circuits
        return circuits[0] if circuits else None

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

    def downstream(self, tags: Iterable[str], positions: Positions = "normal") -> DownstreamAnswer:
        """Return what happens when devices (full tags) are opened."""
        portfolio = self.portfolio
        supply = portfolio.supply if positions == "normal" else portfolio.present_supply
        found = downstream(supply, portfolio.hazard, tags)
        loads = tuple(sorted((self._load_line(a) for a in found.affected), key=_gravity))
        boxes = [self.network.devices[tag].enclosure for tag in found.opened]
        subjects = [*found.opened, *boxes, *found.unknown_loads]
        subjects += [line.tag for line in loads]
        buildings = {building_of(tag) for tag in found.opened}
        return DownstreamAnswer(
            opened=tuple(self.device_line(tag) for tag in found.opened),
            positions=positions,
            loads=loads,
            unknown_loads=found.unknown_loads,
            nowhere=tuple(
                tag
                for building, tags in self._nowhere.items()
                if building in buildings
                for tag in tags
            ),
            still_live=self._live(found.opened, boxes, found.opened),
            notify=self._notify(found.opened, loads),
            stops=self._stops(subjects),
        )

    def isolation(self, tag: str) -> IsolationAnswer:
        """Return where to lock to make a load, circuit, equipment or panel (full tag) dead.

        Raises
        ------
        KeyError
            Nothing of that name can be isolated.
        """
        target = target_of(self.network, tag)
        found = isolate(self.portfolio.hazard, target)
        points = tuple(
            LockLine(self.device_line(p.device), p.way[0], self._devices_on(p.way))
            for p in found.points
        )
        locks = [point.device for point in found.points]
        dark = self.downstream(locks)
        boxes = [*([target.enclosure] if target.enclosure else [])]
        boxes += [self.network.devices[lock].enclosure for lock in locks]
        if target.kind == "circuit":
            boxes.append(self.network.devices[tag].enclosure)
        subjects = [tag, *boxes, *locks, *(self._circuits_of(tag))]
        return IsolationAnswer(
            isolation=found,
            points=points,
            ways=tuple(self._devices_on(way) for way in found.reaching),
            sources=tuple((source, self.network.sources[source].text) for source in found.sources),
            dark=dark,
            still_live=self._live(locks, boxes, ()),
            stored_energy=self._stored_energy([tag, *found.passed], dark),
            passed=tuple(
                (device, self.network.devices[device].bars)
                for device in found.passed
                if self.network.devices[device].bars
            )
            if target.kind != "enclosure"
            else (),
            notes=tuple(self._not_looked_for(tag)),
            stops=self._stops([*subjects, *(line.tag for line in dark.loads)]),
            doubts=self._stops([tag, *locks, *self._circuits_of(tag)]),
        )

    def feed_paths(self, tag: str) -> list[FeedPath]:
        """Return the ways from the sources to a load, circuit, device or panel (full tag)."""
        paths = self.portfolio.feed_paths
        if tag in self.network.loads:
            return paths.of_load(tag)
        if tag in self.network.circuit_zone:
            return paths.of_zone(self.network.circuit_zone[tag], tag)
        device = self.network.devices.get(tag)
        if device is not None:
            return paths.of_zone(device.zones[-1], tag)
        return paths.of_zone(self.network.bus_zone(tag), tag)

    def _circuits_of(self, tag: str) -> tuple[str, ...]:
        load = self.network.loads.get(tag)
        return load.circuits if load else ()

    def _load_line(self, affected: Affected) -> LoadLine:
        load = self.load(affected.load)
        return LoadLine(
            tag=affected.load,
            kind=load.kind,
            description=load.description or "",
            room=load.room or "",
            circuits=self.network.loads[affected.load].circuits,
            outcome=affected.outcome,
            detail=self._detail(affected),
            again=affected.again,
            grade=self.portfolio.grades.of_load(affected.load),
            criticality=load.criticality or "",
            stop=any(
                problem.severity == "stop"
                for problem in self.portfolio.problems_of.get(affected.load, ())
            ),
        )

    def _detail(self, affected: Affected) -> str:
        if not affected.carried_by:
            return ""
        texts = []
        for tag in affected.carried_by:
            record = self.record_of(tag)
            minutes = getattr(record, "ride_through_min", None)
            how_long = minutes.written if minutes is not None else "time not recorded"
            texts.append(f"{local(tag)}: {how_long}")
        return "; ".join(texts)

    def _devices_on(self, way: Iterable[str]) -> tuple[str, ...]:
        """Return sources, devices and couplings on a way, without the zones between."""
        network = self.network
        return tuple(
            network.couplings[node].text if node in network.couplings else node
            for node in way
            if node not in network.zones
        )

    def _live(
        self, opened: Iterable[str], boxes: Iterable[str], own: Iterable[str]
    ) -> tuple[LiveLine, ...]:
        """Return what stays live in enclosures, and what shares a neutral with opened circuits."""
        found: dict[tuple[str, str], list[str]] = {}
        ordinary: dict[tuple[str, str], int] = {}
        for box, zone, way in still_live(self.portfolio.hazard, opened, boxes):
            # The way comes through the circuit's own device: as live as the bus, no surprise.
            before = way[-2] if len(way) > 1 else ""
            key = (box, way[0])
            if before in self.network.circuit_zone and before.startswith(f"{box}/"):
                ordinary[key] = ordinary.get(key, 0) + 1
            else:
                found.setdefault(key, []).append(self._what(box, zone))
        for key, count in ordinary.items():
            text = f"load terminals of {count} other circuit{'s' if count > 1 else ''}"
            found.setdefault(key, []).append(text)
        lines = [LiveLine(box, ", ".join(what), source) for (box, source), what in found.items()]
        shut = set(opened)
        for tag in own:
            for partner in self._sharing_neutral(tag):
                if partner not in shut:
                    what = f"neutral shared with {local(partner)} carries its current"
                    lines.append(LiveLine(tag, what, ""))
        return tuple(lines)

    def _what(self, box: str, zone: str) -> str:
        labels = self.network.zones[zone].labels.get(box, [])
        return ", ".join(labels) or "conductors"

    def _sharing_neutral(self, tag: str) -> list[str]:
        zone = self.network.circuit_zone.get(tag)
        if zone is None:
            return []
        partners = []
        for near in self.network.hazard[zone]:
            coupling = self.network.couplings.get(near)
            if coupling is not None and coupling.kind == "shared neutral":
                other = coupling.zones[coupling.zones[0] == zone]
                partners += self._circuits_at.get(other, [])
        return partners

    @cached_property
    def _circuits_at(self) -> dict[str, list[str]]:
        """Zone → the circuits whose load side it is."""
        found: dict[str, list[str]] = {}
        for tag, zone in self.network.circuit_zone.items():
            found.setdefault(zone, []).append(tag)
        return found

    def _notify(self, opened: Iterable[str], loads: Iterable[LoadLine]) -> tuple[Notice, ...]:
        """Return whom to tell, everyone once: those named for a load first."""
        named: dict[tuple[str, str], list[str]] = {}
        buildings = dict.fromkeys(building_of(tag) for tag in opened)
        for line in loads:
            building = building_of(line.tag)
            buildings.setdefault(building)
            for role in self.load(line.tag).notify:
                named.setdefault((building, role), []).append(local(line.tag))
        contacts = {
            (building, contact.role.lower()): contact
            for building in buildings
            for contact in self.portfolio.buildings[building].records.building.notify
        }
        found = []
        for (building, role), tags in named.items():
            contact = contacts.pop((building, role.lower()), None)
            when = f"{contact.when}; " if contact is not None and contact.when else ""
            phone = (contact.phone if contact is not None else None) or ""
            found.append(Notice(building, role, phone, f"{when}for {', '.join(tags)}"))
        for (building, _), contact in contacts.items():
            when = contact.when or "any outage"
            found.append(Notice(building, contact.role, contact.phone or "", when))
        return tuple(found)

    def _stops(self, subjects: Iterable[str]) -> tuple[Problem, ...]:
        by_tag = self.portfolio.problems_of
        found = {
            problem: None
            for tag in dict.fromkeys(subjects)
            for problem in by_tag.get(tag, ())
            if problem.severity == "stop"
        }
        return tuple(sorted(found, key=lambda problem: problem.location))

    def _stored_energy(
        self, nearby: Iterable[str], dark: DownstreamAnswer
    ) -> tuple[tuple[str, StoredEnergy], ...]:
        """Return stored energy of the target, of what is near it, and of loads that go dark."""
        tags = dict.fromkeys([*nearby, *(line.tag for line in dark.loads)])
        found = []
        for name in tags:
            record = self.record_of(name)
            for energy in getattr(record, "stored_energy", ()) if "/" not in local(name) else ():
                found.append((name, energy))
        return tuple(found)

    def _not_looked_for(self, tag: str) -> Iterable[str]:
        """Yield what a sheet leans on that nobody has recorded as looked for."""
        for circuit in dict.fromkeys((tag, *self._circuits_of(tag))):
            panel, _, position = local(circuit).partition("/")
            loaded = self.portfolio.buildings[building_of(circuit)]
            record = loaded.records.panels.get(panel)
            if record is None:
                continue
            if not position:
                if record.pass_through_checked is None:
                    yield f"whether conductors of other circuits pass through {panel}"
                continue
            for own, entry in record.circuits.items():
                looked_for = entry.neutral_checked or entry.neutral_shared_with
                if str(own) == position and not looked_for:
                    yield f"whether {panel}/{position} shares its neutral"
        box = self.portfolio.buildings[building_of(tag)].records.equipment.get(local(tag))
        if box is not None and box.pass_through_checked is None:
            yield f"whether conductors of other circuits pass through {local(tag)}"


def _lockable(device: Device) -> str:
    if device.isolates:
        return "can be locked open"
    return device.bars or "not recorded as lockable"


def _gravity(line: LoadLine) -> tuple[int, int]:
    grave = GRAVE.index(line.criticality) if line.criticality in GRAVE else len(GRAVE)
    return grave, OUTCOMES.index(line.outcome)
