"""Locks and tags that hang now, as recorded."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from recordgen.records.loader import LoadedBuilding
from recordgen.records.parts import LockInForce


def locks_in_force(buildings: Mapping[str, LoadedBuilding]) -> dict[str, dict[str, str]]:
    """Return what locks hang now.

    Returns
    -------
    dict
        Full tag of the panel or equipment → full tag of the device → the lock as text.
    """
    found: dict[str, dict[str, str]] = {}
    for building, loaded in buildings.items():
        for box, device, lock in _recorded(loaded):
            here = found.setdefault(f"{building}:{box}", {})
            here[f"{building}:{device}"] = _text(lock)
    return found


def _recorded(loaded: LoadedBuilding) -> Iterator[tuple[str, str, LockInForce]]:
    for tag, panel in loaded.records.panels.items():
        if panel.main_lock_in_force is not None:
            yield tag, f"{tag}/main", panel.main_lock_in_force
        for position, circuit in panel.circuits.items():
            if circuit.lock_in_force is not None:
                yield tag, f"{tag}/{position}", circuit.lock_in_force
    for tag, equipment in loaded.records.equipment.items():
        if equipment.lock_in_force is not None:
            yield tag, tag, equipment.lock_in_force


def locks_on(
    in_force: Mapping[str, Mapping[str, str]], tags: Iterable[str]
) -> Iterator[tuple[str, str]]:
    """Yield (full tag of the device, the lock as text) for every lock that hangs on some things.

    Parameters
    ----------
    in_force : mapping
        See `locks_in_force`.
    tags : iterable of str
        Full tags of devices, circuits, equipment, or whole panels with all their devices.
    """
    for tag in dict.fromkeys(tags):
        box = tag.partition("/")[0]
        for device, text in in_force.get(box, {}).items():
            if tag in (device, box):
                yield device, text


def _text(found: LockInForce) -> str:
    lock = found.lock or "lock, number not recorded"
    reason = f": {found.reason}" if found.reason else ""
    return f"{lock}, by {found.by} since {found.since.isoformat()}{reason}"
