"""What stays live in enclosures that somebody opens."""

from __future__ import annotations

from collections.abc import Iterable

from recordgen.network.isolation import still_live
from recordgen.network.model import local
from recordgen.pages.answer_values import LiveLine
from recordgen.pages.known import Known


def live_lines(
    known: Known, opened: Iterable[str], boxes: Iterable[str], own: Iterable[str]
) -> tuple[LiveLine, ...]:
    """Return what stays live in enclosures, and what shares a neutral with opened circuits."""
    found: dict[tuple[str, str], list[str]] = {}
    ordinary: dict[tuple[str, str], int] = {}
    for box, zone, way in still_live(known.portfolio.hazard, opened, boxes):
        # The way comes through the circuit's own device: as live as the bus, no surprise.
        before = way[-2] if len(way) > 1 else ""
        key = (box, way[0])
        if before in known.network.circuit_zone and before.startswith(f"{box}/"):
            ordinary[key] = ordinary.get(key, 0) + 1
        else:
            found.setdefault(key, []).append(_what(known, box, zone))
    for key, count in ordinary.items():
        text = f"load terminals of {count} other circuit{'s' if count > 1 else ''}"
        found.setdefault(key, []).append(text)
    lines = [LiveLine(box, ", ".join(what), source) for (box, source), what in found.items()]
    shut = set(opened)
    for tag in own:
        for partner in _sharing_neutral(known, tag):
            if partner not in shut:
                what = f"neutral shared with {local(partner)} carries its current"
                lines.append(LiveLine(tag, what, ""))
    return tuple(lines)


def _what(known: Known, box: str, zone: str) -> str:
    labels = known.network.zones[zone].labels.get(box, [])
    return ", ".join(labels) or "conductors"


def _sharing_neutral(known: Known, tag: str) -> list[str]:
    zone = known.network.circuit_zone.get(tag)
    if zone is None:
        return []
    partners = []
    for near in known.network.hazard[zone]:
        coupling = known.network.couplings.get(near)
        if coupling is not None and coupling.kind == "shared neutral":
            other = coupling.zones[coupling.zones[0] == zone]
            partners += known.circuits_at.get(other, [])
    return partners
