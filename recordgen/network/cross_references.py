"""Do rooms, traces, faults, runs, inspections and labels point at things that are recorded."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from pydantic import BaseModel

from recordgen.network.references import Resolver, circuit_at
from recordgen.problems import Location, Problem
from recordgen.records.loader import LoadedBuilding
from recordgen.records.messages import closest
from recordgen.records.parts import Checked
from recordgen.records.positions import Reference

_TAGS = {
    "instrument": "instruments",
    "trace": "traces",
    "cable": "cables",
    "concluded_cable": "cables",
    "run": "runs",
    "load": "loads",
    "found": "loads",
}
"""Field of a field record → the section its tags are defined in."""


def named_thing(loaded: LoadedBuilding, reference: Reference) -> str | None:
    """Return the full tag of anything in the network that a reference names, or None.

    Unlike what feeds a thing, this may be a whole panel, a load, or a `…/main`.
    """
    records = loaded.records
    tag, port = reference.tag, reference.port
    full = f"{loaded.id}:{tag}"
    if tag in records.panels:
        if port is None:
            return full
        if port == "main":
            return f"{full}/main" if records.panels[tag].main_device else None
        position = circuit_at(records.panels[tag], port)
        return f"{full}/{position}" if position else None
    recorded = loaded.loads.get(tag)
    if recorded is not None:
        if port == "disconnect" and recorded.load.local_disconnect is not None:
            return f"{full}/disconnect"
        return full if port is None else None
    return full if port is None and (tag in records.equipment or tag in records.sources) else None


def is_cable(loaded: LoadedBuilding, reference: Reference) -> bool:
    """Return whether a reference names a cable: a run or an inspection may be of one."""
    return reference.port is None and reference.tag in loaded.records.cables


def dependencies(buildings: Mapping[str, LoadedBuilding]) -> dict[str, tuple[str, ...]]:
    """Return load or source → what it needs besides its feeds, as full tags.

    A battery charger that a generator needs to start is such a thing. What nothing bears the name
    of is left out here, and is an error of its own.
    """
    found = {}
    for loaded in buildings.values():
        needing = {tag: recorded.load.depends_on for tag, recorded in loaded.loads.items()}
        needing |= {tag: source.depends_on for tag, source in loaded.records.sources.items()}
        for tag, references in needing.items():
            named = [_named(buildings, loaded, reference) for reference in references]
            if needed := tuple(full for full in named if full is not None):
                found[f"{loaded.id}:{tag}"] = needed
    return found


def _named(
    buildings: Mapping[str, LoadedBuilding], loaded: LoadedBuilding, reference: Reference
) -> str | None:
    there = buildings.get(reference.building or loaded.id)
    return named_thing(there, reference) if there is not None else None


def cross_reference_problems(loaded: LoadedBuilding, buildings: Resolver) -> Iterator[Problem]:
    """Yield an error for each name in a building's records that nothing bears."""
    known = _Known(loaded, buildings)
    for section in ("traces", "faults", "cables", "runs", "inspections"):
        for tag, record in getattr(loaded.records, section).items():
            yield from _in_record(known, record, (section, tag))
    for section in ("sources", "panels", "equipment"):
        for tag, record in getattr(loaded.records, section).items():
            yield from known.room(record.room, (section, tag, "room"))
            yield from _checked(known, record, (section, tag))
    for recorded in loaded.loads.values():
        load, path = recorded.load, recorded.path
        yield from known.room(load.room, (*path, "room"))
        if load.local_disconnect is not None:
            yield from known.room(load.local_disconnect.room, (*path, "local_disconnect", "room"))
        yield from known.things(load.depends_on, (*path, "depends_on"))
    for tag, source in loaded.records.sources.items():
        yield from known.things(source.depends_on, ("sources", tag, "depends_on"))
    for tag, panel in loaded.records.panels.items():
        for position, circuit in panel.circuits.items():
            path = ("panels", tag, "circuits", str(position))
            here = (*path, "interlocked_with")
            yield from known.things(circuit.interlocked_with, here, panel=tag)
            yield from _checked(known, circuit, path)


def record_problems(
    loaded: LoadedBuilding, buildings: Resolver, section: str, tag: str
) -> Iterator[Problem]:
    """Yield an error for each name in one record of a building that nothing bears."""
    yield from _in_record(
        _Known(loaded, buildings), getattr(loaded.records, section)[tag], (section, tag)
    )


class _Known:
    """What is recorded in a building, and how to say that a name is not."""

    def __init__(self, loaded: LoadedBuilding, resolver: Resolver) -> None:
        self.loaded = loaded
        self.resolver = resolver
        self.sections: dict[str, Iterable[str]] = {
            name: getattr(loaded.records, name)
            for name in ("rooms", "traces", "instruments", "cables", "runs")
        }
        self.sections["loads"] = loaded.loads

    def place(self, path: tuple[str | int, ...]) -> Location:
        return self.loaded.where(str(path[0]), str(path[1]), *path[2:])

    def room(self, room: str | None, path: tuple[str | int, ...]) -> Iterator[Problem]:
        # A building whose rooms are not listed names them freely.
        if room is not None and self.sections["rooms"]:
            yield from self.tag(room, "rooms", path)

    def tag(self, tag: str, section: str, path: tuple[str | int, ...]) -> Iterator[Problem]:
        known = self.sections[section]
        if tag not in known:
            one = section.removesuffix("s")
            hint = closest(tag, known) or f"add it to `{section}`"
            message = f'there is no {one} "{tag}" in {self.loaded.id}'
            yield Problem("error", "no-such-thing", message, self.place(path), hint)

    def things(
        self,
        references: Iterable[Reference],
        path: tuple[str | int, ...],
        panel: str | None = None,
        *,
        cables: bool = False,
    ) -> Iterator[Problem]:
        """Yield an error for each that names nothing; only some records may be about a cable."""
        for index, reference in enumerate(references):
            target = self.resolver.buildings.get(reference.building or self.loaded.id)
            if target is not None and named_thing(target, reference):
                continue
            if cables and target is not None and is_cable(target, reference):
                continue
            if panel is not None and reference.port is None:
                neighbour = circuit_at(self.loaded.records.panels[panel], reference.tag)
                if neighbour is not None:
                    continue
            there = target or self.loaded
            records = there.records
            names = [*records.panels, *records.equipment, *records.sources, *there.loads]
            names += records.cables if cables else ()
            hint = closest(reference.tag, names) if reference.tag not in names else None
            message = f'"{reference}" is not recorded'
            hint = hint or "define it, or correct the name"
            place = self.place((*path, index))
            yield Problem("error", "no-such-thing", message, place, hint)


def _checked(known: _Known, record: BaseModel, path: tuple[str, ...]) -> Iterator[Problem]:
    """Yield a problem for each trace that somebody's look names and nobody has recorded."""
    for name in ("feed_checked", "neutral_checked", "pass_through_checked"):
        checked = getattr(record, name, None)
        if isinstance(checked, Checked) and checked.trace is not None:
            yield from known.tag(checked.trace, "traces", (*path, name, "trace"))


def _in_record(known: _Known, record: BaseModel, path: tuple[str | int, ...]) -> Iterator[Problem]:
    """Yield problems of a field record and of the records inside it."""
    for name, value in record:
        here = (*path, name)
        match value:
            case BaseModel():
                yield from _in_record(known, value, here)
            case Reference():
                yield from known.things((value,), here, cables=name == "of")
            case str() if name == "room":
                yield from known.room(value, here)
            case str() if name in _TAGS and name != "found":  # an inspection's is text
                yield from known.tag(value, _TAGS[name], here)
            case tuple():
                for index, item in enumerate(value):
                    if isinstance(item, BaseModel):
                        yield from _in_record(known, item, (*here, index))
                    elif isinstance(item, Reference):
                        yield from known.things((item,), (*here, index), cables=name == "of")
                    elif name in _TAGS:
                        yield from known.tag(item, _TAGS[name], (*here, index))
