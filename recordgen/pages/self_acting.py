"""What acts by itself: engines that start, switches that transfer, batteries, arrays.

What no lock stands before has to be kept from acting before anything is opened: the opening itself
may make it act. What a lock stops is only told, since blocking it would take standby power from
others for nothing. What is not recorded counts as acting by itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from recordgen.network.between import Between
from recordgen.network.isolation import Isolation
from recordgen.network.model import Device, NetworkSource
from recordgen.pages.known import Known
from recordgen.pages.lockout_values import SelfActing

Acting = tuple[str, str]
"""What a thing is, and how it is kept from acting."""


def everything_self_acting(known: Known) -> dict[str, Acting]:
    """Return full tag → what it is and what to do, for every source and device that acts itself."""
    found: dict[str, Acting | None] = {}
    for source in known.network.sources.values():
        found[source.tag] = _source(known, source)
    for device in known.network.devices.values():
        found[device.tag] = _device(known, device)
    return {tag: acting for tag, acting in found.items() if acting is not None}


def self_acting(
    by_tag: Mapping[str, Acting], found: Isolation, between: Between
) -> tuple[SelfActing, ...]:
    """Return what acts by itself on some way to a target, the nearest to it first.

    Parameters
    ----------
    by_tag : mapping
        See `everything_self_acting`.
    found : Isolation
        The answer for the target.
    between : Between
        What stands on some way to the target.
    """
    here = [tag for tag in by_tag if between.holds(tag)]
    order = dict.fromkeys(_nearest_first(found)) if len(here) > 1 else {}
    near = [tag for tag in order if tag in by_tag]
    inside = {*found.passed, *(line.source for line in found.proof if line.broken_by is None)}
    lines = [SelfActing(t, *by_tag[t], t not in inside) for t in dict.fromkeys([*near, *here])]
    return tuple(sorted(lines, key=lambda line: line.stopped))


def _nearest_first(found: Isolation) -> Iterator[str]:
    """Yield the nodes on the ways that are known, those near to the target first."""
    yield from found.passed
    for line in found.proof:
        yield from reversed(line.way)


def _source(known: Known, source: NetworkSource) -> Acting | None:
    if source.kind == "generator":
        start = getattr(known.record_of(source.tag), "start", None)
        if start == "manual":
            return None
        what = "starts by itself" if start else "start not recorded: take it as automatic"
        return f"generator, {what}", "block its start"
    acting: dict[str, Acting] = {
        "battery storage": ("battery storage", "shut it down and open its own disconnect"),
        "photovoltaic": ("photovoltaic, live in daylight", "switch its inverters off"),
    }
    return acting.get(source.kind)


def _device(known: Known, device: Device) -> Acting | None:
    if device.kind == "UPS":
        return "UPS with a battery", "shut it down as its maker says"
    if device.kind not in ("transfer switch", "bus tie"):
        return None
    operation = getattr(known.record_of(device.tag), "operation", None)
    if operation == "manual":
        return None
    what = f"automatic {device.kind}"
    if operation is None:
        what = f"{device.kind}, operation not recorded: take it as automatic"
    return what, "set it to manual, or block its transfer"
