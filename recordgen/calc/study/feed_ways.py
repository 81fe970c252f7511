"""Every way by which power can come to a thing, in any state of the switches."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from recordgen.calc.study.distribution import Distribution, Element
from recordgen.network.references import Resolver
from recordgen.records.equipment import BusTie, Drive, Ups
from recordgen.records.parts import Conductors
from recordgen.records.positions import Reference
from recordgen.records.supply import Circuit, Panel, Source

INVERTERS: Final = frozenset({"photovoltaic", "battery storage"})
"""Kinds of source that feed beside the utility, through an inverter."""


@dataclass(frozen=True)
class Way:
    """A way into an element.

    Attributes
    ----------
    feed : str
        Full tag of the element the power comes from.
    element : str
        Full tag of the element it comes to.
    conductors : Conductors or None
        Between the two; None where they are not recorded.
    conductors_of : str
        Full tag of the record that holds them, or should.
    what : str
        What is out of the ordinary about it, in words; empty for a plain feed.
    normal : bool
        Whether it is the way of the normal state.
    joined : bool
        Whether the two hang on the same bars, with nothing between: a tie between two buses.
    """

    feed: str
    element: str
    conductors: Conductors | None
    conductors_of: str
    what: str = ""
    normal: bool = False
    joined: bool = False


def feed_ways(distribution: Distribution) -> Mapping[str, tuple[Way, ...]]:
    """Return the ways into every element that has a feed, the normal one first.

    Parameters
    ----------
    distribution : Distribution

    Returns
    -------
    dict
        Full tag of an element → its ways. Sources have none.

    Notes
    -----
    Counted are recorded feeds, transfer switches, bypasses, temporary feeds, bus ties in both
    directions, and circuits that a source feeds backwards; but an inverter that feeds beside the
    utility is no way of its own: it adds to the fault current (see `inverters`). A UPS or drive
    with a bypass is reached by the bypass: a fault behind it draws through that, and the inverter
    gives less (common practice).
    """
    resolver = Resolver(distribution.buildings, [])
    found: dict[str, list[Way]] = {}
    for element in distribution.elements.values():
        ways = list(_plain(distribution, element))
        bypasses = list(_bypasses(distribution, resolver, element))
        found[element.tag] = bypasses or ways
        found[element.tag].extend(_temporary(distribution, resolver, element))
    for way in (*_ties(distribution, resolver), *_backfed(distribution, resolver)):
        found[way.element].append(way)
    return {tag: tuple(ways) for tag, ways in found.items()}


def inverters(distribution: Distribution) -> Mapping[str, str]:
    """Return inverter source → the element it feeds into beside the utility.

    Only circuits that are recorded as fed backwards by it say so.
    """
    resolver = Resolver(distribution.buildings, [])
    found = {}
    for way in _all_backfed(distribution, resolver):
        source = distribution.path(way.feed)[0]
        if isinstance(source.record, Source) and source.record.kind in INVERTERS:
            found[source.tag] = way.element
    return found


def _plain(distribution: Distribution, element: Element) -> Iterator[Way]:
    if element.feed is None:
        return
    yield Way(
        element.feed,
        element.tag,
        element.conductors,
        element.conductors_of,
        normal=True,
    )
    for feed in element.other_feeds:
        if feed in distribution.elements:
            yield _by(distribution, feed, element.tag, "another feed")


def _by(distribution: Distribution, feed: str, element: str, what: str) -> Way:
    """Return a way by conductors that only the feeding circuit can record."""
    record = distribution.elements[feed].record
    conductors = record.conductors if isinstance(record, Circuit) else None
    return Way(feed, element, conductors, feed, what)


def _bypasses(distribution: Distribution, resolver: Resolver, element: Element) -> Iterator[Way]:
    record = element.record
    named: tuple[tuple[Reference | None, str], ...] = ()
    if isinstance(record, Ups):
        named = (
            (record.static_bypass_from, f"the static bypass of {_local(element.tag)}"),
            (record.maintenance_bypass_from, f"the maintenance bypass of {_local(element.tag)}"),
        )
    elif isinstance(record, Drive):
        named = ((record.bypass_from, f"the bypass of {_local(element.tag)}"),)
    first = True
    for reference, what in named:
        feed = _resolved(distribution, resolver, reference, element.tag)
        if feed is not None:
            way = _by(distribution, feed, element.tag, what)
            yield Way(way.feed, way.element, way.conductors, feed, what, normal=first)
            first = False


def _temporary(distribution: Distribution, resolver: Resolver, element: Element) -> Iterator[Way]:
    record = element.record
    if isinstance(record, Circuit | Source):
        return
    for temporary in record.temporary_feeds:
        feed = _resolved(distribution, resolver, temporary.fed_from, element.tag)
        if feed is not None:
            yield _by(distribution, feed, element.tag, "a temporary feed")


def _ties(distribution: Distribution, resolver: Resolver) -> Iterator[Way]:
    for building, loaded in distribution.buildings.items():
        for local, record in loaded.records.equipment.items():
            if not isinstance(record, BusTie):
                continue
            ends = [
                target.tag
                for one in record.between
                if (target := resolver.resolve_bus(one, building, loaded.where_building()))
                and target.tag in distribution.elements
            ]
            if len(ends) == 2:
                what = f"bus tie {local} closed"
                for feed, element in (ends, ends[::-1]):
                    yield Way(
                        feed, element, record.conductors, f"{building}:{local}", what, joined=True
                    )


def _backfed(distribution: Distribution, resolver: Resolver) -> Iterator[Way]:
    for way in _all_backfed(distribution, resolver):
        source = distribution.path(way.feed)[0].record
        if not (isinstance(source, Source) and source.kind in INVERTERS):
            yield way


def _all_backfed(distribution: Distribution, resolver: Resolver) -> Iterator[Way]:
    """Yield the ways into panels through circuits that are fed backwards."""
    for element in distribution.elements.values():
        record = element.record
        if not isinstance(record, Circuit) or record.backfed_from is None:
            continue
        feed = _resolved(distribution, resolver, record.backfed_from, element.tag)
        panel = element.tag.rpartition("/")[0]
        if feed is not None and isinstance(distribution.elements[panel].record, Panel):
            what = f"{_local(element.tag)} fed backwards"
            yield Way(feed, panel, record.conductors, element.tag, what)


def _resolved(
    distribution: Distribution, resolver: Resolver, reference: Reference | None, tag: str
) -> str | None:
    if reference is None:
        return None
    building = tag.partition(":")[0]
    place = distribution.buildings[building].where_building()
    target = resolver.resolve(reference, building, place)
    return target.tag if target is not None and target.tag in distribution.elements else None


def _local(tag: str) -> str:
    return tag.partition(":")[2]
