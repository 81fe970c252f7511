"""Connection points and the conductors that join them; joined points become zones."""

from __future__ import annotations

from dataclasses import dataclass, field

from networkx.utils import UnionFind

from recordgen.network.model import Enclosure, Zone


@dataclass
class Points:
    """The terminals of everything recorded, each in an enclosure and with a name there."""

    _where: dict[str, tuple[str, str]] = field(default_factory=dict)
    _joined: UnionFind[str] = field(default_factory=UnionFind)
    _crossing: list[tuple[str, str]] = field(default_factory=list)

    def add(self, point: str, enclosure: str, label: str) -> str:
        """Add a terminal and return its name."""
        self._where[point] = (enclosure, label)
        self._joined[point]
        return point

    def join(self, first: str, second: str) -> None:
        """Join two terminals by conductors that nothing interrupts."""
        self._joined.union(first, second)

    def cross(self, enclosure: str, point: str) -> None:
        """Note that the conductors at `point` pass through an enclosure they do not belong to."""
        self._crossing.append((enclosure, point))

    def zones(self) -> tuple[dict[str, str], dict[str, Zone], dict[str, Enclosure]]:
        """Return point → zone id, zone id → zone, and enclosure tag → enclosure.

        A zone is named after the first of its points in order of the records, so that the same
        records give the same names.
        """
        first: dict[str, str] = {}
        zone_of: dict[str, str] = {}
        zones: dict[str, Zone] = {}
        enclosures: dict[str, Enclosure] = {}
        for point, (enclosure, label) in self._where.items():
            zone_id = first.setdefault(self._joined[point], f"={point}")
            zone_of[point] = zone_id
            zone = zones.setdefault(zone_id, Zone(zone_id))
            zone.labels.setdefault(enclosure, []).append(label)
            box = enclosures.setdefault(enclosure, Enclosure(enclosure))
            if zone_id not in box.zones:
                box.zones.append(zone_id)
        for enclosure, point in self._crossing:
            zone_id = zone_of[point]
            box = enclosures.setdefault(enclosure, Enclosure(enclosure))
            if zone_id not in box.zones:
                box.zones.append(zone_id)
                box.crossing.append(zone_id)
                zones[zone_id].labels.setdefault(enclosure, []).append("passing through")
        return zone_of, zones, enclosures
