"""What the tables of the outage planner are made from: the network, sorted by building."""

from __future__ import annotations

from collections.abc import Iterable

from recordgen.network.model import building_of
from recordgen.network.supply_graphs import running_now
from recordgen.pages.view import View


def building_of_zone(zone: str) -> str:
    """Return the building of a zone's first point, after which it is named: `=clinic:LP-1/3`."""
    return building_of(zone.removeprefix("="))


class Parts:
    """What the tables of all buildings are made from: the network, sorted by building.

    Parameters
    ----------
    view : View
    groups : list
        The buildings that hang together, in groups.
    """

    def __init__(self, view: View, groups: Iterable[tuple[str, ...]]) -> None:
        self.view = view
        self.network = network = view.network
        self.zones = _by_building({zone: building_of_zone(zone) for zone in network.zones})
        self.devices = _by_building(_with_building(network.devices))
        self.sources = _by_building(_with_building(network.sources))
        self.loads = _by_building(_with_building(network.loads))
        self.depends = _by_building(_with_building(network.depends))
        self.unknown_loads = _by_building(_with_building(network.unknown_load_circuits))
        self.couplings = _by_building(
            {tag: building_of_zone(one.zones[0]) for tag, one in network.couplings.items()}
        )
        self.present = any(device.present for device in network.devices.values())
        self.running = running_now(network)
        self.rank = self._ranks(groups)

    def _ranks(self, groups: Iterable[tuple[str, ...]]) -> dict[str, int]:
        """Return coupling → its place among those that hang together with it.

        A place among all couplings would change with the records of buildings far away.
        """
        group_of = {name: group for group in groups for name in group}
        count: dict[tuple[str, ...], int] = {}
        found = {}
        for tag, coupling in self.network.couplings.items():
            group = group_of[building_of_zone(coupling.zones[0])]
            found[tag] = count[group] = count.get(group, -1) + 1
        return found


def _with_building(tags: Iterable[str]) -> dict[str, str]:
    return {tag: building_of(tag) for tag in tags}


def _by_building(building: dict[str, str]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for tag, name in building.items():
        found.setdefault(name, []).append(tag)
    return found
