"""The data of every building that the outage planner answers from in a browser.

Buildings that hang together are answered from together, so that no source is left out: `together`
names them in the data of each, and all of them carry the same `key`, a digest of what they say.
A zone that another building names stands in `named_zones`. `planner_tables.py` says what else there
is; `recordgen/site/assets/outage-network.js` reads it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from typing import Any

from recordgen.network.model import Network, building_of
from recordgen.pages.data_script import data_script
from recordgen.pages.planner_parts import Parts, building_of_zone
from recordgen.pages.planner_tables import Tables
from recordgen.pages.view import View


def planner_data(view: View) -> dict[str, dict[str, Any]]:
    """Return building → its data, for every building of a portfolio."""
    groups = hanging_together(view.network, view.portfolio.buildings)
    parts = Parts(view, groups)
    tables = {name: Tables(parts, name) for name in view.portfolio.buildings}
    found = {name: one.data() for name, one in tables.items()}
    for group in groups:
        abroad = {zone for name in group for zone in tables[name].abroad}
        for name in group:
            numbers = tables[name].zones
            named = {number: zone for zone, number in numbers.items() if zone in abroad}
            found[name] |= {"named_zones": named, "together": [*group]}
        key = _digest(as_script(found[name]) for name in group)[:16]
        for name in group:
            found[name]["key"] = key
    return found


def as_script(data: dict[str, Any]) -> str:
    """Return the data of a building as a script, whose text is harmless wherever it stands."""
    return data_script("outageData", data)


def hanging_together(network: Network, buildings: Iterable[str]) -> list[tuple[str, ...]]:
    """Return the buildings in groups, each of those that one answer may have to look at.

    They share conductors or a neutral, or something in one depends on something in the other.
    """
    members = {name: {name} for name in buildings}
    for touched in _touching(network):
        if len(touched) > 1:
            union = set[str]().union(*(members[name] for name in touched))
            for name in union:
                members[name] = union
    return list(dict.fromkeys(tuple(sorted(group)) for group in members.values()))


def _touching(network: Network) -> Iterator[set[str]]:
    """Yield sets of buildings that have something in common."""
    for zone in network.zones.values():
        yield {building_of_zone(zone.id), *map(building_of, zone.labels)}
    for device in network.devices.values():
        yield {building_of(device.tag), *map(building_of_zone, device.zones)}
    for source in network.sources.values():
        yield {building_of(source.tag), *map(building_of_zone, source.zones)}
    for load in network.loads.values():
        zones = (zone for group in load.groups for zone in group)
        yield {building_of(load.tag), *map(building_of_zone, zones)}
    for coupling in network.couplings.values():
        yield set(map(building_of_zone, coupling.zones))
    for tag, needs in network.depends.items():
        yield {building_of(tag), *map(building_of, needs)}


def _digest(texts: Iterable[str]) -> str:
    found = hashlib.sha256()
    for text in texts:
        found.update(text.encode())
    return found.hexdigest()
