"""Which zones a device joins: as it stands, by itself, and when somebody acts.

A way is a pair of zones, from where supply comes to where it goes. Breakers and ties lead both
ways; transfer switches, UPSs and drives towards their output only.
"""

from __future__ import annotations

from typing import Final, Literal

from recordgen.network.model import Device, Role

Positions = Literal["normal", "present"]
Ways = list[tuple[str, str]]

_SIDES: Final[dict[str | None, tuple[Role, ...]]] = {
    "emergency": ("emergency",),
    "bypass": ("maintenance", "bypass"),
    "open": (),
}
_AS_NORMAL: Final[tuple[Role, ...]] = ("normal", "line")


def standing_ways(device: Device, positions: Positions) -> Ways:
    """Return the ways through a device in its normal or its recorded present position."""
    state = device.present if positions == "present" else None
    output = _output(device)
    if output is not None:
        return _from_sides(device, _SIDES.get(state, _AS_NORMAL), output)
    closed = device.closed if state is None else state != "open"
    return _both(device) if closed else []


def standby_ways(device: Device, positions: Positions) -> Ways:
    """Return the ways that a device opens by itself when its normal side is lost."""
    if positions == "present" and device.present == "open":
        return []
    output = _output(device)
    if device.kind == "transfer switch" and device.automatic and output is not None:
        return _from_sides(device, ("normal", "emergency"), output)
    if device.kind == "UPS" and output is not None:
        return _from_sides(device, ("bypass",), output)
    return _both(device) if device.kind == "bus tie" and device.automatic else []


def possible_ways(device: Device, positions: Positions) -> Ways:
    """Return the ways that somebody can open by hand: to the other side, through a bypass, a tie.

    A circuit that is normally open is no standby, unless it is recorded as a tie. What is recorded
    as standing open now is taken as kept open.
    """
    if positions == "present" and device.present == "open":
        return []
    output = _output(device)
    if output is not None:
        sides: tuple[Role, ...] = (*_AS_NORMAL, "emergency", "bypass", "maintenance")
        return _from_sides(device, sides, output)
    return _both(device) if device.kind == "bus tie" else []


def _output(device: Device) -> str | None:
    """Return the zone that a device with sides of its own leads to; None for plain devices."""
    if device.kind not in ("transfer switch", "UPS", "variable-frequency drive"):
        return None
    return device.zone_at("output") or device.zone_at("load")


def _from_sides(device: Device, roles: tuple[Role, ...], output: str) -> Ways:
    return [(t.zone, output) for t in device.terminals if t.role in roles]


def _both(device: Device) -> Ways:
    first, second = device.zones
    return [(first, second), (second, first)]
