"""A breaker or fuse of a rating that is no standard one.

Passing: `3: {device: 60 A}`
Failing: `3: {device: 65 A}`

NEC 240.6(A) lists the standard ratings and allows others, so it is a note: more often than not the
marking was misread. Devices whose trip is recorded are left out, for it may be set to any figure.
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.calc.answer import NoValue
from recordgen.calc.load_rules import EDITIONS
from recordgen.calc.overcurrent_ratings import DeviceKind, is_standard
from recordgen.calc.study.edition import edition_of
from recordgen.calc.study.protecting_device import rated_kind
from recordgen.checks.facts import Facts
from recordgen.problems import Location, Problem
from recordgen.records.equipment import Disconnect
from recordgen.records.loader import LoadedBuilding
from recordgen.records.parts import Device


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a note for each rating that is standard in no edition that may hold."""
    for building, loaded in facts.buildings.items():
        edition = edition_of(loaded.records.building, building)
        editions = EDITIONS if isinstance(edition, NoValue) else (edition,)
        for name, kind, rating_a, place in _rated(loaded):
            if not any(is_standard(rating_a, kind, each) for each in editions):
                yield Problem(
                    "note",
                    "nonstandard-rating",
                    f"{name}: {rating_a:g} A is no standard rating of a {kind} (NEC 240.6(A))",
                    place,
                    "read the marking again",
                    subjects=(f"{building}:{name}",),
                )


def _rated(loaded: LoadedBuilding) -> Iterator[tuple[str, DeviceKind, float, Location]]:
    """Yield tag, kind, rating [A] and place of every device with a fixed rating."""
    for tag, panel in loaded.records.panels.items():
        if panel.main_device is not None:
            place = loaded.where("panels", tag, "main", "rating")
            yield from _fixed(f"{tag}/main", panel.main_device, place)
        for position, circuit in panel.circuits.items():
            if circuit.device is not None:
                steps = ("circuits", str(position), "device", "rating")
                place = loaded.where("panels", tag, *steps)
                yield from _fixed(f"{tag}/{position}", circuit.device, place)
    for tag, equipment in loaded.records.equipment.items():
        if isinstance(equipment, Disconnect) and equipment.fuse_a is not None:
            place = loaded.where("equipment", tag, "fuses")
            yield tag, "fuse", float(equipment.fuse_a), place


def _fixed(
    name: str, device: Device, place: Location
) -> Iterator[tuple[str, DeviceKind, float, Location]]:
    kind = rated_kind(device)
    if kind is not None and device.rating_a is not None and device.trip is None:
        yield name, kind, float(device.rating_a), place
