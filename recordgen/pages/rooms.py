"""Rooms: what feeds a room, and what stands in it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from recordgen.evidence.grades import Grade
from recordgen.network.model import building_of
from recordgen.pages import paths
from recordgen.pages.describe import facts
from recordgen.pages.page import Heading, Page
from recordgen.pages.share import share_of
from recordgen.pages.view import View


@dataclass(frozen=True)
class RoomLoad:
    """A load in a room; `circuits` are full tags of what feeds it."""

    tag: str
    kind: str
    description: str
    circuits: tuple[str, ...]
    grade: Grade
    stop: bool


@dataclass(frozen=True)
class RoomLine:
    """A room in the index: how many loads, on which circuits."""

    id: str
    name: str
    floor: str
    loads: int
    circuits: tuple[str, ...]


def pages(view: View) -> Iterator[Page]:
    """Yield the index of rooms and a page for each room of every building."""
    for building, loaded in view.portfolio.buildings.items():
        by_room: dict[str, list[RoomLoad]] = {}
        for tag, recorded in loaded.loads.items():
            if recorded.load.room:
                by_room.setdefault(recorded.load.room, []).append(_load(view, f"{building}:{tag}"))
        yield _index(view, building, by_room)
        for room in loaded.records.rooms:
            yield _room(view, building, room, by_room.get(room, []))


def _load(view: View, tag: str) -> RoomLoad:
    load = view.answers.load(tag)
    return RoomLoad(
        tag=tag,
        kind=load.kind,
        description=load.description or "",
        circuits=view.network.loads[tag].circuits,
        grade=view.portfolio.grades.of_load(tag),
        stop=bool(view.answers.stops([tag])),
    )


def _index(view: View, building: str, by_room: dict[str, list[RoomLoad]]) -> Page:
    records = view.loaded(building).records
    title = f"Rooms: {records.building.name}"
    lines = [
        RoomLine(
            room,
            record.name or "",
            record.floor or "",
            len(by_room.get(room, [])),
            tuple(dict.fromkeys(c for load in by_room.get(room, []) for c in load.circuits)),
        )
        for room, record in records.rooms.items()
    ]
    return view.page(
        paths.index(building, "rooms/index"),
        title,
        "rooms.html",
        building=building,
        nav="Rooms",
        searched=False,
        contents=[Heading(1, "top", title)],
        context={"building": building, "lines": lines},
    )


def _room(view: View, building: str, room: str, loads: list[RoomLoad]) -> Page:
    records = view.loaded(building).records
    record = records.rooms[room]
    title = f"Room {room}: {record.name}" if record.name else f"Room {room}"
    standing = [
        f"{building}:{tag}"
        for section in (records.panels, records.equipment, records.sources)
        for tag, thing in section.items()
        if thing.room == room
    ]
    circuits = tuple(dict.fromkeys(c for load in loads for c in load.circuits))
    return view.page(
        paths.room(building, room),
        title,
        "room.html",
        building=building,
        searched=True,
        contents=[Heading(1, "top", title)],
        context={
            "facts": facts(record, skip=("name",)),
            "loads": loads,
            "share": share_of(view.portfolio.shares.rooms.get(f"{building}:{room}")),
            "lines": [view.answers.device_line(c) for c in circuits if c in view.network.devices],
            "standing": standing,
            "faults": [
                facts for facts in view.faults.of_building(building) if facts.fault.room == room
            ],
            "cables": [
                (f"{building}:{tag}", cable)
                for tag, cable in records.cables.items()
                if any(end.room == room for end in cable.ends)
            ],
            "elsewhere": any(building_of(c) != building for c in circuits),
        },
    )
