"""How many ungrounded conductors a zone has, and which devices leave some of them closed.

A device with fewer poles than the conductors it stands in does not isolate them, and what it opens
may leave a voltage at the loads. Where poles or conductors are not recorded, the device is taken
as made for its zone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from recordgen.network.model import ALL_LEGS, Device, Legs, Network
from recordgen.records.system import NominalSystem

_IN_LINE = frozenset({"main device", "disconnect", "local disconnect", "bus tie"})
_CARRIES_ON = _IN_LINE | {"motor starter", "variable-frequency drive"}


def ungrounded(system: NominalSystem | None) -> int | None:
    """Return the number of ungrounded conductors of a system; None where it is not recorded.

    Without a neutral both conductors of a single-phase system may be ungrounded, and of direct
    current both poles.
    """
    return {3: 3, 1: 2, 0: 2}.get(system.phases) if system is not None else None


def legs_of(system: NominalSystem | None) -> Legs:
    """Return the ungrounded conductors of a system: A and B of two, all of three or unknown."""
    return {2: 3}.get(ungrounded(system) or 3, ALL_LEGS)


def has_neutral(system: NominalSystem | None) -> bool:
    """Say whether a system has a neutral; it may where the system is not recorded."""
    return system is None or system.neutral_v is not None


def mark_partial_devices(
    network: Network, by_system: Mapping[str, int], by_circuit: Mapping[str, int]
) -> None:
    """Mark the devices of a network that do not open every ungrounded conductor.

    Parameters
    ----------
    network : Network
        Its devices are replaced.
    by_system : mapping
        Zone → conductors of the systems recorded at panels, sources and transformers there.
    by_circuit : mapping
        Zone → poles of the circuit whose load side it is.
    """
    in_zone = {
        zone: max(by_system.get(zone, 0), by_circuit.get(zone, 0))
        for zone in (*by_system, *by_circuit)
    }
    _carry_on(network, in_zone)
    for tag, device in network.devices.items():
        needed = _needed(device, in_zone)
        if device.poles is not None and needed is not None and device.poles < needed:
            bars = f"opens {device.poles} of {needed} ungrounded conductors"
            network.devices[tag] = replace(device, opens_all=False, bars=bars)


def _needed(device: Device, in_zone: Mapping[str, int]) -> int | None:
    if device.kind in _IN_LINE:
        return max((in_zone[zone] for zone in device.zones if zone in in_zone), default=None)
    load = device.zone_at("load")
    # A circuit takes as many conductors off the bus as it has poles, unless what it feeds is
    # recorded to have more.
    return in_zone.get(load) if device.kind == "circuit device" and load else None


def _carry_on(network: Network, in_zone: dict[str, int]) -> None:
    """Give zones of which nothing is recorded the conductors of those in line with them.

    Where several lead to them, the most.
    """
    behind: dict[str, list[str]] = {}
    for device in network.devices.values():
        if device.kind in _CARRIES_ON:
            for zone in device.zones:
                behind.setdefault(zone, []).extend(z for z in device.zones if z != zone)
    recorded = sorted(in_zone, key=in_zone.__getitem__)
    while recorded:
        # The most first: what has been reached is settled.
        stack = [recorded.pop()]
        while stack:
            zone = stack.pop()
            for other in behind.get(zone, ()):
                if other not in in_zone:
                    in_zone[other] = in_zone[zone]
                    stack.append(other)
