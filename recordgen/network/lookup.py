"""Finding what somebody typed: a device to open, or anything that can be isolated."""

from __future__ import annotations

from collections.abc import Iterable

from recordgen.network.model import Network
from recordgen.network.opening import LEG_BITS, NEUTRAL, conductors_of
from recordgen.records.messages import closest


class NotFound(LookupError):
    """Nothing bears the name; `hint` says what it may have been meant to be."""

    def __init__(self, message: str, hint: str | None) -> None:
        super().__init__(f"{message}; {hint}" if hint else message)


def find_building(buildings: Iterable[str], text: str) -> str:
    """Return the id of a building, whatever its case.

    Raises
    ------
    NotFound
    """
    known = list(buildings)
    found = next((name for name in known if name.lower() == text.lower()), None)
    if found is None:
        hint = closest(text, known) or f"there are: {', '.join(known)}"
        raise NotFound(f'there is no building "{text}"', hint)
    return found


def find_device(network: Network, building: str, text: str) -> str:
    """Return the full tag of a device: `LP-2A/14`, `LP-2A/main`, `ATS-1`, `AHU-2/disconnect`.

    Any one position of a multi-pole device names it.

    Raises
    ------
    NotFound
    """
    return _find(network.devices, building, text, "device")


def find_opening(network: Network, building: str, text: str) -> str:
    """Return the full tag of a device, or of one conductor of it.

    `LP-2A/2-4-6/B` is one pole of a device (a blown fuse), `LP-2A/14/N` the neutral there.

    Raises
    ------
    NotFound
    """
    device, _, conductor = text.strip().rpartition("/")
    letter = conductor.upper()
    try:
        return find_device(network, building, text)
    except NotFound:
        _refuse_source(network, building, text)
        if not device or letter not in (*LEG_BITS, NEUTRAL):
            raise
    found = find_device(network, building, device)
    known = conductors_of(network.devices[found])
    if letter not in known:
        raise NotFound(f"{device} has no conductor {letter}", f"it has {', '.join(known)}")
    return f"{found}/{letter}"


def _refuse_source(network: Network, building: str, text: str) -> None:
    wanted = text.strip().lower()
    full = wanted if ":" in wanted else f"{building.lower()}:{wanted}"
    if full in map(str.lower, network.sources):
        below = "ask for the device below it, which is what is opened"
        raise NotFound(f'"{text}" is a source, not a device', below)


def find_target(network: Network, building: str, text: str) -> str:
    """Return the full tag of a load, circuit, piece of equipment or panel.

    Raises
    ------
    NotFound
    """
    known = {**network.loads, **network.circuit_zone, **network.enclosures, **network.devices}
    return _find(known, building, text, "load, circuit, equipment or panel")


def _find(known: Iterable[str], building: str, text: str, what: str) -> str:
    wanted = text.strip().lower()
    if ":" not in wanted:
        wanted = f"{building.lower()}:{wanted}"
    by_lower = {tag.lower(): tag for tag in known}
    if wanted in by_lower:
        return by_lower[wanted]
    box, _, position = wanted.partition("/")
    for lower, tag in by_lower.items():
        start, _, positions = lower.partition("/")
        if start == box and position and position in positions.split("-"):
            return tag
    local_name = wanted.partition(":")[2]
    own = [tag.partition(":")[2] for tag in by_lower.values() if tag.startswith(f"{building}:")]
    raise NotFound(f'there is no {what} "{text}" in {building}', closest(local_name, own))
