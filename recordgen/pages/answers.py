"""The answers for readers: what goes dark, where the locks go, what feeds a thing.

Pages, terminal text and JSON all come from these values, so they cannot disagree.
"""

from __future__ import annotations

from collections.abc import Iterable

from recordgen.network.feed_path import FeedPath
from recordgen.network.ways import Positions
from recordgen.pages.answer_values import DownstreamAnswer, IsolationAnswer
from recordgen.pages.known import Known
from recordgen.pages.lockout_answer import lockout_answer
from recordgen.pages.outage_answer import outage_answer


class Answers(Known):
    """Puts answers together from a checked portfolio."""

    def downstream(self, tags: Iterable[str], positions: Positions = "normal") -> DownstreamAnswer:
        """Return what happens when devices (full tags) are opened."""
        return outage_answer(self, tags, positions)

    def isolation(self, tag: str) -> IsolationAnswer:
        """Return where to lock to make a load, circuit, equipment or panel (full tag) dead.

        Raises
        ------
        KeyError
            Nothing of that name can be isolated.
        """
        return lockout_answer(self, tag)

    def feed_paths(self, tag: str) -> list[FeedPath]:
        """Return the ways from the sources to a load, circuit, device or panel (full tag)."""
        paths = self.portfolio.feed_paths
        if tag in self.network.loads:
            return paths.of_load(tag)
        if tag in self.network.circuit_zone:
            return paths.of_zone(self.network.circuit_zone[tag], tag)
        device = self.network.devices.get(tag)
        if device is not None:
            return paths.of_zone(device.zones[-1], tag)
        return paths.of_zone(self.network.bus_zone(tag), tag)
