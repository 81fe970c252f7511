"""What is missing: which entries would answer the most open questions, and where to fetch them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Final, NamedTuple

from recordgen.calc.answer import Need
from recordgen.network.model import building_of
from recordgen.pages import paths
from recordgen.pages.calculated import counted, field_words, kind_of
from recordgen.pages.element_values import asked_of
from recordgen.pages.page import Heading, Page
from recordgen.pages.phase_values import unplaced
from recordgen.pages.view import View
from recordgen.pages.wording import SCREENING

TITLE = "What is missing"


class Gap(NamedTuple):
    """An entry that is missing: a full tag, its field, and what is wrong with it."""

    tag: str
    field: str
    why: str


@dataclass(frozen=True)
class FieldLine:
    """A field that records lack, and how many calculated values wait for it."""

    field: str
    why: str
    records: str
    values: int
    most: int
    most_tag: str


@dataclass(frozen=True)
class WalkLine:
    """What to fetch in a room: one field of some records (full tags)."""

    field: str
    why: str
    tags: tuple[str, ...]
    values: int


@dataclass(frozen=True)
class Room:
    """A room with what is to be fetched there; `id` is empty where no room is recorded."""

    id: str
    name: str
    floor: str
    values: int
    lines: tuple[WalkLine, ...]


def pages(view: View) -> Iterator[Page]:
    """Yield the list of what is missing of every building."""
    waiting = waiting_values(view)
    for building in view.portfolio.buildings:
        own = {gap: n for gap, n in waiting.items() if building_of(gap.tag) == building}
        name = view.building_name(building)
        title = f"{TITLE}: {name}"
        fields, rooms = field_lines(view, own), walk(view, building, own)
        yield view.page(
            paths.index(building, "missing"),
            title,
            "missing.html",
            building=building,
            nav=TITLE,
            depends_on=view.network_digest(building),
            contents=[
                Heading(1, "top", title),
                Heading(2, "fields", "What would answer most"),
                Heading(2, "walk", "Walk list"),
            ],
            context={
                "building": building,
                "fields": fields,
                "rooms": rooms,
                "entries": len(own),
                "screening": SCREENING,
            },
        )


def waiting_values(view: View) -> Mapping[Gap, int]:
    """Return missing entry → how many calculated values wait for it, in the whole portfolio."""
    study = view.portfolio.study
    found: Counter[Gap] = Counter()
    for tag, element in study.distribution.elements.items():
        for asked in asked_of(study, tag):
            found.update({_gap(need) for need in asked.needs if _is_entry(view, need)})
        if element.kind == "panel" and study.loading.parts(tag) is None:
            found.update({_gap(need) for need in unplaced(study, element)})
    return found


def _gap(need: Need) -> Gap:
    return Gap(need.tag, need.field, need.why)


_POINTERS: Final = frozenset({"loads", "motors elsewhere"})
"""What is also said of things above those that lack an entry: each of these counts by itself."""


def _is_entry(view: View, need: Need) -> bool:
    """Say whether somebody can enter what is missing: it is no pointer and no limit of ours."""
    if need.field in _POINTERS:
        return need.tag in view.network.unknown_load_circuits
    return not need.why.endswith("is not calculated")


def field_lines(view: View, gaps: Mapping[Gap, int]) -> tuple[FieldLine, ...]:
    """Return one line for each field, those first of which a single entry answers most."""
    groups: dict[tuple[str, str, str], list[Gap]] = {}
    for gap in gaps:
        groups.setdefault((gap.field, gap.why, kind_of(view, gap.tag)), []).append(gap)
    found = []
    for (field, why, kind), members in groups.items():
        most = min(members, key=lambda gap: (-gaps[gap], gap))
        found.append(
            FieldLine(
                field=field_words(field),
                why=why,
                records=counted(len(members), kind),
                values=sum(gaps[gap] for gap in members),
                most=gaps[most],
                most_tag=most.tag,
            )
        )
    found.sort(key=lambda line: (-line.most, -line.values, line.field, line.records, line.why))
    return tuple(found)


def walk(view: View, building: str, gaps: Mapping[Gap, int]) -> tuple[Room, ...]:
    """Return the rooms in which something is to be fetched, in order of the records."""
    by_room: dict[str, list[Gap]] = {}
    for gap in gaps:
        placed = view.answers.record_of(gap.tag)
        by_room.setdefault((placed.room if placed else None) or "", []).append(gap)
    rooms = view.loaded(building).records.rooms
    order = [*rooms, *sorted(set(by_room) - {*rooms, ""}), ""]
    found = []
    for room in order:
        if room not in by_room:
            continue
        record = rooms.get(room)
        lines = _lines(by_room[room], gaps)
        found.append(
            Room(
                id=room,
                name=(record.name if record else None) or "",
                floor=(record.floor if record else None) or "",
                values=sum(line.values for line in lines),
                lines=lines,
            )
        )
    return tuple(found)


def _lines(members: list[Gap], gaps: Mapping[Gap, int]) -> tuple[WalkLine, ...]:
    def what(gap: Gap) -> tuple[str, str]:
        return gap.field, gap.why

    lines = []
    for (field, why), group in groupby(sorted(members, key=lambda g: (*what(g), g.tag)), what):
        same = list(group)
        tags = tuple(gap.tag for gap in same)
        lines.append(WalkLine(field_words(field), why, tags, sum(gaps[gap] for gap in same)))
    return tuple(sorted(lines, key=lambda line: (-line.values / len(line.tags), line.field)))
