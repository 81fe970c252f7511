"""The notice of an outage, as text to hand out and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from recordgen.network.model import building_of, local
from recordgen.pages.answer_values import Notice
from recordgen.pages.handle_ties import partner_text
from recordgen.pages.notice_values import (
    NOT_LISTED,
    NOT_SAFE,
    Happening,
    NoticeFloor,
    NoticeLoad,
    OutageNotice,
)
from recordgen.pages.wording import CAUTION
from recordgen.terminal.lines import heading, listed, name, stops_text, wrap

_BLANKS = (
    "  From     date ______________________   time ______________________",
    "  Until    date ______________________   time ______________________",
    "  Contact  ___________________________   phone _____________________",
)


def notice_text(notice: OutageNotice) -> Iterator[str]:
    """Yield the lines of a notice, with blanks for when and whom to call."""
    home = building_of(notice.opened[0].tag)
    yield from stops_text(notice.stops)
    opened = " + ".join(name(line.tag, home) for line in notice.opened)
    yield from wrap(f"{notice.heading.upper()}: {opened}", "", "  ")
    yield ""
    yield from _BLANKS
    yield ""
    for each in notice.switched_off:
        verb = "Switched off with it (tied handles)" if each.tied else "Switched off"
        title = f", {each.device.title}" if each.device.title else ""
        text = f"{verb}: {name(each.device.tag, home)}{title}; {each.where}"
        yield from wrap(text, "  ", "    ")
    for tag in notice.partner_unknown:
        yield from wrap(f"Warning: {partner_text(name(tag, home))}", "  ", "    ")
    if notice.standing:
        moved = ", ".join(f"{name(line.tag, home)} {line.present}" for line in notice.standing)
        text = (
            f"Switches stand otherwise today ({moved}). This notice starts from where they stand."
        )
        yield from wrap(text, "  ", "    ")
    yield from heading("What it means")
    for meaning in notice.meanings:
        yield from wrap(f"{meaning.words} ({meaning.count}): {meaning.advice}.", "  ", "    ")
    if not notice.meanings:
        yield "  No recorded load is affected."
    yield from wrap(NOT_SAFE, "  ", "    ")
    yield from wrap(NOT_LISTED, "  ", "    ")
    if notice.on_top:
        yield from heading("Most important")
    for group in notice.on_top:
        yield f"  {group.title}"
        yield from _happenings(group.happenings, home, rooms=True)
    if notice.dependents:
        yield from heading("Depends on what goes off")
    for one in notice.dependents:
        mark = f"{one.group}: " if one.group else ""
        text = f"{mark}{one.what} ({name(one.tag, home)}, {_room(one.room)}) {one.consequence}: "
        yield from wrap(f"{text}it needs {listed(one.needs, home)}.", "  ", "    ")
    yield from _rooms(notice.floors, home)
    if notice.floors:
        yield from wrap(f"How well the list is known: {_known(notice, home)}.", "  ")
        yield f"  It starts from the {notice.positions} switch positions."
    yield from _unknown(notice, home)
    yield from _set_back(notice, home)
    yield from _contacts(notice, home)
    yield ""
    yield from wrap(CAUTION)


def _known(notice: OutageNotice, home: str) -> str:
    """Return the grades of the list, its weakest feed, and how many ways have no grade."""
    parts = [", ".join(f"{count} {grade}" for grade, count in notice.graded)]
    if notice.weakest:
        by = f"{name(notice.weakest.thing, home)} from {name(notice.weakest.by, home)}"
        parts.append(f"the least known feed, {by}, is {notice.weakest.grade.name}")
    if notice.ungraded:
        parts.append(f"the way to {notice.ungraded} more has no grade")
    return "; ".join(parts)


def _happenings(happenings: Iterable[Happening], home: str, *, rooms: bool) -> Iterator[str]:
    for happening in happenings:
        yield from wrap(f"→ {happening.words}:", "    ", "      ")
        for load in happening.loads:
            room = f", {_room(load.line.room)}" if rooms else ""
            mark = "STOP " if load.line.stop else ""
            text = f"{mark}{load.what} ({name(load.line.tag, home)}{room})"
            yield from wrap(text, "      ", "        ")


def _room(room: str) -> str:
    return f"room {room}" if room else "room not recorded"


def _rooms(floors: Iterable[NoticeFloor], home: str) -> Iterator[str]:
    for floor in floors:
        elsewhere = "" if floor.building == home else f"{floor.building_name}, "
        yield from heading(f"{elsewhere}{floor.floor or 'floor not recorded'}")
        for room in floor.rooms:
            yield from wrap(f"{_room(room.id)} {room.name}", "  ", "    ")
            yield from _happenings(room.happenings, home, rooms=False)
            if room.on_top:
                tags = listed((load.line.tag for load in room.on_top), home)
                yield from wrap(f"Listed above: {tags}", "    ", "      ")


def _unknown(notice: OutageNotice, home: str) -> Iterator[str]:
    if notice.unknown_loads or notice.unknown_source or notice.set_back:
        yield from heading("May go off too")
    for circuit, title in notice.unknown_loads:
        text = f"Circuit {name(circuit, home)}{f' ({title})' if title else ''}: what it feeds is "
        yield from wrap(f"{text}not recorded, so its rooms cannot be listed.", "  ", "    ")
    for load in notice.unknown_source:
        mark = f"{load.group}: " if load.group else ""
        text = f"{mark}{load.what} ({name(load.tag, home)}, {_room(load.room)}): what feeds it is "
        yield from wrap(f"{text}not recorded.", "  ", "    ")


def _set_back(notice: OutageNotice, home: str) -> Iterator[str]:
    if notice.set_back:
        yield "  If the switches named above are set back before:"
    for load in notice.set_back:
        text = f"{load.what} ({name(load.line.tag, home)}, {_room(load.line.room)}) {load.happens}"
        yield from wrap(f"{text}.", "    ", "      ")


def _contacts(notice: OutageNotice, home: str) -> Iterator[str]:
    if notice.agree or notice.nobody_named:
        yield from heading("Must agree first")
        yield from _people(notice.agree, home)
    if notice.nobody_named:
        owners = "; ".join(
            f"{building}: {role or 'not recorded'}" for building, role in notice.record_owners
        )
        ask = f"Ask who keeps the records: {owners}."
        if notice.nobody_by_room:
            yield f"  Not recorded who must agree for {len(notice.nobody_named)} loads:"
            for room, here in notice.nobody_by_room:
                yield from wrap(f"{_room(room)}: {listed(here, home)}", "    ", "      ")
            yield from wrap(ask, "  ", "    ")
        else:
            tags = listed(notice.nobody_named, home)
            yield from wrap(f"Not recorded who must agree for {tags}. {ask}", "  ", "    ")
    yield from heading("Who is told")
    yield from _people(notice.tell, home)
    if not notice.tell:
        yield "  nobody else is recorded" if notice.agree else "  not recorded"


def _people(people: Iterable[Notice], home: str) -> Iterator[str]:
    for person in people:
        elsewhere = "" if person.building == home else f" ({person.building})"
        phone = person.phone or "phone not recorded"
        yield from wrap(f"{person.role}{elsewhere}, {phone} ({person.when})", "  ", "    ")


def notice_json(notice: OutageNotice) -> dict[str, object]:
    """Return a notice as plain values; what is to be filled in by hand is null."""
    return {
        "heading": notice.heading,
        "opened": [
            {
                "tag": local(each.device.tag),
                "title": each.device.title or None,
                "where": each.where,
                "opens_by_tied_handle": each.tied,
            }
            for each in notice.switched_off
        ],
        "positions": notice.positions,
        "stand_otherwise": {line.tag: line.present for line in notice.standing},
        "affected_once_set_back": [load.line.tag for load in notice.set_back],
        "partner_of_tied_handle_unknown": [*notice.partner_unknown],
        "from": None,
        "until": None,
        "contact": None,
        "meanings": [
            {"what": m.words, "advice": m.advice, "loads": m.count} for m in notice.meanings
        ],
        "loads": [_load_json(load) for load in notice.loads()],
        "dependents": [
            {
                "tag": one.tag,
                "what": one.what,
                "room": one.room or None,
                "group": one.group or None,
                "consequence": one.consequence,
                "needs": [*one.needs],
            }
            for one in notice.dependents
        ],
        "rooms": [
            {
                "building": floor.building,
                "floor": floor.floor or None,
                "room": room.id or None,
                "name": room.name or None,
                "loads": [load.line.tag for load in room.loads()],
            }
            for floor in notice.floors
            for room in floor.rooms
        ],
        "circuits_with_unknown_loads": [
            {"tag": tag, "title": title or None} for tag, title in notice.unknown_loads
        ],
        "loads_with_unknown_source": [
            {"tag": u.tag, "what": u.what, "room": u.room or None, "group": u.group or None}
            for u in notice.unknown_source
        ],
        "must_agree": [_person_json(person) for person in notice.agree],
        "nobody_named_for": [*notice.nobody_named],
        "told": [_person_json(person) for person in notice.tell],
        "evidence": dict(notice.graded),
        "weakest_feed": notice.weakest
        and {
            "thing": notice.weakest.thing,
            "fed_from": notice.weakest.by,
            "grade": notice.weakest.grade.name,
        },
        "ways_without_grade": notice.ungraded,
        "stop": [problem.as_json() for problem in notice.stops],
    }


def _load_json(load: NoticeLoad) -> dict[str, object]:
    return {
        "tag": load.line.tag,
        "what": load.what,
        "room": load.line.room or None,
        "group": load.group or None,
        "outcome": load.line.outcome,
        "happens": load.happens,
        "may_be_energized_again": load.line.again,
        "evidence": load.line.grade.name,
    }


def _person_json(person: Notice) -> dict[str, object]:
    return {
        "role": person.role,
        "phone": person.phone or None,
        "when": person.when,
        "building": person.building,
    }
