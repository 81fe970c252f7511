"""The tables of one building that the outage planner answers from, as plain values.

A table is a mapping, name of a column → its values in order of the records. A column that has
something to say of a few rows only is a mapping, row → value. A text is a number in `words`; a zone
is a number of its own building, or the name of a zone of another one.

What hangs on the records alone, and not on what somebody opens, is worked out here: the ways
through a device, the conductors that it carries.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from recordgen.network.model import ALL_LEGS, Device, building_of, local
from recordgen.network.ways import Positions, possible_ways, standby_ways, standing_ways
from recordgen.pages.planner_parts import Parts

Column = dict[int, Any]
"""Row → value, for what few rows have."""


@dataclass
class _Words:
    """Every text once, numbered in the order of first use."""

    numbers: dict[str, int] = field(default_factory=dict)

    def number(self, text: str) -> int:
        return self.numbers.setdefault(text, len(self.numbers))

    def column(self, texts: Iterable[str]) -> Column:
        """Return row → number, for the rows that have a text."""
        return {row: self.number(text) for row, text in enumerate(texts) if text}


class Tables:
    """Makes the tables of one building."""

    def __init__(self, parts: Parts, building: str) -> None:
        self.parts = parts
        self.view = parts.view
        self.network = parts.network
        self.building = building
        self.words = _Words()
        self.abroad: dict[str, None] = {}
        """Zones of other buildings that the tables name."""
        self.zones = _numbered(parts.zones.get(building, ()))
        self.devices = _numbered(parts.devices.get(building, ()))
        self.loads = _numbered(parts.loads.get(building, ()))
        self.boxes = _numbered(self.network.devices[tag].enclosure for tag in self.devices)
        self.patterns: dict[str, int] = {}

    def data(self) -> dict[str, Any]:
        """Return everything but what the other buildings say of this one."""
        contacts = self.view.loaded(self.building).records.building.notify
        devices = self._devices()
        return {
            "building": self.building,
            "name": self.view.building_name(self.building),
            "zones": len(self.zones),
            "boxes": self._boxes(),
            "devices": devices,
            "ways": [json.loads(pattern) for pattern in self.patterns],
            "unknown_loads": [
                self.devices[tag] for tag in self.parts.unknown_loads.get(self.building, ())
            ],
            "couplings": self._couplings(),
            "sources": self._sources(),
            "loads": self._loads(),
            "depends": self._depends(),
            "nowhere": [self.loads[tag] for tag in self._nowhere()],
            "contacts": [[one.role, one.phone or "", one.when or ""] for one in contacts],
            "rooms": self._rooms(),
            "stops": self._stops(),
            "words": list(self.words.numbers),
        }

    def _zone(self, zone: str) -> int | str:
        if zone in self.zones:
            return self.zones[zone]
        self.abroad[zone] = None
        return zone

    def _all(self, zones: Iterable[str]) -> list[int | str]:
        return [self._zone(zone) for zone in zones]

    def _boxes(self) -> dict[str, Any]:
        """Return the enclosures that hold a device, with what their zones are called there."""
        found = [self.network.enclosures[box] for box in self.boxes]
        return {
            "tag": [local(box.tag) for box in found],
            "zones": [self._all(box.zones) for box in found],
            "what": [
                [
                    self.words.number(self.network.zones[zone].label_in(box.tag))
                    for zone in box.zones
                ]
                for box in found
            ],
        }

    def _devices(self) -> dict[str, Any]:
        devices = [self.network.devices[tag] for tag in self.devices]
        lines = [self.view.answers.device_line(device.tag) for device in devices]
        normal = [self._legs(device, "normal") for device in devices]
        present = [self._legs(device, "present") for device in devices]
        ways = [self._pattern(device, "normal") for device in devices]
        ways_now = [self._pattern(device, "present") for device in devices]
        return {
            "tag": [local(device.tag) for device in devices],
            "kind": [self.words.number(device.kind) for device in devices],
            "box": [self.boxes[device.enclosure] for device in devices],
            "zones": [self._all(device.zones) for device in devices],
            "ways": ways,
            "present_ways": {row: now for row, now in enumerate(ways_now) if now != ways[row]},
            "legs": {row: legs for row, legs in enumerate(normal) if legs != ALL_LEGS},
            "present_legs": {row: legs for row, legs in enumerate(present) if legs != normal[row]},
            "partial": [row for row, device in enumerate(devices) if not device.opens_all],
            "makes": {
                row: [device.makes, device.line_makes]
                for row, device in enumerate(devices)
                if device.converts
            },
            "line_zone": {
                row: [terminal.role for terminal in device.terminals].index("line")
                for row, device in enumerate(devices)
                if device.converts and device.zone_at("line") is not None
            },
            "opens_with": {
                row: [self.devices[other] for other in device.opens_with]
                for row, device in enumerate(devices)
                if device.opens_with
            },
            "title": self.words.column(line.title for line in lines),
            "rating": self.words.column(line.rating for line in lines),
            "room": self.words.column(line.room for line in lines),
            "present": self.words.column(line.present for line in lines),
            "ride_through": self.words.column(map(self._ride_through, devices)),
        }

    def _legs(self, device: Device, positions: Positions) -> int:
        portfolio = self.view.portfolio
        now = positions == "present" and self.parts.present
        return (portfolio.present_supply if now else portfolio.supply).conductors.legs(device)

    def _pattern(self, device: Device, positions: Positions) -> int:
        """Return the number of the ways through a device: standing, by itself, by hand."""
        zones = device.zones
        pattern = [
            [[zones.index(start), zones.index(end)] for start, end in ways(device, positions)]
            for ways in (standing_ways, standby_ways, possible_ways)
        ]
        return self.patterns.setdefault(json.dumps(pattern), len(self.patterns))

    def _ride_through(self, device: Device) -> str:
        if device.kind != "UPS":
            return ""
        minutes = getattr(self.view.answers.record_of(device.tag), "ride_through_min", None)
        return str(minutes.written) if minutes is not None else ""

    def _couplings(self) -> list[list[int | str]]:
        """Return rank among the couplings that hang together, shared neutral or not, two zones."""
        tags = self.parts.couplings.get(self.building, ())
        couplings = [(self.parts.rank[tag], self.network.couplings[tag]) for tag in tags]
        return [
            [rank, int(one.kind == "shared neutral"), *self._all(one.zones)]
            for rank, one in couplings
        ]

    def _sources(self) -> dict[str, Any]:
        tags = self.parts.sources.get(self.building, ())
        sources = [self.network.sources[tag] for tag in tags]
        return {
            "tag": [local(source.tag) for source in sources],
            "kind": [self.words.number(source.kind) for source in sources],
            "text": self.words.column(source.text for source in sources),
            "zones": [self._all(source.zones) for source in sources],
            "legs": {row: s.legs for row, s in enumerate(sources) if s.legs != ALL_LEGS},
            "starts": [row for row, source in enumerate(sources) if source.starts_by_itself],
            "running": [row for row, s in enumerate(sources) if s.tag in self.parts.running],
            "carries": [row for row, source in enumerate(sources) if source.carries_load],
            "battery": {
                row: self.devices[source.tag.removesuffix("/battery")]
                for row, source in enumerate(sources)
                if source.kind == "UPS battery"
            },
        }

    def _loads(self) -> dict[str, Any]:
        tags = list(self.loads)
        loads = [self.network.loads[tag] for tag in tags]
        records = [self.view.answers.load(tag) for tag in tags]
        grades = [self.view.portfolio.grades.of_load(tag) for tag in tags]
        words = self.words
        return {
            "tag": [local(tag) for tag in tags],
            "kind": [words.number(record.kind) for record in records],
            "title": words.column(record.description or "" for record in records),
            "room": words.column(record.room or "" for record in records),
            "criticality": words.column(record.criticality or "" for record in records),
            "notify": {
                row: [words.number(role) for role in record.notify]
                for row, record in enumerate(records)
                if record.notify
            },
            "grade": [words.number(grade.name) for grade in grades],
            "reason": words.column(grade.reason for grade in grades),
            "circuits": [[self.devices.get(tag, tag) for tag in load.circuits] for load in loads],
            "groups": [[self._all(group) for group in load.groups] for load in loads],
            "legs_together": [row for row, load in enumerate(loads) if load.legs_together],
            "sheet": [row for row, tag in enumerate(tags) if self.view.sheet_path(tag)],
        }

    def _depends(self) -> list[list[Any]]:
        return [
            [local(tag), [[need, self._deciding(need)] for need in self.network.depends[tag]]]
            for tag in self.parts.depends.get(self.building, ())
        ]

    def _deciding(self, tag: str) -> int | str | None:
        """Return the zone whose supply a circuit, device or enclosure has lost or kept."""
        network = self.network
        if tag in network.circuit_zone:
            return self._zone(network.circuit_zone[tag])
        if tag in network.devices:
            return self._zone(network.devices[tag].load_side)
        # A load is lost by its outcome.
        is_box = tag in network.enclosures and tag not in network.loads
        return self._zone(network.bus_zone(tag)) if is_box else None

    def _nowhere(self) -> list[str]:
        return self.view.answers.nowhere.get(self.building, [])

    def _rooms(self) -> list[list[int]]:
        rooms = self.view.loaded(self.building).records.rooms
        return [
            [self.words.number(tag), self.words.number(room.name or "")]
            for tag, room in rooms.items()
        ]

    def _stops(self) -> list[dict[str, object]]:
        """Return the problems that say STOP on anything of this building."""
        return [
            problem.as_json()
            for problem in self.view.portfolio.problems
            if problem.severity == "stop"
            and any(
                building_of(tag) == self.building for tag in (*problem.subjects, *problem.leaning)
            )
        ]


def _numbered(names: Iterable[str]) -> dict[str, int]:
    return {name: number for number, name in enumerate(dict.fromkeys(names))}
