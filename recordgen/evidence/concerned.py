"""What a fault, a trace or an inspection is about: the full tags it names."""

from __future__ import annotations

from collections.abc import Mapping

from recordgen.network.cross_references import named_thing
from recordgen.records.field import Fault, Inspection, Trace
from recordgen.records.loader import LoadedBuilding
from recordgen.records.positions import Reference


def concerned(
    buildings: Mapping[str, LoadedBuilding],
    loaded: LoadedBuilding,
    record: Fault | Inspection | Trace,
) -> tuple[str, ...]:
    """Return the full tags of circuits, panels, equipment and loads that a record is about.

    Parameters
    ----------
    buildings : mapping of str to LoadedBuilding
        Building id → its records; a record may name a thing in another building.
    loaded : LoadedBuilding
        The building that the record stands in.
    record : Fault, Inspection or Trace

    Returns
    -------
    tuple of str
        `building:TAG` or `building:PANEL/POSITION`, in the order of the record, each once. A cable
        has no such tag and is left out.
    """
    found = [full_tag(buildings, loaded, reference) for reference in _references(record)]
    if not isinstance(record, Inspection) and record.load:
        found.append(f"{loaded.id}:{record.load}")
    return tuple(dict.fromkeys(tag for tag in found if tag is not None))


def full_tag(
    buildings: Mapping[str, LoadedBuilding], loaded: LoadedBuilding, reference: Reference
) -> str | None:
    """Return the full tag of what a reference names, None where nothing in the network bears it.

    A port of a panel that is no circuit (feed-through, line) leads to the panel.
    """
    there = buildings.get(reference.building or loaded.id)
    if there is None:
        return None
    return named_thing(there, reference) or named_thing(there, Reference(reference.tag))


def _references(record: Fault | Inspection | Trace) -> tuple[Reference, ...]:
    if isinstance(record, Inspection):
        return record.of
    named = [record.circuit]
    if isinstance(record, Trace):
        named.append(record.concluded_circuit)
    return tuple(reference for reference in named if reference is not None)
