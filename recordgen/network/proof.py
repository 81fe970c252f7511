"""Why a set of locks isolates: every source, each lock that it meets, and a way that it would take.

A source meets a lock where it reaches its far side with all locks open: were that lock alone closed
again, the source would reach the target. So every lock that a source makes necessary is named, not
only one of them.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass

from networkx.utils import UnionFind

from recordgen.network.between import Between
from recordgen.network.region import Region


@dataclass(frozen=True)
class Proof:
    """What one source would do at one lock.

    Attributes
    ----------
    source : str
    way : tuple of str
        From the source to the target: source tag, zones, device tags and couplings in turn. No
        other lock is on it.
    broken_by : str or None
        The lock on that way; None where nothing breaks it.
    """

    source: str
    way: tuple[str, ...]
    broken_by: str | None


def proof_of(
    between: Between, region: Region, sources: Iterable[str], locks: Collection[str]
) -> tuple[Proof, ...]:
    """Return a way to the target for every source and each lock that it meets.

    Parameters
    ----------
    between : Between
    region : Region
        What no lock stands between: a source in it reaches the target past all locks.
    sources : iterable of str
        Every source that some way leads from to the target.
    locks : collection of str
        Devices to lock.

    Returns
    -------
    tuple of Proof
        Sources that nothing breaks the way from first, then those with the shortest ways; those of
        one source together.

    Raises
    ------
    RuntimeError
        A source outside the region has a way without a lock on it: the locks do not isolate.
    """
    found: list[tuple[Proof, ...]] = []
    outside = _Outside(between, region, locks)
    for source in sources:
        if source in region.inside:
            found.append((Proof(source, region.way(source), None),))
            continue
        way = between.way(source)
        first = next((index for index, node in enumerate(way) if node in locks), None)
        if first is None:
            raise RuntimeError(f"no lock breaks the way from {source}: {way}")
        lines = [Proof(source, *met) for met in outside.met(way[:first])]
        found.append(tuple(sorted(lines, key=lambda line: len(line.way))))
    found.sort(key=lambda lines: (lines[0].broken_by is not None, len(lines[0].way)))
    return tuple(line for lines in found for line in lines)


class _Outside:
    """What is on the far sides of locks: which of them hang together with all locks open."""

    def __init__(self, between: Between, region: Region, locks: Collection[str]) -> None:
        self._region = region
        self._far = {
            lock: [zone for zone in between.near(lock) if zone not in region.inside]
            for lock in locks
            if lock in region.boundary
        }
        joined = _joined(
            between, locks, dict.fromkeys(z for far in self._far.values() for z in far)
        )
        self._trees = {lock: _tree(joined, far) for lock, far in self._far.items()}

    def met(self, start: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], str]]:
        """Yield (way to the target, lock) for each lock that a source meets.

        `start` leads from the source to the far side of one of the locks.
        """
        for lock, tree in self._trees.items():
            for index, node in enumerate(start):
                if node in tree:
                    onward = [*start[:index]]
                    here: str | None = node
                    while here is not None:
                        onward.append(here)
                        here = tree[here]
                    yield (*onward, *self._region.way_from(lock)), lock
                    break


def _joined(
    between: Between, locks: Collection[str], ends: Iterable[str]
) -> Mapping[str, list[str]]:
    """Return the steps of a forest that joins those of some zones that no lock stands between.

    The search goes on from all of them in turn and ends as soon as no two can join any more, so it
    seldom walks over the network. It never comes into the region: only locks lead there.
    """
    steps: dict[str, list[str]] = {end: [] for end in ends}
    queues = {end: deque([end]) for end in steps}
    groups: UnionFind[str] = UnionFind(steps)
    while len({groups[end] for end in queues}) > 1:
        for end, queue in list(queues.items()):
            here = queue.popleft()
            for near in between.near(here):
                if near in locks:
                    continue
                if near not in steps:
                    steps[near] = []
                    queue.append(near)
                elif groups[near] == groups[here]:
                    continue
                groups.union(here, near)
                steps[here].append(near)
                steps[near].append(here)
            if not queue:
                del queues[end]
    return steps


def _tree(joined: Mapping[str, list[str]], ends: Iterable[str]) -> dict[str, str | None]:
    """Return node → the next one on the way to one of some zones, None at the zones."""
    tree: dict[str, str | None] = dict.fromkeys(ends)
    queue = deque(tree)
    while queue:
        here = queue.popleft()
        for near in joined[here]:
            if near not in tree:
                tree[near] = here
                queue.append(near)
    return tree
