"""The region of a target: what no lock stands between, and the devices around it."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass

from recordgen.network.between import Between
from recordgen.network.model import Device, Network


@dataclass(frozen=True)
class Region:
    """What can be reached from a target without passing a device of some kind.

    Only what stands on some way from a source to the target is in it: the rest cannot matter.

    Attributes
    ----------
    inside : dict
        Node → the node before it on the way from the target; None for the target's own zones.
    boundary : dict
        Device that bounds it → the node inside that it was met from.
    passed : tuple of str
        Devices in it, those nearest to the target first.
    """

    inside: dict[str, str | None]
    boundary: dict[str, str]
    passed: tuple[str, ...]

    def way(self, node: str) -> tuple[str, ...]:
        """Return the way from a node inside to the target, both ends included."""
        found = []
        here: str | None = node
        while here is not None:
            found.append(here)
            here = self.inside[here]
        return tuple(found)

    def way_from(self, device: str) -> tuple[str, ...]:
        """Return the way from a device of the boundary to the target, the device first."""
        return (device, *self.way(self.boundary[device]))


def region_of(network: Network, between: Between, bounds: Callable[[Device], bool]) -> Region:
    """Return the region of a target.

    Parameters
    ----------
    network : Network
    between : Between
        What stands between the sources and the target.
    bounds : callable
        Device → whether it bounds the region.

    Notes
    -----
    Shared neutrals are passed last, so that a way in the region leads through one only where the
    node is in the region because of it.
    """
    inside: dict[str, str | None] = dict.fromkeys(between.zones)
    boundary: dict[str, str] = {}
    passed: list[str] = []
    queue = deque(between.zones)
    later: deque[str] = deque()
    while queue or later:
        if not queue:
            queue, later = later, queue
        here = queue.popleft()
        for near in between.near(here):
            if near in inside or near in boundary:
                continue
            device = network.devices.get(near)
            if device is not None and bounds(device):
                boundary[near] = here
                continue
            if device is not None:
                passed.append(near)
            inside[near] = here
            coupling = network.couplings.get(near)
            neutral = coupling is not None and coupling.kind == "shared neutral"
            (later if neutral else queue).append(near)
    return Region(inside, boundary, tuple(passed))
