"""What conductors serve, as far as the rules for their device ask: receptacles, motors."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from recordgen.calc.study.distribution import Distribution, LoadAt, Record
from recordgen.network.model import building_of
from recordgen.network.references import Resolver
from recordgen.records.equipment import Drive, Starter, Transformer, Ups
from recordgen.records.positions import Reference
from recordgen.records.supply import Circuit, Load, LoadKind, Panel

_MOTOR: Final = "430.52"
_CLAUSES: Final[dict[LoadKind, str]] = {
    "motor": _MOTOR,
    "pump": _MOTOR,
    "fan": _MOTOR,
    "HVAC": "440.22",
    "compressor": "440.22",
    "welder": "630.12",
}
"""Kinds of load whose circuits have a rule of their own for the device: 240.4(G), from memory."""


@dataclass(frozen=True)
class ServedLoads:
    """What hangs on a set of conductors.

    Attributes
    ----------
    several_receptacles : bool or None
        Whether it is a branch circuit of more than one receptacle for loads with cord and plug;
        None where the records do not tell.
    own_clauses : tuple of str
        Clauses of rules for the device that take the place of 240.4 where all loads have such a
        rule: "430.52"; empty where not.
    some_motors : bool
        Whether some loads are motors, and others not.
    recorded : bool
        Whether it is recorded what hangs there.
    """

    several_receptacles: bool | None
    own_clauses: tuple[str, ...]
    some_motors: bool
    recorded: bool


def also_fed(distribution: Distribution) -> Mapping[str, tuple[str, ...]]:
    """Return what an element feeds in another than the normal state.

    Parameters
    ----------
    distribution : Distribution

    Returns
    -------
    dict
        Full tag of a feed → full tags of the elements: the other side of transfer switches, second
        feeds, bypasses.

    Notes
    -----
    The conductors of such a feed are there all the time, and so is their rule.
    """
    found: dict[str, tuple[str, ...]] = {}
    resolver = Resolver(distribution.buildings, [])
    for element in distribution.elements.values():
        feeds = list(element.other_feeds)
        building = building_of(element.tag)
        place = distribution.buildings[building].where_building()
        for reference in _bypasses(element.record):
            target = resolver.resolve(reference, building, place)
            if target is not None and target.tag in distribution.elements:
                feeds.append(target.tag)
        for feed in feeds:
            found[feed] = (*found.get(feed, ()), element.tag)
    return found


def _bypasses(record: Record) -> tuple[Reference, ...]:
    found: tuple[Reference | None, ...] = ()
    if isinstance(record, Ups):
        found = (record.static_bypass_from, record.maintenance_bypass_from)
    elif isinstance(record, Drive):
        found = (record.bypass_from,)
    return tuple(reference for reference in found if reference is not None)


def served_loads(
    distribution: Distribution, also: Mapping[str, tuple[str, ...]], tag: str
) -> ServedLoads:
    """Return what hangs on the conductors that lead to an element.

    Parameters
    ----------
    distribution : Distribution
    also : dict
        What is fed in another state, see `also_fed`.
    tag : str
        Full tag of an element; of a circuit, the conductors are those that leave it.

    Returns
    -------
    ServedLoads

    Raises
    ------
    KeyError
        There is no such element.

    Notes
    -----
    240.4(B)(1): receptacles; a load with a plug stands for the receptacle that it is plugged into.
    240.4(G): motors (430.52; a feeder of motors alone 430.62), air conditioning and refrigeration
    (440.22), welders (630.12). A load in horsepower is a motor, whatever its kind. From memory.
    """
    below = _below(distribution, also, tag)
    records = [distribution.elements[each].record for each in below]
    feeder = any(isinstance(record, Panel | Transformer | Ups) for record in records)
    loads = [one for each in below for one in distribution.loads_at.get(each, ())]
    recorded = all(_is_recorded(distribution, also, each) for each in below)
    clauses = [_clause(one.load) for one in loads]
    drives = any(isinstance(record, Starter | Drive) for record in records)
    if not loads and drives:
        clauses = [_MOTOR]
    own = tuple(sorted({clause for clause in clauses if clause is not None}))
    every = bool(clauses) and None not in clauses and (recorded or drives)
    if feeder and own == (_MOTOR,):
        own = ("430.62",)
    return ServedLoads(
        several_receptacles=False if feeder else _several_receptacles(loads, recorded),
        own_clauses=own if every else (),
        some_motors=bool(own) and not every,
        recorded=recorded,
    )


def _below(
    distribution: Distribution, also: Mapping[str, tuple[str, ...]], tag: str
) -> dict[str, None]:
    """Return an element and all that hangs on it, in any state."""
    found: dict[str, None] = {}
    ahead = [tag]
    while ahead:
        here = ahead.pop()
        if here not in found:
            found[here] = None
            ahead += (*distribution.below[here], *also.get(here, ()))
    return found


def _is_recorded(distribution: Distribution, also: Mapping[str, tuple[str, ...]], tag: str) -> bool:
    """Return whether a circuit tells what hangs on it; other things are no question here."""
    record = distribution.elements[tag].record
    if not isinstance(record, Circuit):
        return True
    if record.loads_unknown:
        return False
    named = record.loads is not None or record.spare or record.backfed_from is not None
    return named or bool(distribution.below[tag] or also.get(tag) or distribution.loads_at.get(tag))


def _clause(load: Load) -> str | None:
    if load.power_va is not None and str(load.power_va).lower().endswith("hp"):
        return _MOTOR
    return _CLAUSES.get(load.kind)


def _several_receptacles(loads: list[LoadAt], recorded: bool) -> bool | None:
    plugs = [(one.load, _has_plug(one.load)) for one in loads]
    if sum(load.quantity or 1 for load, plug in plugs if plug) > 1:
        return True
    possible = sum(load.quantity or 1 for load, plug in plugs if plug is not False)
    uncounted = any(load.kind == "receptacle" and load.quantity is None for load, _ in plugs)
    return None if not recorded or possible > 1 or uncounted else False


def _has_plug(load: Load) -> bool | None:
    if load.kind == "receptacle" or load.connection == "plug":
        return True
    return None if load.connection is None else False
