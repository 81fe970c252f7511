"""What happens to every load when devices are opened; `outcomes` holds the decision."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass

from recordgen.network.hazard import Hazard
from recordgen.network.impaired import Impaired, impaired
from recordgen.network.losses import Losses, losses, losses_by_conductor, losses_by_walking
from recordgen.network.model import NetworkLoad
from recordgen.network.opening import Opening, opening_of
from recordgen.network.outcomes import (
    LOST,
    OUTCOMES,
    Outcome,
    Outcomes,
    add_neutral_outcomes,
    outcome_of_load,
    outcomes_of_groups,
)
from recordgen.network.supply import Supply
from recordgen.network.supply_graphs import Group


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


def _answer(supply: Supply, hazard: Hazard, opening: Opening, found: Losses) -> Downstream:
    network, lost = supply.network, found.lost
    outcomes = outcomes_of_groups(supply, found)
    floating, afloat = add_neutral_outcomes(supply, opening, outcomes, lost)
    suffering = impaired(network, _lost_tags(supply, outcomes, lost["automatic"] | afloat))
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


def _lost_tags(supply: Supply, outcomes: Outcomes, lost: Collection[str]) -> Callable[[str], bool]:
    """Return a function that says whether a load, circuit, panel or equipment is lost."""
    network = supply.network

    def is_lost(tag: str) -> bool:
        if tag in network.loads:
            return outcome_of_load(network.loads[tag], outcomes) in LOST
        if tag in network.circuit_zone:
            return network.circuit_zone[tag] in lost
        if tag in network.devices:
            return network.devices[tag].load_side in lost
        return tag in network.enclosures and network.bus_zone(tag) in lost

    return is_lost


def _weakened(
    supply: Supply, opening: Opening, found: Losses, gone: Collection[str]
) -> Iterable[Group]:
    weak: dict[Group, None] = {}
    for places in supply.redundancy:
        if found.by_conductor:
            weak |= places.weakened_by_conductor(supply.conductors, opening, gone)
        else:
            weak |= places.weakened(opening, gone, found.lost[places.name])
    return weak


def _of_load(
    load: NetworkLoad,
    outcomes: Outcomes,
    reached_again: Callable[[str], bool],
    floating: Collection[str],
) -> Affected:
    worst = outcome_of_load(load, outcomes)
    hit = [
        (zones, *outcomes[load.tag, index])
        for index, zones in enumerate(load.groups)
        if (load.tag, index) in outcomes
    ]
    carried: tuple[str, ...] = ()
    if any(upses for _, _, upses in hit):
        carried = tuple(dict.fromkeys(u for _, o, upses in hit if o == worst for u in upses))
    again = worst != "loses standby or redundancy" and any(
        reached_again(zone) for zones, _, _ in hit for zone in zones
    )
    left = load.tag in floating
    return Affected(load.tag, worst, carried, again or left, left)
