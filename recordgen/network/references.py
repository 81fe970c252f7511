"""What a reference points at: the connection point it names, or a problem with a hint."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from recordgen.problems import Location, Problem
from recordgen.records.equipment import BusTie
from recordgen.records.loader import LoadedBuilding
from recordgen.records.messages import closest
from recordgen.records.positions import Position, Reference, read_position
from recordgen.records.supply import Panel

BUS_PORTS = ("feed-through", "subfeed")


@dataclass(frozen=True)
class Target:
    """A resolved reference: the connection point, and the full tag of what was named."""

    point: str
    tag: str


def circuit_at(panel: Panel, port: str) -> Position | None:
    """Return the position of the circuit that a port names: all of its numbers, or any one."""
    try:
        wanted = read_position(port)
    except ValueError:
        return None
    if wanted in panel.circuits:
        return wanted
    if len(wanted.slots) > 1:
        return None
    return next((p for p in panel.circuits if wanted.slots[0] in p.slots), None)


def _closest_tag(reference: Reference, known: Iterable[str]) -> str | None:
    """Return `did you mean "…"?` with the port that was asked for."""
    found = closest(reference.tag, known)
    if found is None or reference.port is None:
        return found
    return found.replace('"?', f'/{reference.port}"?')


class Resolver:
    """Resolves references within a portfolio."""

    def __init__(self, buildings: Mapping[str, LoadedBuilding], problems: list[Problem]) -> None:
        self.buildings = buildings
        self.problems = problems

    def resolve(
        self, reference: Reference, building: str, place: Location, panel: str | None = None
    ) -> Target | None:
        """Return what a reference points at; None, and a problem, where there is no such thing.

        Parameters
        ----------
        reference : Reference
        building : str
            The building whose record holds the reference.
        place : Location
            Where the reference is written.
        panel : str or None
            The panel whose circuit holds it: there a bare position names a neighbour.
        """
        loaded = self.buildings.get(reference.building or building)
        if loaded is None:
            hint = closest(str(reference.building), self.buildings)
            hint = hint or f"there are: {', '.join(self.buildings)}"
            self._report(f'there is no building "{reference.building}"', place, hint)
            return None
        records = loaded.records
        if reference.tag in records.panels:
            return self._in_panel(loaded, reference, place)
        if panel is not None and reference.port is None and reference.building is None:
            position = circuit_at(records.panels[panel], reference.tag)
            if position is not None:
                tag = f"{loaded.id}:{panel}/{position}"
                return Target(tag, tag)
        if reference.tag in records.sources or reference.tag in records.equipment:
            return self._plain(loaded, reference, place)
        known = [*records.panels, *records.equipment, *records.sources]
        hint = _closest_tag(reference, known) or "define it, or correct the name"
        if reference.tag in loaded.loads:
            hint = "a load feeds nothing; name the circuit or equipment that does"
        self._report(f'"{reference}" is not recorded in {loaded.id}', place, hint)
        return None

    def resolve_neighbour(
        self, reference: Reference, loaded: LoadedBuilding, panel: str, place: Location
    ) -> str | None:
        """Return the full tag of a circuit of the same panel, spares too; else report it."""
        records = loaded.records.panels[panel]
        in_panel = reference.tag == panel and reference.building in (None, loaded.id)
        if reference.port is not None and not in_panel:
            hint = "a tie joins handles of one panel; name the position alone"
            self._report(f'"{reference}" is not in {panel}', place, hint)
            return None
        port = reference.port or reference.tag
        position = circuit_at(records, port)
        if position is None or records.circuits[position].space:
            known = [str(p) for p, c in records.circuits.items() if not c.space]
            hint = closest(port, known) or f"recorded there: {', '.join(known[:12]) or 'nothing'}"
            self._report(f'{panel} has no device at "{port}"', place, hint)
            return None
        return f"{loaded.id}:{panel}/{position}"

    def resolve_bus(self, reference: Reference, building: str, place: Location) -> Target | None:
        """Return what one side of a tie joins: a panel's bus, where a panel is named alone."""
        loaded = self.buildings.get(reference.building or building)
        if loaded is not None and reference.tag in loaded.records.panels and not reference.port:
            tag = f"{loaded.id}:{reference.tag}"
            return Target(f"{tag}/bus", tag)
        return self.resolve(reference, building, place)

    def _in_panel(
        self, loaded: LoadedBuilding, reference: Reference, place: Location
    ) -> Target | None:
        panel = loaded.records.panels[reference.tag]
        base = f"{loaded.id}:{reference.tag}"
        port = reference.port
        if port is None:
            self._report(
                f'"{reference}" names a panel, not what leaves it',
                place,
                f"name the circuit, like {reference.tag}/1, or {reference.tag}/feed-through",
            )
            return None
        if port in BUS_PORTS:
            return Target(f"{base}/bus", base)
        if port == "line":
            return Target(f"{base}/line", base)
        position = circuit_at(panel, port)
        if position is None:
            known = [str(p) for p in panel.circuits]
            hint = closest(port, known) or f"recorded there: {', '.join(known[:12]) or 'nothing'}"
            self._report(f'{reference.tag} has no circuit "{port}"', place, hint)
            return None
        circuit = panel.circuits[position]
        if circuit.space or circuit.spare:
            what = "space" if circuit.space else "spare"
            self._report(
                f'"{reference}" is recorded as a {what} and feeds nothing',
                place,
                "take the mark off the circuit, or name another one",
                related=(loaded.where_key("panels", reference.tag, "circuits", str(position)),),
            )
            return None
        tag = f"{base}/{position}"
        return Target(tag, tag)

    def _plain(
        self, loaded: LoadedBuilding, reference: Reference, place: Location
    ) -> Target | None:
        tag = f"{loaded.id}:{reference.tag}"
        if reference.port is not None:
            hint = f"write {reference.tag} alone"
            self._report(f'"{reference.tag}" has no part "{reference.port}"', place, hint)
            return None
        if isinstance(loaded.records.equipment.get(reference.tag), BusTie):
            hint = "name the bus on either side of the tie"
            self._report(f'the bus tie "{reference.tag}" feeds nothing by itself', place, hint)
            return None
        return Target(tag, tag)

    def _report(
        self, message: str, place: Location, hint: str | None, related: tuple[Location, ...] = ()
    ) -> None:
        self.problems.append(
            Problem("error", "no-such-thing", message, place, hint, related=related)
        )
