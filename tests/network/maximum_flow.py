"""Cuts of small and large networks by another library's maximum flow (scipy).

The graphs are made from `by_hand.Points`, which is read from the records alone. By the theorem of
Menger the fewest nodes that cut a target off are as many as the ways to it that share none of them.
"""

from collections.abc import Collection, Iterable

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import maximum_flow

from tests.network.by_hand import Points

UNCUT = 10_000
"""More than there are devices: a cut of this size is none."""


def fewest_by_flow(points: Points, target: Iterable[str], lockable: Collection[str]) -> int:
    """Return how many lockable switches cut a target's points off from all sources, at least.

    `UNCUT` or more where no number does.
    """
    arcs: list[tuple[str, str, int]] = []
    for one, other in points.wires + points.leaks:
        arcs += [
            (f"point {one}", f"point {other}", UNCUT),
            (f"point {other}", f"point {one}", UNCUT),
        ]
    for tag, switch in points.switches.items():
        arcs.append((f"into {tag}", f"out of {tag}", 1 if tag in lockable else UNCUT))
        for end in {end for pair in switch.pairs for end in pair}:
            arcs += [
                (f"point {end}", f"into {tag}", UNCUT),
                (f"out of {tag}", f"point {end}", UNCUT),
            ]
    arcs += [("sources", f"point {point}", UNCUT) for point, _ in points.sources.values()]
    arcs += [(f"point {point}", "target", UNCUT) for point in set(target)]
    return flow(arcs, "sources", "target")


def stands_between(points: Points, tag: str, source: str, target: Iterable[str]) -> bool:
    """Say whether a switch is on a way from a source to a target that passes nothing twice.

    It is where two ways lead from it, one to each, that share no zone and no switch.
    """
    zone = {point: f"zone {name}" for point, name in points.zones.items()}
    joined = [(zone[one], zone[other]) for one, other in points.leaks]
    for name, switch in points.switches.items():
        joined += [(name, end) for end in {zone[end] for pair in switch.pairs for end in pair}]
    arcs = [("start", f"out of {tag}", 2)]
    for name in {*zone.values(), *points.switches} - {tag}:
        arcs.append((f"into {name}", f"out of {name}", 1))
    for one, other in joined:
        if one != other:
            arcs += [(f"out of {one}", f"into {other}", 2), (f"out of {other}", f"into {one}", 2)]
    # One of the two ways has to end in the source, the other in the target.
    arcs += [(f"out of {name}", "target", 1) for name in {zone[point] for point in target}]
    arcs += [(f"out of {zone[points.sources[source][0]]}", "source", 1)]
    arcs += [("target", "both", 1), ("source", "both", 1)]
    return flow(arcs, "start", "both") == 2


def flow(arcs: Iterable[tuple[str, str, int]], start: str, end: str) -> int:
    """Return the maximum flow; of arcs that are there several times, capacities add up."""
    arcs = list(arcs)
    names = dict.fromkeys([start, end, *(name for arc in arcs for name in arc[:2])])
    number = {name: index for index, name in enumerate(names)}
    rows = [number[one] for one, _, _ in arcs]
    columns = [number[other] for _, other, _ in arcs]
    # Many like arcs between two nodes must not add up beyond what the library's integers hold.
    together = csr_array(
        (np.array([c for _, _, c in arcs], dtype=np.int64), (rows, columns)),
        shape=(len(number), len(number)),
    )
    together.sum_duplicates()
    together.data = np.minimum(together.data, UNCUT * 10)
    return int(maximum_flow(together.astype(np.int32), number[start], number[end]).flow_value)
