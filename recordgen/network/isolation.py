"""Where every lock goes: the nearest lockable devices that cut a target off from all sources.

The region of a target is what can be reached from its conductors without passing a device that
isolates and is recorded as lockable; devices in the target's own enclosure do not count, since its
line terminals stay live. The lock set is the part of the region's boundary whose far side still
reaches a source when the whole boundary is open. So it is sound (nothing else leads in), lean
(each lock breaks a way of its own) and near (no lockable device lies in between).
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Literal

from recordgen.network.hazard import Hazard
from recordgen.network.model import Device, Network, local

Verdict = Literal["yes", "no", "unproven"]
TargetKind = Literal["load", "circuit", "equipment", "enclosure"]


@dataclass(frozen=True)
class IsolationTarget:
    """What is to be made dead.

    Attributes
    ----------
    tag : str
        Full tag of the load, circuit, equipment or panel.
    kind : TargetKind
    zones : tuple of str
        All conductors in it.
    enclosure : str or None
        The enclosure that devices inside do not isolate; None for a circuit's conductors.
    """

    tag: str
    kind: TargetKind
    zones: tuple[str, ...]
    enclosure: str | None


@dataclass(frozen=True)
class LockPoint:
    """One device to open and lock, and the way from a source that it breaks.

    `way` runs from the source to the device; device tags, couplings and zones in turn.
    """

    device: str
    way: tuple[str, ...]


@dataclass(frozen=True)
class Isolation:
    """The answer for one target.

    Attributes
    ----------
    target : IsolationTarget
    verdict : Verdict
        `yes`: the points isolate it from every recorded source. `no`: a source reaches it through
        nothing lockable. `unproven`: it depends on what is not recorded.
    points : tuple of LockPoint
        The near set. Where the verdict is not `yes` these locks are needed, but not enough.
    sources : tuple of str
        Every source that some way leads from to the target.
    reaching : tuple of tuple of str
        Ways from sources that no lock breaks, source first.
    reasons : tuple of str
        Why the verdict is not `yes`, in words.
    passed : tuple of str
        Devices nearer to the target that are no points to lock, in order of the search.
    """

    target: IsolationTarget
    verdict: Verdict
    points: tuple[LockPoint, ...]
    sources: tuple[str, ...]
    reaching: tuple[tuple[str, ...], ...]
    reasons: tuple[str, ...]
    passed: tuple[str, ...]


@dataclass(frozen=True)
class _Region:
    inside: dict[str, str | None]
    boundary: tuple[str, ...]
    passed: tuple[str, ...]


def target_of(network: Network, tag: str) -> IsolationTarget:
    """Return the isolation target that a full tag names.

    Raises
    ------
    KeyError
        Nothing of that name can be isolated.
    """
    if tag in network.loads:
        return IsolationTarget(tag, "load", network.loads[tag].zones, tag)
    if tag in network.circuit_zone:
        return IsolationTarget(tag, "circuit", (network.circuit_zone[tag],), None)
    device = network.devices.get(tag)
    if device is not None and device.kind == "main device":
        load_side = device.zone_at("load")
        return IsolationTarget(tag, "circuit", (load_side,) if load_side else (), None)
    box = network.enclosures[tag]
    kind: TargetKind = "equipment" if tag in network.devices else "enclosure"
    return IsolationTarget(tag, kind, tuple(box.zones), tag)


def isolate(hazard: Hazard, target: IsolationTarget) -> Isolation:
    """Return where to open and lock to make a target dead, or why that is not proven.

    Parameters
    ----------
    hazard : Hazard
    target : IsolationTarget
        See `target_of`.
    """
    network = hazard.network
    region = _region(network, target, lambda device: device.isolates)
    inner = [tag for tag in network.sources if tag in region.inside] if region.inside else []
    points = _locks(hazard, region)
    reaching = tuple(_way(region, tag) for tag in inner)
    sources = tuple(dict.fromkeys(tag for zone in target.zones for tag in hazard.sources_of(zone)))
    verdict, reasons = _judge(network, target, region, inner)
    return Isolation(target, verdict, points, sources, reaching, reasons, region.passed)


def _region(
    network: Network, target: IsolationTarget, is_boundary: Callable[[Device], bool]
) -> _Region:
    inside: dict[str, str | None] = dict.fromkeys(target.zones)
    boundary: dict[str, None] = {}
    passed: dict[str, None] = {}
    queue = deque(target.zones)
    while queue:
        here = queue.popleft()
        for near in network.hazard[here]:
            device = network.devices.get(near)
            if device is not None and near not in inside:
                if is_boundary(device) and device.enclosure != target.enclosure:
                    boundary[near] = None
                    continue
                passed[near] = None
            if near not in inside:
                inside[near] = here
                queue.append(near)
    return _Region(inside, tuple(boundary), tuple(passed))


def _locks(hazard: Hazard, region: _Region) -> tuple[LockPoint, ...]:
    find = hazard.path_finder(region.boundary)
    points = []
    for tag in region.boundary:
        far = [zone for zone in hazard.network.devices[tag].zones if zone not in region.inside]
        ways = [way for zone in far if (way := find(zone)) is not None]
        if ways:
            points.append(LockPoint(tag, (*min(ways, key=len), tag)))
    return tuple(points)


def _way(region: _Region, node: str) -> tuple[str, ...]:
    found = []
    here: str | None = node
    while here is not None:
        found.append(here)
        here = region.inside[here]
    return tuple(found)


def _judge(
    network: Network, target: IsolationTarget, region: _Region, inner: list[str]
) -> tuple[Verdict, tuple[str, ...]]:
    if not inner:
        return "yes", ()
    would_lock = _region(
        network,
        target,
        lambda device: device.opens_all and device.locks_open is not False,
    )
    stays = [tag for tag in inner if tag in would_lock.inside]
    reasons = [_reason(network, region, tag) for tag in inner]
    known = [tag for tag in stays if network.sources[tag].kind != "unknown"]
    return ("no" if known else "unproven"), tuple(dict.fromkeys(reasons))


def _reason(network: Network, region: _Region, source: str) -> str:
    """Return why nothing breaks the way from a source: what is passed, and who must act."""
    found = network.sources[source]
    if found.kind == "unknown":
        return f"{found.text}; it counts as live"
    devices = [network.devices[tag] for tag in _way(region, source) if tag in network.devices]
    barred = [f"{local(d.tag)} ({d.bars or 'in the same enclosure'})" for d in devices]
    through = f" through {', then '.join(barred)}" if barred else " with no device in between"
    who = found.operator or {
        "utility": "the utility must open the service",
        "UPS battery": "the UPS must be shut down and its battery disconnected",
    }.get(found.kind, "who must act is not recorded")
    return f"{local(source)} reaches it{through}; {who}"


def still_live(
    hazard: Hazard, opened: Iterable[str], enclosures: Iterable[str]
) -> tuple[tuple[str, str, tuple[str, ...]], ...]:
    """Return the zones in some enclosures that a source still reaches with devices open.

    Returns
    -------
    tuple of (enclosure, zone, way)
        Full tag, zone id, and the way from a source to the zone.
    """
    find = hazard.path_finder(opened)
    found = []
    for tag in dict.fromkeys(enclosures):
        box = hazard.network.enclosures.get(tag)
        for zone in box.zones if box else ():
            way = find(zone)
            if way is not None:
                found.append((tag, zone, way))
    return tuple(found)
