"""The rows of a door card: what each position is for, in words that fit a door."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from recordgen.network.model import local
from recordgen.pages.directory import Cell, Entry, directory_rows, entry_of
from recordgen.pages.view import View
from recordgen.records.positions import Position
from recordgen.records.supply import Circuit, Panel

ROWS: Final = 21
"""Rows on a sheet: 42 positions, what a page of Letter holds in letters of 8 points and more."""
_ROOMS: Final = 4
"""Rooms named beside a circuit; more are counted."""


@dataclass(frozen=True)
class DoorLine:
    """One circuit: `joined` are its positions where it takes several, or shares one.

    `remarks` say how it stands and what goes with it; `stop` is set where the record may be wrong.
    """

    joined: str
    text: str
    rooms: str
    rating: str
    remarks: tuple[str, ...]
    stop: bool


@dataclass(frozen=True)
class DoorCell:
    """A position; `rows` is how many rows its device takes, 0 where it began further up.

    There are no `lines` where nothing is recorded. `device` is its number in words.
    """

    number: str
    phase: str
    kind: str
    rows: int
    lines: tuple[DoorLine, ...]
    continues: str


@dataclass(frozen=True)
class DoorRow:
    """A row; None where a side has no such position, and right of a list of devices."""

    left: DoorCell | None
    right: DoorCell | None


def door_rows(view: View, full: str, panel: Panel) -> tuple[DoorRow, ...]:
    """Return the rows of a panel's card (full tag) from the top down."""
    lines = {
        str(position): _line(view, full, panel, position, circuit)
        for position, circuit in panel.circuits.items()
    }
    rows = directory_rows(panel)
    if rows:
        return tuple(DoorRow(_cell(row.left, lines), _cell(row.right, lines)) for row in rows)
    return tuple(
        DoorRow(DoorCell(str(position), "", _kind(circuit), 1, (lines[str(position)],), ""), None)
        for position, circuit in panel.circuits.items()
    )


def sheets_of(rows: tuple[DoorRow, ...]) -> tuple[tuple[DoorRow, ...], ...]:
    """Return the rows sheet by sheet; a device that two sheets share stands on both."""
    return tuple(
        tuple(
            DoorRow(*(_within(rows[start : start + ROWS], n, side) for side in ("left", "right")))
            for n in range(len(rows[start : start + ROWS]))
        )
        for start in range(0, len(rows), ROWS)
    )


def _within(rows: tuple[DoorRow, ...], at: int, side: str) -> DoorCell | None:
    """Return a cell as its sheet shows it: no taller than what is left of the sheet."""
    cell: DoorCell | None = getattr(rows[at], side)
    if cell is None:
        return None
    if cell.rows > 1:
        return replace(cell, rows=min(cell.rows, len(rows) - at))
    if cell.rows == 0 and at == 0:
        rest = 1
        while rest < len(rows):
            below: DoorCell | None = getattr(rows[rest], side)
            if below is None or below.rows or below.continues != cell.continues:
                break
            rest += 1
        return replace(cell, rows=rest)
    return cell


def _cell(cell: Cell | None, lines: dict[str, DoorLine]) -> DoorCell | None:
    if cell is None:
        return None
    return DoorCell(
        str(cell.number),
        cell.phase,
        cell.kind,
        cell.rows,
        tuple(lines[entry.position] for entry in cell.entries),
        cell.continues,
    )


def _kind(circuit: Circuit) -> str:
    return "space" if circuit.space else "spare" if circuit.spare else "circuit"


def _line(view: View, full: str, panel: Panel, position: Position, circuit: Circuit) -> DoorLine:
    tag = f"{full}/{position}"
    entry = entry_of(panel, position, circuit)
    building = full.partition(":")[0]
    subjects = (tag, *(f"{building}:{load}" for load in circuit.loads or ()))
    rating = "" if circuit.space else entry.rating or "rating not recorded"
    return DoorLine(
        joined=entry.half or (str(position) if len(position.slots) > 1 else ""),
        text=_purpose(view, tag, building, circuit, entry),
        rooms=_rooms(circuit),
        rating=rating,
        remarks=tuple(_remarks(view, tag, circuit)),
        stop=bool(view.answers.stops(subjects)),
    )


def _purpose(view: View, tag: str, building: str, circuit: Circuit, entry: Entry) -> str:
    """Return what a circuit is for: as described, else as its loads say; empty where unknown."""
    if circuit.spare or circuit.space:
        what = "SPACE" if circuit.space else "SPARE"
        return f"{what}: {circuit.description}" if circuit.description else what
    if entry.description:
        return entry.description
    kinds = Counter(load.kind for load in (circuit.loads or {}).values())
    fed = [view.name(each, building) for each in view.network.fed_by.get(tag, ())]
    return ", ".join(
        [*(f"{kind}{f' × {count}' if count > 1 else ''}" for kind, count in kinds.items()), *fed]
    )


def _rooms(circuit: Circuit) -> str:
    """Return the rooms of a circuit's loads; more than a few are counted."""
    loads = (circuit.loads or {}).values()
    rooms = list(dict.fromkeys(load.room for load in loads if load.room))
    if not rooms:
        return "room not recorded" if loads else ""
    more = len(rooms) - _ROOMS
    named = ", ".join(rooms if more <= 0 else rooms[:_ROOMS])
    nowhere = sum(not load.room for load in loads)
    return "".join(
        (
            f"room{'s' if len(rooms) > 1 else ''} {named}",
            f" and {more} more" if more > 0 else "",
            f"; {nowhere} load{'s' if nowhere > 1 else ''}: room not recorded" if nowhere else "",
        )
    )


def _remarks(view: View, tag: str, circuit: Circuit) -> Iterator[str]:
    if circuit.space:
        return
    if circuit.normal == "open":
        yield "NORMALLY OPEN"
    if circuit.present:
        yield f"stands {circuit.present.position} now"
    if circuit.lock_in_force:
        yield "LOCKED now"
    if tag in view.network.unknown_load_circuits and not circuit.spare:
        yield "on, load unknown" if circuit.loads_unknown else "loads not recorded"
    if circuit.backfed_from:
        yield f"BACKFED from {circuit.backfed_from}"
    box = tag.rpartition("/")[0]
    building, own = box.partition(":")[0], f"{local(box)}/"
    for what, partners in (
        ("neutral shared with", view.answers.sharing_neutral(tag)),
        ("handle tied with", view.network.devices[tag].opens_with),
    ):
        names = {view.name(each, building).removeprefix(own) for each in partners if each != tag}
        if names:
            yield f"{what} {', '.join(sorted(names, key=_in_order))}"


def _in_order(position: str) -> tuple[int, str]:
    return (len(position), position)
