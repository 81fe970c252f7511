"""The directory of a panel: what stands at each position, on which phase, left and right."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from recordgen.network.assemblies import rating_text
from recordgen.records.phase import Numbering, position_phase
from recordgen.records.positions import Position
from recordgen.records.supply import Circuit, Panel


@dataclass(frozen=True)
class Entry:
    """One circuit in a cell: `half` is set where two devices share the space."""

    position: str
    half: str
    description: str
    rating: str
    state: str


@dataclass(frozen=True)
class Cell:
    """What stands at a position.

    `rows` is how many rows the device takes; 0 where it began further up, at `continues`.
    """

    number: int
    phase: str
    kind: Literal["circuit", "spare", "space", "unknown"]
    entries: tuple[Entry, ...]
    rows: int
    continues: str


@dataclass(frozen=True)
class Row:
    """A row of the directory; None where a side has no such position."""

    left: Cell | None
    right: Cell | None


def directory_rows(panel: Panel) -> tuple[Row, ...]:
    """Return the rows of a panelboard from the top down; none for one that numbers devices."""
    if panel.counts_by_device:
        return ()
    used = max((n for position in panel.circuits for n in position.numbers), default=0)
    count = max(panel.positions or 0, used)
    cells = _cells(panel, count)
    half = (count + 1) // 2
    if panel.numbering == "down the columns":
        pairs = [(n, n + half) for n in range(1, half + 1)]
    else:
        pairs = [(n, n + 1) for n in range(1, count + 1, 2)]
    return tuple(Row(cells.get(left), cells.get(right)) for left, right in pairs)


def phase_at(panel: Panel, number: int, count: int) -> str:
    """Return the phase of a position as the directory shows it; empty where it does not follow."""
    if panel.system is None:
        return ""
    numbering: Numbering = (
        "down the columns" if panel.numbering == "down the columns" else "odd left"
    )
    phase = position_phase(number, panel.system.phases, numbering, count)
    if phase and panel.system.high_leg and phase == (panel.high_leg or "B"):
        return f"{phase} high leg"
    return phase or ""


def phases_of(panel: Panel, position: Position) -> str:
    """Return the phases that a device's poles stand on, joined; empty where they do not follow."""
    if panel.counts_by_device:
        return ""
    count = panel.positions or max(n for p in panel.circuits for n in p.numbers)
    return ", ".join(filter(None, (phase_at(panel, n, count) for n in position.numbers)))


def _cells(panel: Panel, count: int) -> dict[int, Cell]:
    at: dict[int, list[tuple[Position, Circuit]]] = {}
    for position, circuit in panel.circuits.items():
        for number in dict.fromkeys(position.numbers):
            at.setdefault(number, []).append((position, circuit))
    cells = {}
    for number in range(1, count + 1):
        found = sorted(at.get(number, []), key=lambda item: item[0])
        phase = phase_at(panel, number, count)
        entries = tuple(entry_of(panel, position, circuit) for position, circuit in found)
        kind = _kind(found)
        whole = len(found) == 1 and not found[0][0].slots[0].half
        if not whole:
            cells[number] = Cell(number, phase, kind, entries, 1, "")
            continue
        numbers = found[0][0].numbers
        begins = numbers[0] == number and panel.numbering != "down the columns"
        alone = len(numbers) == 1 or panel.numbering == "down the columns"
        rows = 1 if alone else len(numbers) if begins else 0
        continues = str(found[0][0]) if numbers[0] != number else ""
        cells[number] = Cell(number, phase, kind, entries, rows, continues)
    return cells


def _kind(
    found: list[tuple[Position, Circuit]],
) -> Literal["circuit", "spare", "space", "unknown"]:
    if not found:
        return "unknown"
    if all(circuit.space for _, circuit in found):
        return "space"
    return "spare" if all(circuit.spare for _, circuit in found) else "circuit"


def entry_of(panel: Panel, position: Position, circuit: Circuit) -> Entry:
    """Return one circuit of a panel as a directory names it."""
    what = "Space" if circuit.space else "Spare" if circuit.spare else ""
    state = f"stands {circuit.present.position}" if circuit.present else ""
    if circuit.normal == "open":
        state = f"normally open{', ' if state else ''}{state}"
    if circuit.lock_in_force:
        state = f"{state}, locked".lstrip(", ")
    device = circuit.device
    poles = (device.poles if device else None) or (
        None if panel.counts_by_device else len(position.slots)
    )
    half = "".join(slot.half for slot in position.slots[:1])
    return Entry(
        position=str(position),
        half=str(position) if half else "",
        description=circuit.description or what,
        rating=rating_text(device, poles) if device else "",
        state=state,
    )
