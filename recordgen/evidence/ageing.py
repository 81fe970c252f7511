"""When evidence no longer holds: older than the owner's limit, or than a change of what it proves.

A change on the very day of the evidence counts as a later one: which came first is not recorded.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from recordgen.network.model import building_of, local
from recordgen.network.references import circuit_at
from recordgen.records.loader import LoadedBuilding


@dataclass(frozen=True)
class Ageing:
    """Tells why evidence has grown old; `buildings` is building id → its records."""

    buildings: Mapping[str, LoadedBuilding]
    as_of: dt.date

    def reason(self, home: str, what: str, date: dt.date, way: Iterable[str]) -> str:
        """Return why evidence of a day no longer holds; empty while it does.

        Parameters
        ----------
        home : str
            The building whose records hold the evidence; its owner's limit counts.
        what : str
            The evidence in words, like `trace TR-12`.
        date : date
        way : iterable of str
            Full tags of all that it proves something of: loads, circuits, panels, equipment.

        Returns
        -------
        str
            A sentence without a full stop; of several changes, the last.
        """
        changes = ((day, tag) for tag in way for day, tag in self.changes(tag))
        last = max((change for change in changes if change[0] >= date), default=None)
        if last is not None:
            day, tag = last
            name = local(tag) if building_of(tag) == home else tag
            if day == date:
                return (
                    f"{name} was changed on {day}, the day of {what}: which came first is not "
                    "recorded"
                )
            return f"{name} was changed on {day}, after {what} of {date}"
        limit = self.buildings[home].records.building.evidence_valid_days
        if limit is not None and (self.as_of - date).days > limit:
            return f"{what} of {date} is older than {limit}"
        return ""

    def changes(self, tag: str) -> Iterator[tuple[dt.date, str]]:
        """Yield the recorded changes that touch a thing: (day, full tag of what was changed).

        A circuit is touched by a change of its panel too.
        """
        building = building_of(tag)
        name, _, port = local(tag).partition("/")
        loaded = self.buildings.get(building)
        if loaded is None:
            return
        panel, equipment = loaded.records.panels.get(name), loaded.records.equipment.get(name)
        load = loaded.loads.get(name)
        for record in (panel, equipment, load.load if load is not None else None):
            if record is not None and record.changed is not None:
                yield record.changed, f"{building}:{name}"
        position = circuit_at(panel, port) if panel is not None and port else None
        if panel is not None and position is not None:
            changed = panel.circuits[position].changed
            if changed is not None:
                yield changed, tag
