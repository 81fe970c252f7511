"""What stays live in enclosures that somebody opens."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from recordgen.network.live_sources import LiveSources
from recordgen.network.model import local
from recordgen.pages.answer_values import LiveLine
from recordgen.pages.known import Known


def live_lines(
    known: Known,
    opened: Collection[str],
    boxes: Iterable[str],
    own: Iterable[str],
    neutrals: Iterable[str] = (),
) -> tuple[LiveLine, ...]:
    """Return what stays live in enclosures, and what shares a neutral with opened circuits.

    Parameters
    ----------
    known : Known
    opened : collection of str
        Devices (full tags) that open every ungrounded conductor.
    boxes : iterable of str
        Enclosures to look into.
    own : iterable of str
        Circuits that somebody opens: the others on their neutral are named.
    neutrals : iterable of str
        Devices at whose place the neutral is open.
    """
    find = LiveSources(known.portfolio.hazard, opened)
    found: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    ordinary: dict[tuple[str, tuple[str, ...]], int] = {}
    for box in dict.fromkeys(boxes):
        enclosure = known.network.enclosures.get(box)
        for zone in enclosure.zones if enclosure else ():
            sources = find.of(zone)
            if not sources:
                continue
            if _is_ordinary(known, find, box, zone):
                ordinary[box, sources] = ordinary.get((box, sources), 0) + 1
            else:
                found.setdefault((box, sources), []).append(_what(known, box, zone))
    for key, count in ordinary.items():
        text = f"load terminals of {count} other circuit{'s' if count > 1 else ''}"
        found.setdefault(key, []).append(text)
    lines = [LiveLine(box, ", ".join(what), sources) for (box, sources), what in found.items()]
    for tag in own:
        for partner in known.sharing_neutral(tag):
            if partner not in opened:
                what = f"neutral shared with {local(partner)} carries its current"
                lines.append(LiveLine(tag, what, ()))
    for tag in neutrals:
        shared = [local(partner) for partner in known.sharing_neutral(tag)]
        whose = ", ".join([local(tag), *shared])
        what = f"open neutral of {whose}: may stand at line voltage beyond the break"
        lines.append(LiveLine(tag, what, ()))
    return tuple(lines)


def _is_ordinary(known: Known, find: LiveSources, box: str, zone: str) -> bool:
    """Say whether a zone is live through a device of the box: as live as its bus, no surprise."""
    return any(
        circuit.startswith(f"{box}/") and find.comes_through(zone, circuit)
        for circuit in known.circuits_at.get(zone, ())
    )


def _what(known: Known, box: str, zone: str) -> str:
    labels = known.network.zones[zone].labels.get(box, [])
    return ", ".join(labels) or "conductors"
