"""Where to test that a target is dead, and between which conductors."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from recordgen.network.isolation import IsolationTarget
from recordgen.network.model import Legs, Network, building_of, local
from recordgen.pages.known import Known
from recordgen.pages.lockout_values import TestPoint
from recordgen.records.supply import Panel
from recordgen.records.system import NominalSystem

_AS_THEY_ARE: Final = frozenset(
    {
        "main device",
        "disconnect",
        "local disconnect",
        "bus tie",
        "transfer switch",
        "motor starter",
    }
)
"""Devices behind which the conductors are the same as before them; a circuit takes some only."""
_OF_CIRCUIT: Final = "load terminals of "
_FAR: Final = 40
"""How many nodes are looked at for what the conductors of a zone are; then it is not recorded."""


@dataclass(frozen=True)
class Conductors:
    """The conductors of a zone as far as they are recorded.

    `names` of the ungrounded ones, empty where not recorded; `neutral` is None where not recorded.
    """

    names: str = ""
    neutral: bool | None = None

    @property
    def pairs(self) -> str:
        """Between which conductors to test, in words."""
        if not self.names:
            return (
                "conductors not recorded: every one to every other, to neutral and to ground; "
                "neutral to ground"
            )
        first = " and ".join([", ".join(self.names[:-1]), self.names[-1]]).removeprefix(" and ")
        ring = self.names + self.names[0] if len(self.names) > 2 else self.names
        apart = [f"{a} to {b}" for a, b in pairwise(ring)]
        each = "each " if len(self.names) > 1 else ""
        if self.neutral is False:
            return f"{'; '.join([', '.join(apart), f'{first} {each}to ground']).removeprefix('; ')}"
        neutral = "neutral" if self.neutral else "neutral, where there is one,"
        groups = [", ".join(apart), f"{first} {each}to {neutral} and to ground"]
        return "; ".join([*filter(None, groups), "neutral to ground"])


def conductors_at(known: Known) -> dict[str, Conductors]:
    """Return zone → its conductors, where a record at the zone itself tells them."""
    network = known.network
    found: dict[str, Conductors] = {}
    for building, loaded in known.portfolio.buildings.items():
        for tag, source in loaded.records.sources.items():
            _add(found, network.sources[f"{building}:{tag}"].zones, source.system)
        for tag, equipment in loaded.records.equipment.items():
            if equipment.kind == "transformer":
                device = network.devices[f"{building}:{tag}"]
                line, load = device.zone_at("line"), device.zone_at("load")
                _add(found, [line] if line else [], equipment.primary)
                _add(found, [load] if load else [], equipment.secondary)
        for tag, panel in loaded.records.panels.items():
            box = network.enclosures[f"{building}:{tag}"]
            own = [z for z in box.zones if _is_bus(network, box.tag, z)]
            _add(found, own, panel.system)
            for position, circuit in panel.circuits.items():
                if not circuit.space and panel.system is not None:
                    circuit_tag = f"{box.tag}/{position}"
                    zone = network.circuit_zone[circuit_tag]
                    said = _of_circuit(network, panel, circuit_tag)
                    if said is not None:
                        found[zone] = said
    return found


def _is_bus(network: Network, box: str, zone: str) -> bool:
    return not {"bus", "line terminals"}.isdisjoint(network.zones[zone].labels.get(box, ()))


def _add(found: dict[str, Conductors], zones: Iterable[str], system: NominalSystem | None) -> None:
    names = {3: "ABC", 1: "AB"}.get(system.phases) if system is not None else None
    if system is not None and names is not None:
        for zone in zones:
            found.setdefault(zone, Conductors(names, system.neutral_v is not None))


def _of_circuit(network: Network, panel: Panel, tag: str) -> Conductors | None:
    device = network.devices[tag]
    if panel.system is None:
        return None
    names = _names(device.legs)
    has_neutral = panel.system.neutral_v is not None
    if not names and device.poles and device.poles == panel.system.phases == 3:
        names = "ABC"
    if not names:
        return None
    # A circuit of several poles may leave the neutral behind.
    return Conductors(names, (True if len(names) == 1 else None) if has_neutral else False)


def _names(legs: Legs) -> str:
    return "".join(name for bit, name in enumerate("ABC") if legs & 1 << bit)


def _nearest(network: Network, recorded: Mapping[str, Conductors], zone: str) -> Conductors:
    """Return the conductors of a zone: as recorded there, or at the nearest zone like it."""
    seen = {zone}
    queue = deque([zone])
    while queue and len(seen) < _FAR:
        here = queue.popleft()
        if here in recorded:
            return recorded[here]
        for near in network.hazard[here]:
            device = network.devices.get(near)
            passes = device is None and near in network.zones
            passes = passes or (device is not None and device.kind in _AS_THEY_ARE)
            if passes and near not in seen:
                seen.add(near)
                queue.append(near)
    return Conductors()


def points_to_test(
    network: Network,
    recorded: Mapping[str, Conductors],
    target: IsolationTarget,
    circuits_at: Mapping[str, Sequence[str]],
) -> tuple[TestPoint, ...]:
    """Return where to test, enclosure by enclosure, those terminals together that are alike.

    Parameters
    ----------
    network : Network
    recorded : mapping
        See `conductors_at`.
    target : IsolationTarget
    circuits_at : mapping
        Zone → the circuits whose load side it is.
    """
    found: dict[tuple[str, str], list[str]] = {}
    circuits: dict[tuple[str, str], list[str]] = {}
    for tag in target.tags:
        for box, label, zone in _terminals(network, tag):
            key = (box, _nearest(network, recorded, zone).pairs)
            labels = found.setdefault(key, [])
            of_circuit = tag == box and label.startswith(_OF_CIRCUIT)
            labels = circuits.setdefault(key, []) if of_circuit else labels
            if label not in labels:
                labels.append(label)
    lines = []
    for key, labels in found.items():
        own = circuits.get(key, [])
        own = own if len(own) < 2 else [f"{_OF_CIRCUIT}{len(own)} circuits"]
        lines.append(TestPoint(key[0], ", ".join([*labels, *own]), key[1]))
    return (*lines, *_sharing_neutrals(network, recorded, target, circuits_at))


def _sharing_neutrals(
    network: Network,
    recorded: Mapping[str, Conductors],
    target: IsolationTarget,
    circuits_at: Mapping[str, Sequence[str]],
) -> Iterator[TestPoint]:
    """Yield circuits that share a neutral with one of the target: they lie in the same boxes."""
    seen: set[str] = set()
    for zone in target.zones:
        group = [] if zone in seen else _group(network, zone)
        seen.update(group)
        # What a disconnect at a load has behind it are conductors of its circuit, told there.
        own = [near for near in group if near in circuits_at]
        circuits = [tag for near in own for tag in circuits_at[near]]
        if len(circuits) < 2:
            continue
        box = network.devices[circuits[0]].enclosure
        names = [
            local(tag).partition("/")[2]
            if network.devices[tag].enclosure == box
            else (local(tag) if building_of(tag) == building_of(box) else tag)
            for tag in circuits
        ]
        yield TestPoint(
            box,
            f"{_OF_CIRCUIT}{', '.join(names[:-1])} and {names[-1]}, which share a neutral, and in "
            "every box that they pass together",
            _together([_nearest(network, recorded, near) for near in own]).pairs,
        )


def _group(network: Network, zone: str) -> list[str]:
    """Return a zone and those that share its neutral, be it by way of each other."""
    found = [zone]
    for here in found:
        for near in network.hazard[here]:
            coupling = network.couplings.get(near)
            if coupling is not None and coupling.kind == "shared neutral":
                found += [other for other in coupling.zones if other not in found]
    return found


def _together(each: Iterable[Conductors]) -> Conductors:
    """Return the conductors of several circuits in one box.

    Where two have a conductor of the same letter, letters do not tell them apart: not recorded.
    """
    parts = list(each)
    names = "".join(part.names for part in parts)
    told = all(part.names for part in parts) and len(set(names)) == len(names)
    return Conductors("".join(sorted(names)), neutral=True) if told else Conductors()


def _terminals(network: Network, tag: str) -> Iterator[tuple[str, str, str]]:
    """Yield (enclosure, name of the terminals, zone) of everything in a target."""
    device = network.devices.get(tag)
    if device is not None and device.kind in ("circuit device", "main device"):
        zone = device.zone_at("load")
        if zone is not None:
            port = local(tag).partition("/")[2]
            yield device.enclosure, f"{_OF_CIRCUIT}{port}", zone
        return
    for zone in network.enclosures[tag].zones:
        for label in network.zones[zone].labels.get(tag, ("conductors",)):
            yield tag, label, zone
