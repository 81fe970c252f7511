"""What a feed leads back to: through what a tracer's signal passes, and through everything."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from recordgen.network.model import Network

SIGNAL_PASSES: Final = frozenset({"disconnect", "motor starter", "variable-frequency drive"})
"""Kinds of equipment behind which a trace may still end, as long as they are closed. A drive passes
power and no signal: what hangs on it is borne out by opening only (`Grades`)."""


@dataclass(frozen=True)
class WaysBack:
    """Ways from a feed back towards the sources, by the records."""

    network: Network

    def up_to_circuits(self, feed: str) -> set[str]:
        """Return a feed and, through starters, drives, switches and boxes, the circuits behind it.

        Parameters
        ----------
        feed : str
            Full tag of a circuit, or of equipment that feeds a load.

        Returns
        -------
        set of str
            Full tags. A tracer's signal passes all of these, so a trace that ends at such a circuit
            bears out the feed.
        """
        found, rest = {feed}, [feed]
        while rest:
            here = rest.pop()
            if not self._passes(here):
                continue
            above = [tag for tag in self.feeders.get(here, ()) if tag not in found]
            found.update(above)
            rest += above
        return found

    def passed(self, feed: str, circuit: str) -> tuple[str, ...]:
        """Return what a signal passes from a feed back to a circuit, both included, the feed first.

        Empty where the circuit is none of those behind the feed. Where several ways lead there, one
        of the shortest.
        """
        before: dict[str, str | None] = {feed: None}
        rest = [feed]
        for here in rest:
            if here == circuit:
                way, step = [], before[here]
                while step is not None:
                    way.append(step)
                    step = before[step]
                return (*reversed(way), circuit)
            if self._passes(here):
                for above in self.feeders.get(here, ()):
                    if above not in before:
                        before[above] = here
                        rest.append(above)
        return ()

    def _passes(self, tag: str) -> bool:
        device = self.network.devices.get(tag)
        return device is None or device.kind in SIGNAL_PASSES

    def all_above(self, feed: str) -> set[str]:
        """Return a feed and everything on any way from it to a source, as full tags.

        What is opened anywhere on such a way may take the feed with it.
        """
        found, rest = {feed}, [feed]
        while rest:
            here = rest.pop()
            panel, slash, _ = here.rpartition("/")
            above = [*self.feeders.get(here, ()), *([panel] if slash else ())]
            new = [tag for tag in above if tag not in found]
            found.update(new)
            rest += new
        return found

    def loads_on(self, circuit: str) -> tuple[str, ...]:
        """Return the loads that a tracer's signal on a circuit reaches by the records (full tags).

        Loads further down, on breakers of a panel that the circuit feeds, are not among them.
        """
        return tuple(self._loads_on.get(circuit, ()))

    @cached_property
    def _loads_on(self) -> Mapping[str, list[str]]:
        found: dict[str, list[str]] = {}
        for tag, load in self.network.loads.items():
            reached = {c for feed in load.circuits for c in self.up_to_circuits(feed)}
            for circuit in reached:
                found.setdefault(circuit, []).append(tag)
        return found

    @cached_property
    def feeders(self) -> Mapping[str, list[str]]:
        """What is fed → full tags of what feeds it, in order of the records."""
        found: dict[str, list[str]] = {}
        for feeder, fed in self.network.fed_by.items():
            for tag in fed:
                found.setdefault(tag, []).append(feeder)
        return found
