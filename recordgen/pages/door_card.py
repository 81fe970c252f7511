"""Door card of a panel: its directory as it hangs on the door, with room to write what is wrong.

NEC 408.4(A), from memory: each circuit is identified on the directory by its clear, evident and
specific purpose or use, spares too, and by nothing that may change with who is in the room.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from recordgen.network.assemblies import rating_text
from recordgen.network.model import local
from recordgen.pages import paths
from recordgen.pages.door_rows import DoorRow, door_rows, sheets_of
from recordgen.pages.page import Heading, Page
from recordgen.pages.panel_stops import panel_stops
from recordgen.pages.share import share_of
from recordgen.pages.view import View
from recordgen.pages.wording import CAUTION
from recordgen.records.supply import Panel

_OPENED: Final = frozenset(
    {"circuit device", "main device", "disconnect", "local disconnect", "bus tie"}
)
"""Kinds of devices that somebody can open by hand; a transformer is none."""
_LINES: Final = 30
"""Lines to write on: more than any paper has room for, since the style shows those that fit."""


def pages(view: View) -> Iterator[Page]:
    """Yield the door card of every panel."""
    for building, loaded in view.portfolio.buildings.items():
        for tag, panel in loaded.records.panels.items():
            yield _page(view, building, f"{building}:{tag}", panel)


def _page(view: View, building: str, full: str, panel: Panel) -> Page:
    name = local(full)
    title = f"{name}{f': {panel.name}' if panel.name else ''}, door card"
    record = view.loaded(building).records.building
    rows = door_rows(view, full, panel)
    return view.page(
        paths.door_card(full),
        title,
        "door_card.html",
        building=building,
        head="coded",
        depends_on=view.network_digest(building),
        contents=[Heading(1, "top", title)],
        context={
            "tag": full,
            "name": name,
            "panel": panel,
            "building_name": record.name,
            "facts": tuple(_facts(view, building, full, panel)),
            "stops": panel_stops(view, full, panel),
            "sheets": sheets_of(rows),
            "by_device": panel.counts_by_device,
            "legend": tuple(_legend(panel, rows)),
            "owner": record.record_owner or "",
            "lines": _LINES,
            "cautions": CAUTION,
        },
    )


def _facts(view: View, building: str, full: str, panel: Panel) -> Iterator[tuple[str, str]]:
    """Yield label and text of the head of the card; the text is empty where nothing is recorded."""
    high_leg = ""
    if panel.system is not None and panel.system.high_leg:
        high_leg = f", high leg on {panel.high_leg or 'B (assumed: measure it)'}"
    yield "System", f"{panel.system}{high_leg}" if panel.system else ""
    yield "Bus", panel.bus_rating_a.written if panel.bus_rating_a else ""
    yield "Main", _main(panel)
    yield "Room", _place(view, building, panel.room or "", panel.directions or "")
    feeds = (_feed(view, building, str(reference)) for reference in panel.fed_from or ())
    yield "Fed from", "; ".join(feeds)
    yield from _temporary(view, building, panel)
    yield from _ahead(view, building, full, panel)
    yield (
        "Sources that may reach it",
        ", ".join(
            view.name(source, building) for source in view.answers.isolation(full).isolation.sources
        ),
    )
    share = share_of(view.portfolio.shares.panels.get(full))
    if share:
        yield "Loads proven", f"{share.count}: {share.parts}"
    contacts = view.loaded(building).records.building.notify
    yield (
        "Tell before an outage",
        "; ".join(f"{one.role} {one.phone or '(phone not recorded)'}" for one in contacts),
    )


def _main(panel: Panel) -> str:
    if panel.has_main_lugs:
        return "lugs: no main device here"
    device = panel.main_device
    if device is None:
        return ""
    state = f", stands {panel.main_present.position} now" if panel.main_present else ""
    lock = ", locked now" if panel.main_lock_in_force else ""
    return f"{rating_text(device, device.poles) or 'rating not recorded'}{state}{lock}"


def _place(view: View, building: str, room: str, directions: str) -> str:
    record = view.loaded(building).records.rooms.get(room)
    named = f"{room} {record.name}" if record and record.name else room
    return ": ".join(filter(None, (named, directions)))


def _temporary(view: View, building: str, panel: Panel) -> Iterator[tuple[str, str]]:
    """Yield every temporary feed, and since when."""
    for feed in panel.temporary_feeds:
        until = f" until {feed.until}" if feed.until else ""
        label = f"TEMPORARY feed since {feed.since}{until}"
        yield label, _feed(view, building, str(feed.fed_from))


def _ahead(view: View, building: str, full: str, panel: Panel) -> Iterator[tuple[str, str]]:
    """Yield where to open ahead of the panel, where what feeds it is nothing to open."""
    recorded = (*(panel.fed_from or ()), *(feed.fed_from for feed in panel.temporary_feeds))
    named = {view.canonical(str(reference), building) for reference in recorded}
    found = []
    for way in view.answers.feed_paths(full):
        outside = [tag for tag in way.devices if view.network.devices[tag].enclosure != full]
        opened = [tag for tag in outside if view.network.devices[tag].kind in _OPENED]
        if opened and opened[-1] not in named:
            found.append(_feed(view, building, opened[-1]))
    if found:
        yield "Opened ahead of it at", "; ".join(dict.fromkeys(found))


def _feed(view: View, building: str, reference: str) -> str:
    full = view.canonical(reference, building)
    named = view.name(full, building)
    there = full.partition(":")[0]
    if full in view.network.devices:
        line = view.answers.device_line(full)
        place = _place(view, there, line.room, line.directions)
        rating = line.rating or "rating not recorded"
    else:
        record = view.answers.record_of(full)
        place = _place(view, there, (record and record.room) or "", "") if record else ""
        rating = ""
    return ", ".join(filter(None, (named, rating, f"room {place or 'not recorded'}")))


_WORDS: Final[Mapping[str, str]] = {
    "assumed": "Odd positions left and even ones right are assumed, not recorded.",
    "count": "How many positions it has is not recorded: shown up to the last one recorded.",
    "phase": "Phases do not follow: the system is not recorded.",
    "empty": "“Not recorded”: nobody has written what is at that position.",
}


def _legend(panel: Panel, rows: tuple[DoorRow, ...]) -> Iterator[str]:
    """Yield what is to be known of the card as a whole."""
    if panel.numbering is None and not panel.counts_by_device:
        yield _WORDS["assumed"]
    if panel.positions is None:
        yield _WORDS["count"]
    if panel.system is None and not panel.counts_by_device:
        yield _WORDS["phase"]
    if any(cell and not cell.lines for row in rows for cell in (row.left, row.right)):
        yield _WORDS["empty"]
