"""The answers for readers: what goes dark, where the locks go, what feeds a thing.

Pages, terminal text and JSON all come from these values, so they cannot disagree.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import cached_property

from recordgen.network.feed_path import FeedPath, FeedPaths
from recordgen.network.ways import Positions
from recordgen.pages.answer_values import DownstreamAnswer
from recordgen.pages.known import Known
from recordgen.pages.lockout_answer import lockout_answer
from recordgen.pages.lockout_facts import LockoutFacts
from recordgen.pages.lockout_values import IsolationAnswer
from recordgen.pages.outage_answer import outage_answer
from recordgen.pages.present_positions import PresentChange, present_change, standing_otherwise
from recordgen.pages.proven import proven_lockout, proven_outage
from recordgen.pages.proven_values import Proven


class Answers(Known):
    """Puts answers together from a checked portfolio."""

    def downstream(self, tags: Iterable[str], positions: Positions = "normal") -> DownstreamAnswer:
        """Return what happens when devices (full tags) are opened."""
        return outage_answer(self, tags, positions)

    def present_change(self, tags: Iterable[str], normal: DownstreamAnswer) -> PresentChange | None:
        """Return what the recorded present positions change when devices are opened, if anything.

        `normal` is what happens from the normal positions.
        """
        if not standing_otherwise(self):
            return None
        present = self.downstream(tags, "present")
        return present_change(self, self._present_paths, normal, present)

    @cached_property
    def _present_paths(self) -> FeedPaths:
        return FeedPaths(self.portfolio.present_supply)

    @cached_property
    def _lockout_facts(self) -> LockoutFacts:
        return LockoutFacts(self)

    def isolation(self, *tags: str) -> IsolationAnswer:
        """Return where to lock to make loads, circuits, equipment or panels (full tags) dead.

        Several are one job with one set of locks.

        Raises
        ------
        KeyError
            Nothing of that name can be isolated.
        """
        return lockout_answer(self, self._lockout_facts, tags)

    def proven(self, answer: DownstreamAnswer | IsolationAnswer) -> Proven:
        """Return how much of an answer is proven by evidence, and what is weakest in it."""
        if isinstance(answer, DownstreamAnswer):
            return proven_outage(self, answer)
        return proven_lockout(self, answer)

    def feed_paths(self, tag: str) -> list[FeedPath]:
        """Return the ways from the sources to a load, circuit, device or panel (full tag).

        Where switches stand otherwise today, the way as it stands comes first.
        """
        ways = self._ways(self.portfolio.feed_paths, tag)
        if not standing_otherwise(self):
            return ways
        usual = {(way.feed, way.source, way.devices) for way in ways if not way.standby}
        today = [way for way in self._ways(self._present_paths, tag) if not way.standby]
        return [
            *(
                replace(way, today=True)
                for way in today
                if (way.feed, way.source, way.devices) not in usual
            ),
            *ways,
        ]

    def _ways(self, paths: FeedPaths, tag: str) -> list[FeedPath]:
        if tag in self.network.loads:
            return paths.of_load(tag)
        if tag in self.network.circuit_zone:
            return paths.of_zone(self.network.circuit_zone[tag], tag)
        device = self.network.devices.get(tag)
        if device is not None:
            return paths.of_zone(device.load_side, tag)
        return paths.of_zone(self.network.bus_zone(tag), tag)
