"""What happens to a load, by what its feeds have lost.

The decision, for each load and the worst of the feeds it needs (a page shows this table). A feed is
complete where it still has every conductor that it had:

| normal state | with all that acts by itself | with batteries | outcome |
| --- | --- | --- | --- |
| complete, every standby too | | | unaffected |
| complete, an input lost on its way | | | loses standby or redundancy |
| not complete | complete | a battery carries | loses standby or redundancy |
| not complete | complete | no battery | brief interruption, then standby |
| not complete | not complete | complete | rides through, then dark |
| not complete | something may be live | not complete | may see abnormal voltage |
| not complete | nothing is live | not complete | dark |

A load whose legs come from one panel and that keeps some of them may see an abnormal voltage. So do
loads on a neutral that has lost its origin, where they stand on several conductors.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from recordgen.network.losses import Losses, Lost
from recordgen.network.model import NetworkLoad
from recordgen.network.neutral import Feed
from recordgen.network.opening import Opening
from recordgen.network.supply import Supply
from recordgen.network.supply_graphs import GraphName, Group

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
LOST: tuple[Outcome, ...] = OUTCOMES[:3]
"""Those that leave without the load what depends on it."""

Outcomes = dict[Group, tuple[Outcome, tuple[str, ...]]]
"""Group of feeds → what happens to it, and the UPSs that carry it."""


def outcomes_of_groups(supply: Supply, found: Losses) -> Outcomes:
    """Return what happens to every group of feeds that is no longer complete in the normal state.

    What is not in the normal graph from the start has no supply to lose.
    """
    outcomes, groups_at = Outcomes(), supply.groups_at
    for node in found.lost["normal"]:
        if node not in groups_at:
            continue
        outcome, carrying = _of_node(supply, found, node)
        for group in groups_at[node]:
            outcomes[group] = (outcome, carrying)
    return outcomes


def _of_node(supply: Supply, found: Losses, node: str) -> tuple[Outcome, tuple[str, ...]]:
    lost = found.lost
    if node not in lost["automatic"]:
        if node in lost["battery"]:
            return "brief interruption, then standby", ()
        carrying = _carrying(supply, node, lost["normal"], lost["battery"])
        return "loses standby or redundancy", carrying
    if node not in lost["bridged"]:
        carrying = _carrying(supply, node, lost["automatic"], lost["bridged"])
        return "rides through, then dark", carrying
    zones = supply.automatic.pred[node] if node not in supply.network.zones else (node,)
    live = any(zone in found.live for zone in zones)
    return ("may see abnormal voltage" if live else "dark"), ()


def _carrying(supply: Supply, node: str, lost: set[str], dead: set[str]) -> tuple[str, ...]:
    """Return the UPSs that carry a node on their batteries, nearest the sources first.

    `lost` is what no source supplies but a battery may; `dead` what no battery supplies either. A
    node with several feeds is carried by the UPSs above those that are not dead.
    """
    devices = supply.network.devices
    tree = supply.dominators["automatic"]
    zones = (node,) if node in supply.network.zones else supply.automatic.pred[node]
    feeds = [zone for zone in zones if zone not in dead]
    above = dict.fromkeys(n for zone in feeds for n in reversed(tree.above(zone)))
    return tuple(
        n
        for n in above
        if n in devices and devices[n].kind == "UPS" and devices[n].zones[1] in lost
    )


def add_neutral_outcomes(
    supply: Supply, opening: Opening, outcomes: Outcomes, lost: Lost
) -> tuple[frozenset[str], frozenset[str]]:
    """Add what an open neutral does.

    Returns
    -------
    tuple
        The loads whose neutral it leaves at line voltage, and all zones of loads that it touches.
    """
    if not opening.neutrals:
        return frozenset(), frozenset()
    states = supply.neutrals.items()
    afloat = {name: neutrals.afloat(opening, lost["automatic"]) for name, neutrals in states}
    floating = set()
    for load, index in dict.fromkeys(
        (one[0], one[1]) for found in afloat.values() for one in found
    ):
        outcome = _on_neutrals(supply, (load, index), afloat, lost)
        if outcome == "dark":
            floating.add(load)
        before = outcomes.get((load, index), ("unaffected", ()))
        if outcome is not None and OUTCOMES.index(outcome) < OUTCOMES.index(before[0]):
            outcomes[load, index] = (outcome, ())
    return frozenset(floating), frozenset(zone for _, _, zone in afloat["normal"])


def _on_neutrals(
    supply: Supply, group: Group, afloat: Mapping[GraphName, Mapping[Feed, bool]], lost: Lost
) -> Outcome | None:
    """Return what lost neutrals do to a group of feeds; None where they do nothing."""
    load, index = group
    zones = supply.network.loads[load].groups[index]
    if not any(zone in supply.conductors.had("normal") for zone in zones):
        return None  # it has no supply to lose
    for name, found in afloat.items():
        had = supply.conductors.had(name)
        complete = [zone for zone in zones if zone in had and zone not in lost[name]]
        if complete:
            states = [found.get((load, index, zone)) for zone in complete]
            if True in states:
                return "may see abnormal voltage"
            if None not in states:
                return "dark"
            return "loses standby or redundancy" if False in states else None
    return None


def outcome_of_load(load: NetworkLoad, outcomes: Outcomes) -> Outcome:
    """Return what happens to a load: the gravest of its feeds, legs of one supply together."""
    if len(load.groups) == 1:
        return outcomes[load.tag, 0][0] if (load.tag, 0) in outcomes else "unaffected"
    each: list[Outcome] = [
        outcomes[load.tag, index][0] if (load.tag, index) in outcomes else "unaffected"
        for index in range(len(load.groups))
    ]
    worst = min(each, key=OUTCOMES.index)
    # Control power is no leg: without it the load stops, and its legs are none the worse.
    legs, control = each[: len(load.circuits)], each[len(load.circuits) :]
    hit = sum(outcome in ("dark", "may see abnormal voltage") for outcome in legs)
    if load.legs_together and 0 < hit < len(legs):
        return "dark" if "dark" in control else "may see abnormal voltage"
    return worst
