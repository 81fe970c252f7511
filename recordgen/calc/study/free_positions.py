"""Where in an assembly one more device could stand."""

from __future__ import annotations

from typing import Literal

from recordgen.records.positions import Position, Slot
from recordgen.records.supply import Circuit, Panel

State = Literal["spare", "space", "not recorded"]
"""What is recorded there: a device that feeds nothing, no device, or nothing at all."""


def free_positions(panel: Panel, poles: int) -> list[Position]:
    """Return where a device of some poles could stand, in order.

    A position is free where it is recorded as a spare or a space, or where nothing is recorded. A
    panelboard takes every second number on one side (common practice); one that numbers whole
    devices offers its spares and spaces.
    """
    taken: dict[int, tuple[Position, Circuit]] = {
        number: (position, circuit)
        for position, circuit in panel.circuits.items()
        for number in position.numbers
    }
    if panel.counts_by_device or panel.positions is None:
        return [
            position
            for position, circuit in panel.circuits.items()
            if _suits(panel, position, circuit, poles)
        ]
    step = 1 if panel.numbering == "down the columns" else 2
    found: dict[Position, None] = {}
    for first in range(1, panel.positions + 1):
        numbers = [first + step * n for n in range(poles)]
        if numbers[-1] > panel.positions:
            break
        if step == 1 and poles > 1 and _crosses(numbers, panel.positions):
            continue
        if all(_is_free(taken.get(number), numbers) for number in numbers):
            found[Position(tuple(Slot(number) for number in numbers))] = None
    return list(found)


def _suits(panel: Panel, position: Position, circuit: Circuit, poles: int) -> bool:
    """Say whether a recorded position is free for a device of some poles.

    A space for a whole device takes one of any number, as a space of a panelboard does.
    """
    if circuit.space and panel.counts_by_device:
        return True
    return (circuit.spare or circuit.space) and _poles_at(panel, position, circuit) == poles


def _crosses(numbers: list[int], positions: int) -> bool:
    half = (positions + 1) // 2
    return numbers[0] <= half < numbers[-1]


def _is_free(here: tuple[Position, Circuit] | None, numbers: list[int]) -> bool:
    """Say whether a position is free for a device at some numbers.

    A spare of several poles is free as a whole only: for another device it would have to come out.
    """
    if here is None:
        return True
    position, circuit = here
    if circuit.space:
        return True
    return circuit.spare and list(position.numbers) == numbers


def _poles_at(panel: Panel, position: Position, circuit: Circuit) -> int | None:
    if circuit.device is not None and circuit.device.poles is not None:
        return circuit.device.poles
    return None if panel.counts_by_device else len(position.slots)


def state_at(panel: Panel, position: Position) -> State:
    """Return what is recorded at a free position."""
    circuit = panel.circuits.get(position)
    if circuit is not None:
        return "spare" if circuit.spare else "space"
    at = {number for each in panel.circuits for number in each.numbers}
    return "space" if at.issuperset(position.numbers) else "not recorded"
