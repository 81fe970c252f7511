"""What needs, besides its feeds, something that is lost: a generator without its battery charger.

Such a dependency is no feed. What depends on something lost keeps its own outcome and is told
apart; a source among it may not start, and no longer counts as standby.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from recordgen.network.model import Network


@dataclass(frozen=True)
class Impaired:
    """A load or source that needs something lost.

    `needs` are full tags of what it needs and is lost, or is itself impaired.
    """

    tag: str
    needs: tuple[str, ...]


def impaired(network: Network, is_lost: Callable[[str], bool]) -> tuple[Impaired, ...]:
    """Return what depends on something lost, over any number of steps.

    Parameters
    ----------
    network : Network
    is_lost : callable
        Says whether a load, circuit, panel or piece of equipment (full tag) is lost.
    """
    found: dict[str, tuple[str, ...]] = {}
    while True:
        more = {
            tag: lacking
            for tag, needed in network.depends.items()
            if (lacking := tuple(need for need in needed if need in found or is_lost(need)))
        }
        if more == found:
            return tuple(Impaired(tag, needs) for tag, needs in found.items())
        found = more
