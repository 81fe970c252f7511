"""Temporary feeds as recorded: what they feed, from where, and until when."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import chain

from recordgen.network.between import Between
from recordgen.pages.describe import NOT_RECORDED
from recordgen.pages.known import Known
from recordgen.records.parts import TemporaryFeed


@dataclass(frozen=True)
class TemporaryWay:
    """A temporary feed: full tags of what it feeds and what it comes from, and when it ends."""

    owner: str
    feed: str
    text: str


def temporary_ways(known: Known) -> Iterator[TemporaryWay]:
    """Yield every temporary feed of all buildings."""
    for building, loaded in known.portfolio.buildings.items():
        records = loaded.records
        for tag, record in chain(records.panels.items(), records.equipment.items()):
            for feed in record.temporary_feeds:
                place = feed.fed_from.building or building
                port = f"/{feed.fed_from.port}" if feed.fed_from.port else ""
                yield TemporaryWay(
                    f"{building}:{tag}", f"{place}:{feed.fed_from.tag}{port}", _text(feed)
                )


def _text(feed: TemporaryFeed) -> str:
    until = feed.until.isoformat() if feed.until is not None else NOT_RECORDED
    return f"since {feed.since.isoformat()}, until: {until}"


def temporary_on(
    known: Known, ways: Iterable[TemporaryWay], between: Between
) -> Iterator[TemporaryWay]:
    """Yield the temporary feeds that stand on some way from a source to a target."""
    for way in ways:
        zones = known.network.enclosures[way.owner].zones
        at_feed = _nodes(known, way.feed)
        if any(map(between.holds, zones)) and any(map(between.holds, at_feed)):
            yield way


def _nodes(known: Known, tag: str) -> Iterable[str]:
    """Return the nodes of what a temporary feed comes from."""
    network = known.network
    if tag in network.devices or tag in network.sources:
        return (tag,)
    box = network.enclosures.get(tag.partition("/")[0])
    return box.zones if box is not None else ()
