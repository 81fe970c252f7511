"""What is written beside the symbols of a one-line diagram."""

from __future__ import annotations

import textwrap
from typing import Final

from recordgen.records.equipment import (
    Disconnect,
    Drive,
    Starter,
    TransferSwitch,
    Transformer,
    Ups,
)
from recordgen.records.supply import Panel, Source

_WIDEST: Final = 16
"""Characters of a line: what is wider takes a line more."""


def wrapped(text: str) -> tuple[str, ...]:
    """Return a text in lines that fit beside a symbol; nothing of it is left out.

    Examples
    --------
    >>> wrapped("Main switchboard in the first room")
    ('Main switchboard', 'in the first room')
    """
    return tuple(textwrap.wrap(text, _WIDEST, break_on_hyphens=False))


def _known(*values: object) -> str:
    return ", ".join(str(value) for value in values if value is not None)


def source_lines(source: Source) -> tuple[str, ...]:
    """Return kind, system and rating of a source."""
    fault = source.available_fault_a
    rating = (str(source.rating_va),) if source.rating_va is not None else ()
    return (
        source.kind,
        *wrapped(str(source.system or "system not recorded")),
        *rating,
        *(wrapped(f"{fault} available") if fault is not None else ()),
    )


def panel_lines(panel: Panel) -> tuple[str, ...]:
    """Return name, system and bus rating of a panel."""
    bus = f"{panel.bus_rating_a} bus" if panel.bus_rating_a is not None else None
    main = "main lugs" if panel.has_main_lugs else None
    return (
        *(wrapped(panel.name) if panel.name else ()),
        *wrapped(str(panel.system or "system not recorded")),
        *(line for line in (bus, main) if line is not None),
    )


def equipment_lines(record: object) -> tuple[str, ...]:
    """Return what a piece of equipment is and its rating."""
    match record:
        case Transformer():
            ratio = f"{record.primary or '?'} to {record.secondary or '?'}"
            if record.primary is None and record.secondary is None:
                ratio = "voltages not recorded"
            z = f"{record.impedance_percent} Z" if record.impedance_percent is not None else None
            rating = record.rating_va or "rating not recorded"
            return (str(rating), *((z,) if z else ()), *wrapped(ratio))
        case TransferSwitch():
            how = record.operation or "operation not recorded"
            return wrapped(_known(f"{how} transfer", record.rating_a or "rating not recorded"))
        case Ups():
            ride = (
                f"{record.ride_through_min} of battery"
                if record.ride_through_min is not None
                else None
            )
            return wrapped(_known("UPS", record.rating_va or "rating not recorded", ride))
        case Disconnect():
            fuses = f"{record.fuse_a} fuses" if record.fuse_a is not None else None
            state = "normally open" if record.normal == "open" else None
            rating = record.rating_a or "rating not recorded"
            return wrapped(_known("disconnect", rating, fuses, state))
        case Starter():
            return wrapped(_known("starter", record.rating_w))
        case Drive():
            return wrapped(_known("drive", record.rating_w))
    return ()
