"""Do the devices of an assembly fit their positions: overlap, pole count, span, beyond the end."""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.problems import Problem
from recordgen.records.loader import LoadedBuilding
from recordgen.records.positions import Position, Slot
from recordgen.records.supply import Circuit, Panel


def position_problems(loaded: LoadedBuilding) -> Iterator[Problem]:
    """Yield an error for each device that cannot sit where it is recorded.

    Multi-pole devices of a panelboard take every second number on one side and never cross sides
    (common practice; from memory of panelboard construction).
    """
    for tag, panel in loaded.records.panels.items():
        taken: dict[Slot, Position] = {}
        for position, circuit in panel.circuits.items():
            yield from _fit(loaded, tag, panel, position, circuit)
            yield from _overlaps(loaded, tag, taken, position)


def _fit(
    loaded: LoadedBuilding, tag: str, panel: Panel, position: Position, circuit: Circuit
) -> Iterator[Problem]:
    place = loaded.where_key("panels", tag, "circuits", str(position))
    last = max(position.numbers)
    if panel.positions is not None and last > panel.positions:
        yield Problem(
            "error",
            "beyond-panel",
            f"position {last} lies beyond {tag}, which has {panel.positions} positions",
            place,
            "correct the position, or the panel's `positions`",
            related=(loaded.where("panels", tag, "positions"),),
        )
    poles = circuit.device.poles if circuit.device else None
    by_device = panel.counts_by_device
    if poles is not None and not by_device and poles != len(position.slots):
        yield Problem(
            "error",
            "pole-count",
            f"a device of {poles} {'pole' if poles == 1 else 'poles'} is recorded at "
            f"{len(position.slots)} {'position' if len(position.slots) == 1 else 'positions'}"
            f" ({position})",
            place,
            "name the position of every pole, like 2-4-6",
            related=(loaded.where("panels", tag, "circuits", str(position), "device", "poles"),),
        )
    if by_device and len(position.slots) > 1:
        yield Problem(
            "error",
            "position-span",
            f"{tag} numbers whole devices, but {position} names {len(position.slots)} positions",
            place,
            "name one position, or say `numbering: odd left` for the panel",
        )
    elif panel.numbering in (None, "odd left") and any(
        later - earlier != 2
        for earlier, later in zip(position.numbers, position.numbers[1:], strict=False)
    ):
        yield Problem(
            "error",
            "position-span",
            f"{position} does not name neighbours on one side of the panel",
            place,
            "poles of one device take every second number, like 2-4-6",
        )


def _overlaps(
    loaded: LoadedBuilding, tag: str, taken: dict[Slot, Position], position: Position
) -> Iterator[Problem]:
    for slot in position.slots:
        clash = next(
            (
                other
                for seen, other in taken.items()
                if seen.number == slot.number
                and (seen.half == slot.half or not seen.half or not slot.half)
            ),
            None,
        )
        if clash is not None:
            yield Problem(
                "error",
                "position-taken",
                f"position {slot} of {tag} holds two devices, {clash} and {position}",
                loaded.where_key("panels", tag, "circuits", str(position)),
                "correct one; tandem devices are written 3A and 3B",
                related=(loaded.where_key("panels", tag, "circuits", str(clash)),),
            )
            break
    taken.update(dict.fromkeys(position.slots, position))
