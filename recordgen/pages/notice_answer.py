"""The notice of an outage, put together from what happens when devices are opened."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from recordgen.network.downstream import OUTCOMES
from recordgen.network.model import building_of, local
from recordgen.pages.answer_values import DeviceLine, DownstreamAnswer, LoadLine, Notice
from recordgen.pages.known import Known
from recordgen.pages.notice_values import (
    GROUPS,
    Happening,
    NoticeFloor,
    NoticeGroup,
    NoticeLoad,
    NoticeRoom,
    OutageNotice,
    UnknownSource,
    group_of,
    heading_of,
    meaning,
    what_happens,
    what_it_is,
)


def has_notice(answer: DownstreamAnswer) -> bool:
    """Say whether there is anything to give notice of: loads affected, or nobody knows which."""
    return bool(answer.loads or answer.unknown_loads)


def outage_notice(known: Known, answer: DownstreamAnswer) -> OutageNotice:
    """Return the notice of an outage."""
    loads = [_load(line) for line in answer.loads]
    sourceless = tuple(_unknown_source(known, tag) for tag in answer.nowhere)
    on_top = [load.line.tag for load in loads if load.group]
    on_top += [load.tag for load in sourceless if load.group]
    nobody = tuple(tag for tag in on_top if not known.load(tag).notify)
    agree, tell = _contacts(known, answer, on_top)
    unknown = bool(answer.unknown_loads)
    return OutageNotice(
        heading=heading_of((line.outcome for line in answer.loads), unknown=unknown),
        opened=answer.opened,
        where=tuple(_where(known, device) for device in answer.opened),
        positions=answer.positions,
        meanings=tuple(
            meaning(outcome, answer.count(outcome)) for outcome in OUTCOMES if answer.count(outcome)
        ),
        on_top=tuple(
            NoticeGroup(group, _happenings(load for load in loads if load.group == group))
            for group in GROUPS
            if any(load.group == group for load in loads)
        ),
        floors=_floors(known, loads, [building_of(device.tag) for device in answer.opened]),
        agree=agree,
        tell=tell,
        nobody_named=nobody,
        record_owners=tuple(
            (building.name, building.record_owner or "")
            for building in (
                known.portfolio.buildings[name].records.building
                for name in dict.fromkeys(map(building_of, nobody))
            )
        ),
        unknown_loads=tuple((tag, _title(known, tag)) for tag in answer.unknown_loads),
        unknown_source=sourceless,
        graded=tuple((name, answer.graded(name)) for name in ("confirmed", "traced", "unverified")),
        stops=answer.stops,
    )


def _load(line: LoadLine) -> NoticeLoad:
    return NoticeLoad(
        line,
        what_it_is(line.kind, line.description),
        what_happens(line.outcome, line.detail, again=line.again),
        group_of(line.kind, line.criticality),
    )


def _unknown_source(known: Known, tag: str) -> UnknownSource:
    load = known.load(tag)
    return UnknownSource(
        tag,
        what_it_is(load.kind, load.description or ""),
        load.room or "",
        group_of(load.kind, load.criticality or ""),
    )


def _title(known: Known, circuit: str) -> str:
    device = known.network.devices.get(circuit)
    return device.title if device is not None else ""


def _where(known: Known, device: DeviceLine) -> str:
    # Without the key: a notice hangs where everybody reads it.
    rooms = known.portfolio.buildings[building_of(device.tag)].records.rooms
    room = rooms.get(device.room)
    named = f"room {device.room}" if device.room else "room not recorded"
    name = f" ({room.name})" if room is not None and room.name else ""
    return f"{named}{name}, {device.directions}" if device.directions else f"{named}{name}"


def _happenings(loads: Iterable[NoticeLoad]) -> tuple[Happening, ...]:
    """Return loads by what happens to them, gravest first, else in their order."""
    found: dict[str, list[NoticeLoad]] = {}
    for load in sorted(loads, key=lambda load: OUTCOMES.index(load.line.outcome)):
        found.setdefault(load.happens, []).append(load)
    return tuple(
        Happening(words, alike[0].line.outcome, tuple(alike)) for words, alike in found.items()
    )


def _floors(
    known: Known, loads: Sequence[NoticeLoad], home: Iterable[str]
) -> tuple[NoticeFloor, ...]:
    """Return loads by building, floor and room, floors and rooms in the order of the records."""
    in_room: dict[str, dict[str, list[NoticeLoad]]] = {name: {} for name in home}
    for load in loads:
        rooms = in_room.setdefault(building_of(load.line.tag), {})
        rooms.setdefault(load.line.room, []).append(load)
    found = []
    for name, rooms in in_room.items():
        records = known.portfolio.buildings[name].records
        on_floor: dict[str, list[NoticeRoom]] = {floor: [] for floor in records.building.floors}
        # What has no room comes last.
        order = {room: number for number, room in enumerate(records.rooms)}
        for room in sorted(rooms, key=lambda room: order.get(room, len(order))):
            record = records.rooms.get(room)
            floor = (record.floor if record is not None else None) or ""
            title = (record.name if record is not None else None) or ""
            here = rooms[room]
            on_floor.setdefault(floor, []).append(
                NoticeRoom(
                    room,
                    title,
                    tuple(load for load in here if load.group),
                    _happenings(load for load in here if not load.group),
                )
            )
        found += [
            NoticeFloor(name, records.building.name, floor, tuple(on_floor[floor]))
            for floor in sorted(on_floor, key=lambda floor: not floor)
            if on_floor[floor]
        ]
    return tuple(found)


def _contacts(
    known: Known, answer: DownstreamAnswer, on_top: Iterable[str]
) -> tuple[tuple[Notice, ...], tuple[Notice, ...]]:
    """Return who must agree first, named for a load on top, and who else is told."""
    agreeing = {key for tag in on_top for key in _roles(known, tag)}
    # Whoever is named for a load of unknown source has to know as well.
    maybe: dict[tuple[str, str], list[str]] = {}
    names: dict[tuple[str, str], str] = {}
    for tag in answer.nowhere:
        for key, role in _roles(known, tag).items():
            names.setdefault(key, role)
            maybe.setdefault(key, []).append(local(tag))
    contacts = []
    for notice in answer.notify:
        tags = maybe.pop((notice.building, notice.role.lower()), None)
        when = f"{notice.when}; {_may_go_off(tags)}" if tags else notice.when
        contacts.append(replace(notice, when=when))
    contacts += [
        Notice(building, names[building, role], "", _may_go_off(tags))
        for (building, role), tags in maybe.items()
    ]
    agree = tuple(c for c in contacts if (c.building, c.role.lower()) in agreeing)
    return agree, tuple(c for c in contacts if (c.building, c.role.lower()) not in agreeing)


def _roles(known: Known, tag: str) -> dict[tuple[str, str], str]:
    """Return who is named for a load: building and role in small letters → role as written."""
    return {(building_of(tag), role.lower()): role for role in known.load(tag).notify}


def _may_go_off(tags: Iterable[str]) -> str:
    return f"for {', '.join(tags)}, which may go off too"
