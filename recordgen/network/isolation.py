"""Where every lock goes: the nearest lockable devices that cut a target off from all sources.

The region of a target is what can be reached from its conductors without passing a device that
isolates and is recorded as lockable; devices in the target's own enclosures do not count, since
their line terminals stay live. The lock set is the part of the region's boundary whose far side
still reaches a source when the whole boundary is open. So it is sound (nothing else leads in), lean
(each lock breaks a way of its own) and near (no lockable device lies in between).
"""

from __future__ import annotations

from collections.abc import Container, Iterable
from dataclasses import dataclass
from typing import Literal

from recordgen.network.between import Between
from recordgen.network.fewest_locks import fewest_locks
from recordgen.network.hazard import Hazard
from recordgen.network.model import Device, Network, building_of, local
from recordgen.network.proof import Proof, proof_of
from recordgen.network.region import Region, region_of

Verdict = Literal["yes", "no", "unproven"]
TargetKind = Literal["load", "circuit", "equipment", "enclosure", "job"]


@dataclass(frozen=True)
class IsolationTarget:
    """What is to be made dead: one thing, or all that a job touches.

    Attributes
    ----------
    tags : tuple of str
        Full tags of the loads, circuits, equipment or panels.
    kind : TargetKind
        `job` where there are several.
    zones : tuple of str
        All conductors in them.
    enclosures : tuple of str
        The enclosures that devices inside do not isolate; none for a circuit's conductors.
    """

    tags: tuple[str, ...]
    kind: TargetKind
    zones: tuple[str, ...]
    enclosures: tuple[str, ...]

    @property
    def home(self) -> str:
        """The building of the thing named first."""
        return building_of(self.tags[0])


@dataclass(frozen=True)
class LockPoint:
    """One device to open and lock.

    Attributes
    ----------
    device : str
    way : tuple of str
        A way from a source to the device that it breaks; device tags, couplings and zones in turn.
    inward : tuple of str
        The way from the device to the target, the device first.
    """

    device: str
    way: tuple[str, ...]
    inward: tuple[str, ...]


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
        The near set, from load to source: those farther from their sources first. Where the
        verdict is not `yes` these locks are needed, but not enough.
    fewest : tuple of str
        The smallest set of devices that isolates the target, for planning; the near set where that
        is as small, or where no set does.
    sources : tuple of str
        Every source that some way leads from to the target.
    proof : tuple of Proof
        The same sources, each with a way that it would take and the lock that breaks it.
    reaching : tuple of tuple of str
        Ways from sources that no lock breaks, source first.
    reasons : tuple of str
        Why the verdict is not `yes`, in words.
    passed : tuple of str
        Devices that stand on some way from a source to the target, nearer than its locks, and are
        no points to lock; in order of the search.
    """

    target: IsolationTarget
    verdict: Verdict
    points: tuple[LockPoint, ...]
    fewest: tuple[str, ...]
    sources: tuple[str, ...]
    proof: tuple[Proof, ...]
    reaching: tuple[tuple[str, ...], ...]
    reasons: tuple[str, ...]
    passed: tuple[str, ...]


def target_of(network: Network, *tags: str) -> IsolationTarget:
    """Return the isolation target that full tags name: several make one job.

    Raises
    ------
    KeyError
        Nothing of that name can be isolated.
    """
    named = tuple(dict.fromkeys(tags))
    parts = [_part(network, tag) for tag in named]
    return IsolationTarget(
        tags=named,
        kind=parts[0][0] if len(parts) == 1 else "job",
        zones=tuple(dict.fromkeys(zone for _, zones, _ in parts for zone in zones)),
        enclosures=tuple(dict.fromkeys(box for _, _, box in parts if box is not None)),
    )


def _part(network: Network, tag: str) -> tuple[TargetKind, tuple[str, ...], str | None]:
    """Return what a full tag names, its conductors, and its enclosure where it has one."""
    if tag in network.loads:
        return "load", network.loads[tag].zones, tag
    if tag in network.circuit_zone:
        return "circuit", (network.circuit_zone[tag],), None
    device = network.devices.get(tag)
    if device is not None and device.kind == "main device":
        load_side = device.zone_at("load")
        return "circuit", (load_side,) if load_side else (), None
    kind: TargetKind = "equipment" if device is not None else "enclosure"
    return kind, tuple(network.enclosures[tag].zones), tag


def isolate(hazard: Hazard, target: IsolationTarget) -> Isolation:
    """Return where to open and lock to make a target dead, or why that is not proven.

    Parameters
    ----------
    hazard : Hazard
    target : IsolationTarget
        See `target_of`.
    """
    network = hazard.network
    boxes = frozenset(target.enclosures)
    between = hazard.between(target.zones)
    region = region_of(network, between, lambda d: d.isolates and d.enclosure not in boxes)
    sources = hazard.sources_of_all(target.zones)
    points = _locks(hazard, between, region)
    near = tuple(point.device for point in points)
    inner = tuple(tag for tag in sources if tag in region.inside)
    verdict, reasons = _judge(network, target, between, region, inner)
    return Isolation(
        target=target,
        verdict=verdict,
        points=points,
        fewest=near if inner else _fewest(network, target, between, sources, near),
        sources=sources,
        proof=proof_of(between, region, sources, dict.fromkeys(near)),
        reaching=tuple(map(region.way, inner)),
        reasons=reasons,
        passed=region.passed,
    )


def _locks(hazard: Hazard, between: Between, region: Region) -> tuple[LockPoint, ...]:
    find = hazard.path_finder(region.boundary, between)
    points = []
    for tag in region.boundary:
        far = [zone for zone in between.near(tag) if zone not in region.inside]
        ways = [way for zone in far if (way := find(zone)) is not None]
        if ways:
            points.append(LockPoint(tag, (*min(ways, key=len), tag), region.way_from(tag)))
    points.sort(key=lambda point: -len(point.way))
    return tuple(points)


def _fewest(
    network: Network,
    target: IsolationTarget,
    between: Between,
    sources: tuple[str, ...],
    near: tuple[str, ...],
) -> tuple[str, ...]:
    if len(near) < 2:
        # No source reaches it past one lock, and some source reaches it past none.
        return near
    lockable = _Lockable(network, frozenset(target.enclosures))
    return fewest_locks(between, lockable, sources, enough=len(near)) or near


class _Lockable(Container[str]):
    """The devices that may be locked for a target, without a walk over all there are."""

    def __init__(self, network: Network, boxes: frozenset[str]) -> None:
        self._devices = network.devices
        self._boxes = boxes

    def __contains__(self, tag: object) -> bool:
        device = self._devices.get(tag) if isinstance(tag, str) else None
        return device is not None and device.isolates and device.enclosure not in self._boxes


def _judge(
    network: Network,
    target: IsolationTarget,
    between: Between,
    region: Region,
    inner: tuple[str, ...],
) -> tuple[Verdict, tuple[str, ...]]:
    if not inner:
        return "yes", ()

    def would_lock(device: Device) -> bool:
        outside = device.enclosure not in target.enclosures
        return device.opens_all and device.locks_open is not False and outside

    would_be = region_of(network, between, would_lock)
    stays = [tag for tag in inner if tag in would_be.inside]
    reasons = [_reason(network, target, region, tag) for tag in inner]
    known = [tag for tag in stays if network.sources[tag].kind != "unknown"]
    return ("no" if known else "unproven"), tuple(dict.fromkeys(reasons))


def _reason(network: Network, target: IsolationTarget, region: Region, source: str) -> str:
    """Return why nothing breaks the way from a source: what is passed, and who must act."""

    def name(tag: str) -> str:
        return local(tag) if building_of(tag) == target.home else tag

    found = network.sources[source]
    if found.kind == "unknown":
        text = found.text if building_of(source) == target.home else f"{source}: {found.text}"
        return f"{text}; it counts as live"
    devices = [network.devices[tag] for tag in region.way(source) if tag in network.devices]
    barred = [f"{name(d.tag)} ({d.bars or 'in the same enclosure'})" for d in devices]
    through = f" through {', then '.join(barred)}" if barred else " with no device in between"
    who = found.operator or {
        "utility": "the utility must open the service",
        "UPS battery": "the UPS must be shut down and its battery disconnected",
    }.get(found.kind, "who must act is not recorded")
    return f"{name(source)} reaches it{through}; {who}"


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
