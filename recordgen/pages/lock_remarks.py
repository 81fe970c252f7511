"""What the records say about locking one device: the hardware that fits it, and notes around it."""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.network.model import building_of, local
from recordgen.pages.describe import NOT_RECORDED
from recordgen.pages.known import Known
from recordgen.records.parts import Device
from recordgen.records.supply import Circuit, Panel


def lock_hardware(known: Known, tag: str) -> str:
    """Return what hardware locks a device (full tag), as recorded for it or for its whole panel."""
    record = _record(known, tag)
    device = _device(known, tag)
    own = device.lock_hardware if device is not None else None
    return own or getattr(record, "lock_hardware", None) or NOT_RECORDED


def notes_on(known: Known, tag: str) -> tuple[tuple[str, str], ...]:
    """Return (whose, note) for what is recorded of a thing itself, and of what a circuit is in."""
    circuit = circuit_of(known, tag)
    record = known.record_of(tag)
    own = circuit.notes if circuit is not None else None
    whole = record.notes if record is not None else None
    box = tag.partition("/")[0]
    return tuple((whose, text) for whose, text in ((tag, own), (box, whole)) if text)


def lock_notes(known: Known, tag: str) -> tuple[tuple[str, str], ...]:
    """Return (whose, note) for every note that somebody who locks a device (full tag) may need.

    Those of the device or circuit itself come first, then those of what it stands in.
    """
    return tuple(dict.fromkeys(_notes(known, tag)))


def _notes(known: Known, tag: str) -> Iterator[tuple[str, str]]:
    network = known.network
    circuit = circuit_of(known, tag)
    if circuit is not None and circuit.notes:
        yield tag, circuit.notes
    box = network.devices[tag].enclosure
    if network.devices[tag].kind == "local disconnect":
        box = tag.removesuffix("/disconnect")
        switch = known.load(box).local_disconnect
        if switch is not None and switch.notes:
            yield tag, switch.notes
    record = known.record_of(box)
    if record is not None and record.notes:
        yield box, record.notes


def circuit_of(known: Known, tag: str) -> Circuit | None:
    """Return the record of a circuit by its full tag; None where the tag is of something else."""
    panel = _record(known, tag)
    if not isinstance(panel, Panel):
        return None
    position = local(tag).partition("/")[2]
    return next((found for key, found in panel.circuits.items() if str(key) == position), None)


def _device(known: Known, tag: str) -> Device | None:
    record = _record(known, tag)
    if isinstance(record, Panel):
        circuit = circuit_of(known, tag)
        return circuit.device if circuit is not None else record.main_device
    return getattr(record, "device", None)


def _record(known: Known, tag: str) -> object:
    """Return the panel or equipment that a device belongs to; None for one at a load."""
    records = known.portfolio.buildings[building_of(tag)].records
    name = local(tag).partition("/")[0]
    return records.panels.get(name) or records.equipment.get(name)
