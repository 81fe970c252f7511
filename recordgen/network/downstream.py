"""What happens to every load when devices are opened.

The decision, for each load and the worst of the feeds it needs (design: a page shows this table):

| normal graph | automatic graph | with batteries | outcome |
| --- | --- | --- | --- |
| reached, all inputs alive | | | unaffected |
| reached, an input lost | | | loses standby or redundancy |
| not reached | reached | battery carries | loses standby or redundancy (carried by the battery) |
| not reached | reached | no battery | brief interruption, then standby |
| not reached | not reached | reached | rides through, then dark |
| not reached | not reached | not reached | dark |

A load whose legs come from one panel and that keeps some of them may see an abnormal voltage.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass
from typing import Literal

import networkx as nx

from recordgen.network.hazard import Hazard
from recordgen.network.model import NetworkLoad
from recordgen.network.supply import ROOT, GraphName, Supply, group_node

Outcome = Literal[
    "unaffected",
    "loses standby or redundancy",
    "brief interruption, then standby",
    "may see abnormal voltage",
    "rides through, then dark",
    "dark",
]
OUTCOMES: tuple[Outcome, ...] = (
    "dark",
    "rides through, then dark",
    "may see abnormal voltage",
    "brief interruption, then standby",
    "loses standby or redundancy",
    "unaffected",
)
"""Gravest first."""


@dataclass(frozen=True)
class Affected:
    """What happens to one load.

    Attributes
    ----------
    load : str
        Full tag.
    outcome : Outcome
    carried_by : tuple of str
        UPSs whose battery carries it, for a while or until the standby source has taken over.
    again : bool
        Whether something recorded could energize it again while the devices stay open.
    """

    load: str
    outcome: Outcome
    carried_by: tuple[str, ...] = ()
    again: bool = False


@dataclass(frozen=True)
class Downstream:
    """The answer for a set of opened devices.

    Attributes
    ----------
    opened : tuple of str
    affected : tuple of Affected
        Every load that is not unaffected, gravest outcome first, then in order of the records.
    unknown_loads : tuple of str
        Circuits that lose supply and whose loads are not recorded.
    zones_dark : frozenset of str
        Zones that lose their supply for good.
    """

    opened: tuple[str, ...]
    affected: tuple[Affected, ...]
    unknown_loads: tuple[str, ...]
    zones_dark: frozenset[str]


def downstream(supply: Supply, hazard: Hazard, opened: Iterable[str]) -> Downstream:
    """Return what happens when devices are opened, from the supply's switch positions.

    Parameters
    ----------
    supply : Supply
    hazard : Hazard
        Of the same network.
    opened : iterable of str
        Full tags of its devices.

    Notes
    -----
    One device is answered from the dominator trees; several are too, where nothing that they
    govern is fed from elsewhere (then the answer is the union); otherwise what hangs together with
    the opened devices is walked without them.
    """
    tags = tuple(dict.fromkeys(opened))
    trees = supply.dominators.values()
    loose = [tag for tag in tags if not all(tree.closed_below(tag) for tree in trees)]
    lost = _lost_by_trees if len(loose) <= 1 else _lost_nearby
    return _answer(supply, hazard, tags, lost(supply, tags))


def downstream_by_walking(supply: Supply, hazard: Hazard, opened: Iterable[str]) -> Downstream:
    """Return the same answer by walking the graphs without the opened devices: slow, plain."""
    tags = tuple(dict.fromkeys(opened))
    return _answer(supply, hazard, tags, _lost_by_walking(supply, tags))


Lost = dict[GraphName, set[str]]
"""Graph → the nodes that a source reached in it and reaches no more."""


def _lost_by_trees(supply: Supply, tags: tuple[str, ...]) -> Lost:
    return {
        name: {node for tag in tags for node in tree.below(tag)}
        for name, tree in supply.dominators.items()
    }


def _lost_nearby(supply: Supply, tags: tuple[str, ...]) -> Lost:
    return {
        name: _lost(graph, tags, set().union(*(supply.parts[name].get(t, ()) for t in tags)))
        for name, graph in supply.graphs.items()
    }


def _lost_by_walking(supply: Supply, tags: tuple[str, ...]) -> Lost:
    # What no tree holds had no supply to lose.
    return {
        name: _lost(graph, tags, supply.dominators[name].parent)
        for name, graph in supply.graphs.items()
    }


def _lost(graph: nx.DiGraph[str], tags: tuple[str, ...], within: Collection[str]) -> set[str]:
    """Return which of some nodes, all reached by a source, are not once devices are opened."""
    seen, stack = {ROOT, *tags}, [ROOT]
    while stack:
        for node in graph.succ[stack.pop()]:
            if node not in seen and node in within:
                seen.add(node)
                stack.append(node)
    return {node for node in within if node not in seen}


def _answer(supply: Supply, hazard: Hazard, tags: tuple[str, ...], lost: Lost) -> Downstream:
    network = supply.network
    groups = _outcomes_of_groups(supply, lost)
    names = {node.rpartition("#")[0] for node in groups}
    again = hazard.reacher(tags)
    # In order of the records, without a walk over all loads for every device.
    in_order = sorted(names, key=supply.load_order.__getitem__)
    affected = [_of_load(network.loads[tag], groups, again) for tag in in_order]
    affected.sort(key=lambda a: OUTCOMES.index(a.outcome))
    dark = frozenset(node for node in lost["automatic"] if node in network.zones)
    unknown = sorted(
        pair for zone in lost["normal"] for pair in supply.unknown_loads_at.get(zone, ())
    )
    return Downstream(tags, tuple(affected), tuple(tag for _, tag in unknown), dark)


def _outcomes_of_groups(supply: Supply, lost: Lost) -> dict[str, tuple[Outcome, tuple[str, ...]]]:
    """Return group node → outcome and carrying UPSs, for every group that is affected."""
    found: dict[str, tuple[Outcome, tuple[str, ...]]] = {}
    for zone in lost["automatic"].intersection(supply.redundancies_at):
        for redundancy in supply.redundancies_at[zone]:
            for node in redundancy.groups:
                found[node] = ("loses standby or redundancy", ())
    # What is not in the normal graph from the start has no supply to lose.
    for node in lost["normal"]:
        if "#" not in node:
            continue
        if node not in lost["automatic"]:
            carried = node not in lost["battery"]
            found[node] = (
                (
                    "loses standby or redundancy",
                    _carrying(supply, node, lost["normal"], lost["battery"]),
                )
                if carried
                else ("brief interruption, then standby", ())
            )
        elif node not in lost["bridged"]:
            carrying = _carrying(supply, node, lost["automatic"], lost["bridged"])
            found[node] = ("rides through, then dark", carrying)
        else:
            found[node] = ("dark", ())
    return found


def _carrying(supply: Supply, node: str, lost: set[str], dead: set[str]) -> tuple[str, ...]:
    """Return the UPSs that carry a group node on their batteries, nearest the sources first.

    `lost` is what no source reaches but a battery may; `dead` what no battery reaches either. A
    node with several feeds is carried by the UPSs above those that are not dead.
    """
    devices = supply.network.devices
    tree = supply.dominators["automatic"]
    feeds = [zone for zone in supply.automatic.predecessors(node) if zone not in dead]
    above = dict.fromkeys(n for zone in feeds for n in reversed(tree.above(zone)))
    return tuple(n for n in above if n in lost and n in devices and devices[n].kind == "UPS")


def _of_load(
    load: NetworkLoad,
    groups: dict[str, tuple[Outcome, tuple[str, ...]]],
    reached_again: Callable[[str], bool],
) -> Affected:
    nodes = [group_node(load.tag, index) for index in range(len(load.groups))]
    hit = [(node, *groups[node]) for node in nodes if node in groups]
    worst = min((outcome for _, outcome, _ in hit), key=OUTCOMES.index)
    carried = tuple(dict.fromkeys(u for _, o, ups in hit if o == worst for u in ups))
    dark = {node for node, outcome, _ in hit if outcome == "dark"}
    # Control power is no leg: without it the load stops, and its legs are none the worse.
    legs, control = nodes[: len(load.circuits)], nodes[len(load.circuits) :]
    if load.legs_together and 0 < len(dark.intersection(legs)) < len(legs):
        worst = "dark" if dark.intersection(control) else "may see abnormal voltage"
    again = worst != "loses standby or redundancy" and any(
        reached_again(zone)
        for index, group in enumerate(load.groups)
        if nodes[index] in groups
        for zone in group
    )
    return Affected(load.tag, worst, carried, again)
