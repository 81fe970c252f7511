"""Which nodes of the supply graphs lose what they had when something is opened."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass, replace
from typing import Final

import networkx as nx

from recordgen.network.dominators import ROOT
from recordgen.network.opening import Opening
from recordgen.network.supply import Supply
from recordgen.network.supply_graphs import GraphName

Lost = dict[GraphName, set[str]]
"""Graph → the nodes that were supplied in it and no longer have all they had."""
AT_FIRST: Final[tuple[GraphName, ...]] = ("normal", "battery")
"""The graphs before anything has acted by itself."""


@dataclass(frozen=True)
class Losses:
    """What is lost, graph by graph.

    Attributes
    ----------
    lost : Lost
    live : frozenset of str
        Zones among those lost in the automatic graph where something may be live all the same.
    by_conductor : bool
        Whether some conductors of a line may have been lost while others are left.
    """

    lost: Lost
    live: frozenset[str] = frozenset()
    by_conductor: bool = False


def losses(supply: Supply, opening: Opening) -> Losses:
    """Return what is lost when something is opened.

    Notes
    -----
    One whole device is answered from the dominator trees; several are too, where nothing that they
    govern is fed from elsewhere (then the answer is the union); otherwise what hangs together with
    them is walked without them. Single conductors, and loads that tie a dead conductor to a live
    one, are followed conductor by conductor.
    """
    trees = supply.dominators.values()
    loose = [tag for tag in opening.whole if not all(tree.closed_below(tag) for tree in trees)]
    return _losses(supply, opening, _by_trees if len(loose) <= 1 else _nearby)


def losses_by_walking(supply: Supply, opening: Opening) -> Losses:
    """Return the same by walking the whole graphs without the opened devices: slow, plain."""
    return _losses(supply, opening, _everywhere)


def _losses(
    supply: Supply, opening: Opening, of_whole_devices: Callable[[Supply, Opening], Lost]
) -> Losses:
    if opening.splits or any(
        tag in places.above_mixed for places in supply.redundancy for tag in opening.whole
    ):
        return losses_by_conductor(supply, opening)
    lost = of_whole_devices(supply, opening)
    automatic, meeting = lost["automatic"], supply.legs_meeting
    if any(leg not in automatic for zone in automatic for leg in meeting.get(zone, ())):
        return losses_by_conductor(supply, opening)
    return Losses(lost)


def losses_by_conductor(supply: Supply, opening: Opening) -> Losses:
    """Return the same conductor by conductor: for single poles too."""
    conductors = supply.conductors
    at_first = replace(opening, whole=opening.whole | conductors.gone_over(opening))
    lost: Lost = {
        name: conductors.incomplete(name, at_first if name in AT_FIRST else opening)
        for name in supply.graphs
    }
    # Through a load, voltage comes from parts that have nothing else to do with what is opened.
    within = _with_legs(supply, conductors.around("automatic", opening))
    live = conductors.live("automatic", opening, within)
    return Losses(lost, frozenset(live).intersection(lost["automatic"]), by_conductor=True)


def _with_legs(supply: Supply, nodes: frozenset[str]) -> frozenset[str]:
    """Return nodes with all that hangs together with other legs of loads in them."""
    parts, meeting = supply.parts["automatic"], supply.legs_meeting
    found, rest = set(nodes), [zone for zone in nodes if zone in meeting]
    while rest:
        for leg in meeting[rest.pop()]:
            if leg not in found:
                more = parts.get(leg, frozenset((leg,)))
                found |= more
                rest += [zone for zone in more if zone in meeting]
    return frozenset(found)


def _by_trees(supply: Supply, opening: Opening) -> Lost:
    return {
        name: {node for tag in opening.whole for node in tree.below(tag)}
        for name, tree in supply.dominators.items()
    }


def _nearby(supply: Supply, opening: Opening) -> Lost:
    nothing: frozenset[str] = frozenset()
    return {
        name: _missed(
            graph,
            opening,
            nothing.union(*(supply.parts[name].get(tag, nothing) for tag in opening.whole)),
        )
        for name, graph in supply.graphs.items()
    }


def _everywhere(supply: Supply, opening: Opening) -> Lost:
    # What no tree holds had no supply to lose.
    return {
        name: _missed(graph, opening, supply.dominators[name].parent)
        for name, graph in supply.graphs.items()
    }


def _missed(graph: nx.DiGraph[str], opening: Opening, within: Collection[str]) -> set[str]:
    """Return which of some nodes, all reached by a source, are not once devices are opened."""
    seen, stack = {ROOT, *opening.whole}, [ROOT]
    while stack:
        for node in graph.succ[stack.pop()]:
            if node not in seen and node in within:
                seen.add(node)
                stack.append(node)
    return {node for node in within if node not in seen}
