"""Where two feeds act at once: a fault then draws more than any one of them gives."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from recordgen.calc.study.distribution import Distribution, Element
from recordgen.network.model import local
from recordgen.network.references import Resolver
from recordgen.records.equipment import BusTie, Drive, TransferSwitch, Ups
from recordgen.records.supply import Circuit


def parallel_notes(distribution: Distribution) -> Mapping[str, tuple[str, ...]]:
    """Return element → what feeds it side by side, in words; also of all that hangs on it.

    Parameters
    ----------
    distribution : Distribution

    Returns
    -------
    dict
        Full tag → sentences; elements that one feed supplies at a time are not in it.

    Notes
    -----
    Said of bus ties that stand closed in the normal state, of transfer switches that join both
    sides while they transfer, and of things with several feeds that are live at once.
    """
    found: dict[str, tuple[str, ...]] = {}
    own: dict[str, list[str]] = {}
    for tag, note in (*_closed_ties(distribution), *_of_elements(distribution)):
        own.setdefault(tag, []).append(note)
    for tag, element in distribution.elements.items():
        above = found.get(element.feed, ()) if element.feed is not None else ()
        notes = tuple(dict.fromkeys((*above, *own.get(tag, ()))))
        if notes:
            found[tag] = notes
    return found


def _closed_ties(distribution: Distribution) -> Iterator[tuple[str, str]]:
    resolver = Resolver(distribution.buildings, [])
    for building, loaded in distribution.buildings.items():
        for tie, record in loaded.records.equipment.items():
            if not isinstance(record, BusTie) or record.normal != "closed":
                continue
            for reference in record.between:
                end = resolver.resolve_bus(reference, building, loaded.where_building())
                if end is not None and end.tag in distribution.elements:
                    yield end.tag, f"bus tie {tie} stands closed: one side at a time is counted"


def _of_elements(distribution: Distribution) -> Iterator[tuple[str, str]]:
    for tag, element in distribution.elements.items():
        record = element.record
        if isinstance(record, TransferSwitch):
            if record.transition == "closed":
                what = "joins both sides while it transfers: one side at a time is counted"
                yield tag, f"{local(tag)} {what}"
        elif not isinstance(record, Ups | Drive | Circuit) and _live_feeds(distribution, element):
            yield tag, f"{local(tag)} has several live feeds: one at a time is counted"


def _live_feeds(distribution: Distribution, element: Element) -> bool:
    """Return whether more than one feed of an element is live in the normal state."""
    if element.feed is None:
        return False
    feeds = (element.feed, *element.other_feeds)
    return sum(distribution.elements[f].live for f in feeds if f in distribution.elements) > 1
