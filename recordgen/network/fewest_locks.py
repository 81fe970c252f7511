"""The fewest devices that cut a target off from all sources, wherever they stand: for planning.

A minimum vertex cut in which only devices that can be locked may be cut. By Menger's theorem it is
as large as the largest number of ways from sources to the target that share no such device; the
ways are found one by one, each by a search that may take back a part of an earlier one (Ford and
Fulkerson). A device is a node of its own: two side by side are two to cut, and it would make no
difference if one joined more than two zones.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Container, Iterable, Iterator
from typing import Literal, NamedTuple

from recordgen.network.between import Between

Side = Literal["plain", "in", "out"]


class _State(NamedTuple):
    """A node, and for a device that can be locked which half of it: what comes in, what goes out.

    The search runs from the target, so "in" is the half towards it. Devices touch zones only.
    """

    node: str
    side: Side


def fewest_locks(
    between: Between,
    lockable: Container[str],
    sources: Iterable[str],
    enough: int,
) -> tuple[str, ...] | None:
    """Return the smallest set of devices that cuts a target off, the one nearest to the target.

    Parameters
    ----------
    between : Between
        What stands between the sources and the target.
    lockable : container of str
        Devices that may be locked: those that isolate and stand outside the target's enclosures.
    sources : iterable of str
        Every source that some way leads from to the target. All of them can be cut off.
    enough : int
        How many locks are known to do: a set of that size is not looked for.

    Returns
    -------
    tuple of str, or None
        In the order of the search; None where `enough` locks are the fewest.
    """
    ends = frozenset(sources)
    flow = _Flow(between, lockable)
    for _ in range(enough):
        seen = flow.search(ends)
        if seen is not None:
            return tuple(
                state.node
                for state in seen
                if state.side == "in" and _State(state.node, "out") not in seen
            )
    return None


class _Flow:
    """Ways from the target to sources that share no device that can be locked."""

    def __init__(self, between: Between, lockable: Container[str]) -> None:
        self._between = between
        self._lockable = lockable
        # Device that a way passes → the node before it and the node after it.
        self._enters: dict[str, str] = {}
        self._leaves: dict[str, str] = {}

    def search(self, ends: Collection[str]) -> dict[_State, _State | None] | None:
        """Find one more way and take it: None. Where there is none, return what was reached."""
        start = [_State(zone, "plain") for zone in self._between.zones]
        before: dict[_State, _State | None] = dict.fromkeys(start)
        queue = deque(start)
        while queue:
            here = queue.popleft()
            if here.node in ends:
                self._take(before, here)
                return None
            for state in self._onward(here):
                if state not in before:
                    before[state] = here
                    queue.append(state)
        return before

    def _onward(self, here: _State) -> Iterator[_State]:
        node = here.node
        used = node in self._enters
        if here.side == "in":
            # A device that a way passes lets nothing more through; but what enters it by another
            # zone may send the earlier way back to where it came from.
            yield _State(self._enters[node], "plain") if used else _State(node, "out")
            return
        if here.side == "out" and used:
            yield _State(node, "in")
        for other in self._between.near(node):
            if other not in self._lockable:
                yield _State(other, "plain")
                continue
            yield _State(other, "in")
            if self._leaves.get(other) == node:
                yield _State(other, "out")

    def _take(self, before: dict[_State, _State | None], last: _State) -> None:
        """Add the way that was found, taking back what it cancels of earlier ones."""
        here: _State | None = last
        steps: list[tuple[_State, _State]] = []
        while here is not None and (earlier := before[here]) is not None:
            steps.append((earlier, here))
            here = earlier
        for one, other in reversed(steps):
            match one.side, other.side:
                case "plain", "in":
                    self._enters[other.node] = one.node
                case "out", "plain":
                    self._leaves[one.node] = other.node
                case "out", "in":
                    del self._enters[one.node], self._leaves[one.node]
                case _:
                    pass
