"""The notice of an outage, put together from what happens when devices are opened."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from recordgen.network.model import building_of, local
from recordgen.network.outcomes import OUTCOMES
from recordgen.pages.answer_values import (
    DeviceLine,
    DownstreamAnswer,
    LeaningLine,
    LoadLine,
    Notice,
)
from recordgen.pages.handle_ties import partners_unknown
from recordgen.pages.known import Known
from recordgen.pages.notice_values import (
    FEW,
    GROUPS,
    Dependent,
    Happening,
    NoticeFloor,
    NoticeGroup,
    NoticeLoad,
    NoticeRoom,
    OutageNotice,
    SwitchedOff,
    UnknownSource,
    group_of,
    heading_of,
    meaning,
    what_happens,
    what_it_is,
)
from recordgen.pages.present_positions import PresentChange
from recordgen.pages.proven import proven_outage


def has_notice(answer: DownstreamAnswer, change: PresentChange | None = None) -> bool:
    """Say whether there is anything to give notice of: what is affected, or nobody knows what."""
    answers = [answer] if change is None else [change.normal, change.present]
    return any(each.loads or each.unknown_loads or each.leaning for each in answers)


def outage_notice(
    known: Known, answer: DownstreamAnswer, change: PresentChange | None = None
) -> OutageNotice:
    """Return the notice of an outage.

    Parameters
    ----------
    known : Known
    answer : DownstreamAnswer
    change : PresentChange or None
        What the present positions change of the answer; the notice then starts from them.
    """
    answer = answer if change is None else change.present
    loads = [_load(line) for line in answer.loads]
    sourceless = tuple(_unknown_source(known, tag) for tag in answer.nowhere)
    on_top = [load.line.tag for load in loads if load.group]
    dependents = tuple(_dependent(known, line) for line in answer.leaning)
    on_top += [one.tag for one in dependents if one.group]
    on_top += [one.tag for one in sourceless if one.group]
    loads_on_top = [tag for tag in dict.fromkeys(on_top) if tag in known.network.loads]
    nobody = tuple(tag for tag in loads_on_top if not known.load(tag).notify)
    agree, tell = _contacts(known, answer, loads_on_top)
    unknown = bool(answer.unknown_loads)
    proven = proven_outage(known, answer)
    return OutageNotice(
        heading=heading_of((line.outcome for line in answer.loads), unknown=unknown),
        opened=answer.opened,
        switched_off=tuple(
            SwitchedOff(device, _where(known, device), device in answer.tied)
            for device in (*answer.opened, *answer.tied)
        ),
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
        dependents=dependents,
        agree=agree,
        tell=tell,
        nobody_named=nobody,
        nobody_by_room=_by_room(known, nobody) if len(nobody) > FEW else (),
        record_owners=tuple(
            (building.name, building.record_owner or "")
            for building in (
                known.portfolio.buildings[name].records.building
                for name in dict.fromkeys(map(building_of, nobody))
            )
        ),
        unknown_loads=tuple((tag, _title(known, tag)) for tag in answer.unknown_loads),
        unknown_source=sourceless,
        standing=change.devices if change else (),
        set_back=tuple(map(_load, change.fewer)) if change else (),
        partner_unknown=partners_unknown(known, answer),
        graded=tuple((name, answer.graded(name)) for name in ("confirmed", "traced", "unverified")),
        weakest=next(iter(proven.links), None),
        ungraded=len(proven.unfollowed),
        stops=answer.stops,
    )


def _by_room(known: Known, tags: Iterable[str]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    found: dict[tuple[str, str], list[str]] = {}
    for tag in tags:
        found.setdefault((building_of(tag), known.load(tag).room or ""), []).append(tag)
    # What has no room comes last.
    return tuple(
        (room, tuple(here))
        for (_, room), here in sorted(found.items(), key=lambda item: not item[0][1])
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


def _dependent(known: Known, line: LeaningLine) -> Dependent:
    if line.is_source:
        room = getattr(known.record_of(line.tag), "room", None) or ""
        return Dependent(line.tag, line.what, room, "", "may not start or carry", line.needs)
    load = known.load(line.tag)
    return Dependent(
        line.tag,
        what_it_is(load.kind, load.description or ""),
        load.room or "",
        group_of(load.kind, load.criticality or ""),
        "may stop working",
        line.needs,
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
    # Whoever is named for what may stop besides has to know as well.
    besides = dict.fromkeys(answer.nowhere, "which may go off too")
    besides |= {line.tag: "which may stop working" for line in answer.leaning if not line.is_source}
    names: dict[tuple[str, str], str] = {}
    reasons: dict[tuple[str, str], list[str]] = {}
    affected = {line.tag for line in answer.loads}
    for tag in (tag for tag in besides if tag not in affected):
        for key, role in _roles(known, tag).items():
            names.setdefault(key, role)
            reasons.setdefault(key, []).append(f"for {local(tag)}, {besides[tag]}")
    contacts = []
    for notice in answer.notify:
        more = reasons.pop((notice.building, notice.role.lower()), [])
        contacts.append(replace(notice, when="; ".join([notice.when, *more])))
    contacts += [
        Notice(building, names[building, role], "", "; ".join(more))
        for (building, role), more in reasons.items()
    ]
    agree = tuple(c for c in contacts if (c.building, c.role.lower()) in agreeing)
    return agree, tuple(c for c in contacts if (c.building, c.role.lower()) not in agreeing)


def _roles(known: Known, tag: str) -> dict[tuple[str, str], str]:
    """Return who is named for a load: building and role in small letters → role as written."""
    return {(building_of(tag), role.lower()): role for role in known.load(tag).notify}
