"""What carries the load, and what can be asked of it."""

from __future__ import annotations

from functools import cached_property

from recordgen.network.conductors import Conductors
from recordgen.network.neutral import Neutrals
from recordgen.network.redundancy import Redundancy
from recordgen.network.supply_graphs import GraphName, SupplyGraphs


class Supply(SupplyGraphs):
    """The supply graphs of a network with what is worked out from them once, when first asked."""

    @cached_property
    def redundancy(self) -> tuple[Redundancy, Redundancy]:
        """Where there is more than one way in: by itself, and when somebody switches over."""
        return Redundancy(self, "automatic"), Redundancy(self, "possible")

    @cached_property
    def conductors(self) -> Conductors:
        """The conductors of every zone."""
        return Conductors(self)

    @cached_property
    def neutrals(self) -> dict[GraphName, Neutrals]:
        """The neutral conductors, as devices stand and after all has acted by itself."""
        return {name: Neutrals(self, self.conductors, name) for name in ("normal", "automatic")}
