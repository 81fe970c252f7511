"""Receptacles in a place that asks for ground-fault protection, with none recorded.

Passing: `14: {device: 20 A GFCI breaker, loads: {RC-1: {kind: receptacle, room: 7}}}`
Failing: `14: {device: 20 A, loads: {RC-1: {kind: receptacle, room: 7}}}`

Whoever holds a faulty tool there stands on the ground or in the wet. NEC 210.8(B), by the edition
in force and from memory, names the places; only rooms with a recorded `location` are looked at, and
what plugs in counts as well as outlets. The device of the circuit may protect, or an outlet
(`gfci: yes` at the load). Isolated power is left out: it is the other protection of a wet
procedure location (517.20). Dwellings have other rules (210.8(A)) and are left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import sqrt
from typing import Final

from recordgen.calc.ground_fault_places import ground_fault_circuit, ground_fault_clause
from recordgen.calc.load_rules import EDITIONS, Edition
from recordgen.calc.study.distribution import Element, LoadAt
from recordgen.calc.study.edition import edition_of
from recordgen.checks.facts import Facts
from recordgen.network.model import building_of, local
from recordgen.problems import Problem
from recordgen.records.supply import Circuit, Panel

_PROTECTS: Final = frozenset({"GFCI breaker", "dual-function breaker"})


@dataclass(frozen=True)
class _Bare:
    """A load without protection on record: its circuit, and the places its room counts as."""

    load: LoadAt
    circuit: Element
    places: tuple[str, ...]


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a note a panel; a warning where `gfci: no` is recorded."""
    found: dict[tuple[str, str], list[_Bare]] = {}
    for bare in _bare(facts):
        key = (building_of(bare.load.tag), bare.circuit.feed or "")
        found.setdefault(key, []).append(bare)
    for (building, panel), bares in found.items():
        yield _problem(facts, panel, bares, building)


def _bare(facts: Facts) -> Iterator[_Bare]:
    """Yield the loads that the rule is for, with no protection on record."""
    years = {building: _year(facts, building)[0] for building in facts.buildings}
    for tag, loads in facts.study.distribution.loads_at.items():
        for one in loads:
            building = building_of(one.tag)
            records = facts.buildings[building].records
            room = records.rooms.get(one.load.room or "")
            plugs_in = one.load.kind == "receptacle" or one.load.connection == "plug"
            if room is None or not room.location or not plugs_in or one.load.gfci:
                continue
            places = tuple(p for p in room.location if ground_fault_clause(p, years[building]))
            circuit = _circuit(facts, tag)
            if not places or circuit is None or records.building.occupancy == "dwelling":
                continue
            if _asked(facts, circuit, years[building]):
                yield _Bare(one, circuit, places)


def _year(facts: Facts, building: str) -> tuple[Edition, str]:
    """Return the edition to go by, and what has to be said of it."""
    edition = edition_of(facts.buildings[building].records.building, building)
    if isinstance(edition, int):
        return edition, ""
    return EDITIONS[-1], " (the edition in force is not recorded)"


def _circuit(facts: Facts, tag: str) -> Element | None:
    """Return the circuit that an element is or hangs on; None where it protects by itself."""
    for element in reversed(facts.study.distribution.path(tag)):
        if isinstance(element.record, Circuit):
            device = element.record.device
            return None if device is not None and device.kind in _PROTECTS else element
        if isinstance(element.record, Panel) or element.kind == "transformer":
            return None
    return None


def _asked(facts: Facts, circuit: Element, year: Edition) -> bool:
    """Say whether the rule is for such a circuit; what is not recorded does not let it off."""
    panel = facts.study.distribution.elements[circuit.feed or ""].record
    record, system = circuit.record, circuit.system
    if isinstance(panel, Panel) and panel.isolated_power:
        return False
    rating = record.device.rating_a if isinstance(record, Circuit) and record.device else None
    if system is None or rating is None or circuit.poles is None:
        return True
    to_ground = system.line_v if system.neutral_v is None else system.neutral_v
    high = (panel.high_leg if isinstance(panel, Panel) else None) or "B"
    if system.high_leg and high in (circuit.legs or high):
        to_ground *= sqrt(3)
    lines = system.line_v if circuit.poles > 1 else None
    return ground_fault_circuit(3 if circuit.poles == 3 else 1, to_ground, lines, rating, year)


def _problem(facts: Facts, panel: str, bares: list[_Bare], building: str) -> Problem:
    """Return the finding of a panel, at the first of its circuits, by the building of its loads."""
    year, guess = _year(facts, building)
    circuits = list(dict.fromkeys(bare.circuit.tag for bare in bares))
    loaded = facts.buildings[building_of(panel)]
    places = [
        loaded.where_key("panels", local(panel), "circuits", tag.rpartition("/")[2])
        for tag in circuits
    ]
    said = "; ".join(_said(tag, [b for b in bares if b.circuit.tag == tag]) for tag in circuits)
    return Problem(
        "warning" if any(bare.load.load.gfci is False for bare in bares) else "note",
        "gfci-place",
        f"{local(panel)}: no ground-fault protection is recorded for what plugs in at {said}; "
        f"NEC {year} 210.8(B){guess} asks for it",
        places[0],
        "record the kind of the device, or `gfci: yes` at loads that an outlet protects",
        related=tuple(places[1:]),
        subjects=(*circuits, *dict.fromkeys(bare.load.tag for bare in bares)),
    )


def _said(circuit: str, bares: list[_Bare]) -> str:
    rooms = dict.fromkeys(f"{bare.load.load.room} ({', '.join(bare.places)})" for bare in bares)
    return f"{circuit.rpartition('/')[2]} in {', '.join(rooms)}"
