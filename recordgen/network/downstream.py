"""What happens to every load when devices are opened.

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

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass
from typing import Literal

from recordgen.network.hazard import Hazard
from recordgen.network.impaired import Impaired, impaired
from recordgen.network.losses import Losses, Lost, losses, losses_by_conductor, losses_by_walking
from recordgen.network.model import NetworkLoad
from recordgen.network.opening import Opening, opening_of
from recordgen.network.supply import Supply
from recordgen.network.supply_graphs import Group

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
    floating : bool
        Whether an open neutral leaves its neutral at line voltage.
    """

    load: str
    outcome: Outcome
    carried_by: tuple[str, ...] = ()
    again: bool = False
    floating: bool = False


@dataclass(frozen=True)
class Downstream:
    """The answer for a set of opened devices.

    Attributes
    ----------
    opened : tuple of str
        As asked.
    affected : tuple of Affected
        Every load that is not unaffected, gravest outcome first, then in order of the records.
    unknown_loads : tuple of str
        Circuits that lose supply and whose loads are not recorded.
    zones_dark : frozenset of str
        Zones that lose their supply for good.
    tied : tuple of str
        Devices that open too, since their handles are tied.
    impaired : tuple of Impaired
        What depends on something lost, in order of the records.
    """

    opened: tuple[str, ...]
    affected: tuple[Affected, ...]
    unknown_loads: tuple[str, ...]
    zones_dark: frozenset[str]
    tied: tuple[str, ...] = ()
    impaired: tuple[Impaired, ...] = ()


def downstream(supply: Supply, hazard: Hazard, opened: Iterable[str]) -> Downstream:
    """Return what happens when devices are opened, from the supply's switch positions.

    Parameters
    ----------
    supply : Supply
    hazard : Hazard
        Of the same network.
    opened : iterable of str
        Full tags of its devices, or of single conductors of them (`b:LP-1/2-4-6/B`).

    Raises
    ------
    KeyError
        A tag names no device.
    """
    opening = opening_of(supply.network, opened)
    return _answer(supply, hazard, opening, losses(supply, opening))


def downstream_by_walking(supply: Supply, hazard: Hazard, opened: Iterable[str]) -> Downstream:
    """Return the same answer for whole devices by walking the graphs without them."""
    opening = opening_of(supply.network, opened)
    return _answer(supply, hazard, opening, losses_by_walking(supply, opening))


def downstream_by_conductor(supply: Supply, hazard: Hazard, opened: Iterable[str]) -> Downstream:
    """Return the same answer, every conductor followed on its own."""
    opening = opening_of(supply.network, opened)
    return _answer(supply, hazard, opening, losses_by_conductor(supply, opening))


Outcomes = dict[Group, tuple[Outcome, tuple[str, ...]]]
"""Group of feeds → what happens to it, and the UPSs that carry it."""


def _answer(supply: Supply, hazard: Hazard, opening: Opening, found: Losses) -> Downstream:
    network, lost = supply.network, found.lost
    outcomes = _outcomes_of_groups(supply, found)
    floating = _neutral_outcomes(supply, opening, outcomes, lost)
    grave = _of_loads(supply, outcomes)
    suffering = impaired(network, grave, _tags_lost(supply, lost["automatic"]))
    gone = [one.tag for one in suffering if one.tag in network.sources]
    for group in _weakened(supply, opening, found, gone):
        outcomes.setdefault(group, ("loses standby or redundancy", ()))
    again = hazard.reacher(opening.whole)
    # In order of the records, without a walk over all loads for every device.
    names = sorted({tag for tag, _ in outcomes}, key=supply.load_order.__getitem__)
    affected = [_of_load(network.loads[tag], outcomes, again, floating) for tag in names]
    affected.sort(key=lambda a: OUTCOMES.index(a.outcome))
    unknown = sorted(
        pair for zone in lost["normal"] for pair in supply.unknown_loads_at.get(zone, ())
    )
    return Downstream(
        opened=opening.asked,
        affected=tuple(affected),
        unknown_loads=tuple(tag for _, tag in unknown),
        zones_dark=frozenset(
            node for node in lost["automatic"] if node in network.zones and node not in found.live
        ),
        tied=opening.tied,
        impaired=suffering,
    )


def _outcomes_of_groups(supply: Supply, found: Losses) -> Outcomes:
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


def _neutral_outcomes(
    supply: Supply, opening: Opening, outcomes: Outcomes, lost: Lost
) -> frozenset[str]:
    """Add what an open neutral does; return the loads that it leaves at line voltage."""
    if not opening.neutrals:
        return frozenset()
    floating = set()
    for group, mixed in supply.neutrals.outcomes(opening, lost["automatic"]).items():
        load, index = group
        several = len(set(supply.network.loads[load].groups[index])) > 1
        outcome: Outcome = "may see abnormal voltage" if mixed else "dark"
        if several and not mixed:
            outcome = "loses standby or redundancy"
        before = outcomes.get(group, ("unaffected", ()))
        if OUTCOMES.index(outcome) < OUTCOMES.index(before[0]):
            outcomes[group] = (outcome, ())
        if not mixed:
            floating.add(load)
    return frozenset(floating)


def _of_loads(supply: Supply, outcomes: Outcomes) -> dict[str, Outcome]:
    loads = supply.network.loads
    return {tag: _worst(loads[tag], outcomes) for tag, _ in outcomes}


def _tags_lost(supply: Supply, lost: Collection[str]) -> Callable[[str], bool]:
    """Return a function that says whether a circuit, panel or equipment lost its supply."""
    network = supply.network

    def is_lost(tag: str) -> bool:
        if tag in network.circuit_zone:
            return network.circuit_zone[tag] in lost
        if tag in network.devices:
            return network.devices[tag].zones[-1] in lost
        # A load is lost by its outcome.
        is_box = tag in network.enclosures and tag not in network.loads
        return is_box and network.bus_zone(tag) in lost

    return is_lost


def _weakened(
    supply: Supply, opening: Opening, found: Losses, gone: Collection[str]
) -> Iterable[Group]:
    weak: dict[Group, None] = {}
    for places in supply.redundancy:
        if opening.splits:
            weak |= places.weakened_by_conductor(supply.conductors, opening, gone)
        else:
            weak |= places.weakened(opening, gone, found.lost[places.name])
    return weak


def _worst(load: NetworkLoad, outcomes: Outcomes) -> Outcome:
    each = [
        outcomes.get((load.tag, index), ("unaffected",))[0] for index in range(len(load.groups))
    ]
    worst = min(each, key=OUTCOMES.index)
    # Control power is no leg: without it the load stops, and its legs are none the worse.
    legs, control = each[: len(load.circuits)], each[len(load.circuits) :]
    hit = [outcome in ("dark", "may see abnormal voltage") for outcome in legs]
    if load.legs_together and any(hit) and not all(outcome == "dark" for outcome in legs):
        return "dark" if "dark" in control else "may see abnormal voltage"
    return worst


def _of_load(
    load: NetworkLoad,
    outcomes: Outcomes,
    reached_again: Callable[[str], bool],
    floating: Collection[str],
) -> Affected:
    worst = _worst(load, outcomes)
    hit = [index for index in range(len(load.groups)) if (load.tag, index) in outcomes]
    carried = tuple(
        dict.fromkeys(
            ups
            for index in hit
            for ups in outcomes[load.tag, index][1]
            if outcomes[load.tag, index][0] == worst
        )
    )
    again = worst != "loses standby or redundancy" and any(
        reached_again(zone) for index in hit for zone in load.groups[index]
    )
    left = load.tag in floating
    return Affected(load.tag, worst, carried, again or left, left)
