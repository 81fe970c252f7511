"""From a folder of YAML to the records of every building, or to problems that say what to mend."""

from __future__ import annotations

import gc
import hashlib
import json
import os
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any, Final

from pydantic import TypeAdapter, ValidationError
from yaml.nodes import MappingNode, Node

from recordgen.problems import Location, Problem
from recordgen.records import yaml_nodes
from recordgen.records.building import Building, BuildingRecords
from recordgen.records.messages import closest, from_validation, models_in
from recordgen.records.positions import TAG_PATTERN
from recordgen.records.quantities import shown as quoted
from recordgen.records.supply import Load
from recordgen.records.yaml_text import UnreadableError

_SECTIONS: Final[Mapping[str, Any]] = {
    name: field.annotation.__args__[1]  # type: ignore[union-attr]  # every one is a dict[Tag, X]
    for name, field in BuildingRecords.model_fields.items()
    if name != "building"
}
_READERS: Final[Mapping[str, TypeAdapter[Any]]] = {
    name: TypeAdapter(kind) for name, kind in _SECTIONS.items()
}
_SHARED_NAMES: Final = frozenset({"sources", "panels", "equipment", "loads"})
"""Sections whose tags are referred to without their section, and so may not repeat each other."""


@dataclass(frozen=True)
class Entry:
    """One record as written: its key and value nodes, and the file they stand in."""

    key: Node
    value: Node
    path: str


@dataclass(frozen=True)
class RecordedLoad:
    """A load and where it is written.

    Attributes
    ----------
    load : Load
    circuit : str or None
        Full tag of the circuit it is written in; None for one in the `loads` section.
    path : tuple of str
        Section, tag and keys down to the load, for `LoadedBuilding.where`.
    """

    load: Load
    circuit: str | None
    path: tuple[str, ...]


@dataclass
class LoadedBuilding:
    """The records of one building and where each of them stands."""

    id: str
    records: BuildingRecords
    entries: dict[tuple[str, str], Entry] = field(default_factory=dict)

    @cached_property
    def digest(self) -> str:
        """A digest of what is recorded, the same however the files are laid out."""
        found = hashlib.sha256()
        for (section, tag), entry in sorted(self.entries.items(), key=lambda item: item[0]):
            plain = yaml_nodes.plain(entry.value, entry.path, [])
            text = json.dumps([section, tag, plain], ensure_ascii=False, sort_keys=True)
            found.update(text.encode() + b"\0")
        return found.hexdigest()

    @cached_property
    def loads(self) -> dict[str, RecordedLoad]:
        """Every load by its tag: those written in circuits, then those of the `loads` section."""
        found = {}
        for panel_tag, panel in self.records.panels.items():
            for position, circuit in panel.circuits.items():
                path = ("panels", panel_tag, "circuits", str(position), "loads")
                full = f"{self.id}:{panel_tag}/{position}"
                for tag, load in (circuit.loads or {}).items():
                    found[tag] = RecordedLoad(load, full, (*path, tag))
        for tag, load in self.records.loads.items():
            found[tag] = RecordedLoad(load, None, ("loads", tag))
        return found

    def where(self, section: str, tag: str, *steps: str | int) -> Location:
        """Return the place of a value; of the nearest one around it where it is not written."""
        entry = self.entries[section, tag]
        node = yaml_nodes.find(entry.value, steps) if steps else entry.key
        return yaml_nodes.location(node, entry.path)

    def where_key(self, section: str, tag: str, *steps: str | int) -> Location:
        """Return the place of a key inside a record."""
        entry = self.entries[section, tag]
        node = yaml_nodes.key_of(entry.value, steps) if steps else entry.key
        return yaml_nodes.location(node, entry.path)

    def where_building(self) -> Location:
        """Return the place of the `building` section."""
        return self.where("building", self.id)


@dataclass
class LoadedRecords:
    """The records of a portfolio; `buildings` is id → building in order of id."""

    folder: Path
    buildings: dict[str, LoadedBuilding]
    problems: list[Problem]


@contextmanager
def collector_paused() -> Iterator[None]:
    """Pause Python's search for garbage in cycles while records are read.

    It would walk all that was read so far, again and again: at 300 panels that costs more than the
    reading.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


@collector_paused()
def load_records(folder: Path, shown_as: str | None = None) -> LoadedRecords:
    """Read every building below `folder`; messages call it `shown_as`, or as it is given.

    Records that cannot be read are left out and stand in `problems` as errors; nothing is raised
    for what a record says.

    Raises
    ------
    FileNotFoundError, NotADirectoryError
        `folder` is no folder.
    """
    problems: list[Problem] = []
    shown = _namer(folder, shown_as)
    buildings: dict[str, LoadedBuilding] = {}
    lower: dict[str, Path] = {}
    for path in sorted(folder.iterdir()):
        name = path.name
        if name.startswith(".") or not path.is_dir():
            if path.suffix in (".yaml", ".yml") and not name.startswith("."):
                problems.append(_stray(shown(path)))
            continue
        if not re.fullmatch(TAG_PATTERN, name):
            message = "the folder's name cannot be a building's id"
            hint = "use letters, digits, dots, hyphens and underscores"
            problems.append(Problem("error", "bad-id", message, Location(shown(path), 1, 1), hint))
            continue
        if name.lower() in lower:
            other = lower[name.lower()]
            message = f'the building "{name}" differs from "{other.name}" in case only'
            place, related = Location(shown(path), 1, 1), (Location(shown(other), 1, 1),)
            hint = "rename one folder"
            problems.append(Problem("error", "duplicate-tag", message, place, hint, related))
            continue
        lower[name.lower()] = path
        buildings[name] = _load_building(path, name, problems, shown)
    if not buildings and not problems:
        message = "there is no building folder"
        hint = "make a folder for each building and put its YAML files there"
        problems.append(
            Problem("error", "no-building", message, Location(shown(folder), 1, 1), hint)
        )
    return LoadedRecords(folder, buildings, problems)


def _stray(shown: str) -> Problem:
    return Problem(
        "error",
        "stray-file",
        "the file lies in no building's folder",
        Location(shown, 1, 1),
        "move it into the folder of its building",
    )


def record_files(folder: Path) -> Iterator[Path]:
    """Yield the YAML files below a building's folder, in order of path, without hidden ones."""
    for root, folders, files in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(files):
            if name.endswith((".yaml", ".yml")) and not name.startswith("."):
                yield Path(root) / name


def _namer(folder: Path, shown_as: str | None) -> Callable[[Path], str]:
    """Return a function path → what messages call it, printable whatever the file is named."""
    base = folder.as_posix() if shown_as is None else shown_as

    def shown(path: Path) -> str:
        inside = path.relative_to(folder).as_posix()
        text = base if inside == "." else f"{base}/{inside}"
        text = text.encode("utf-8", "backslashreplace").decode()
        return "".join(c if c.isprintable() else "?" for c in text)

    return shown


def _load_building(
    folder: Path, name: str, problems: list[Problem], shown: Callable[[Path], str]
) -> LoadedBuilding:
    reader = _BuildingReader(name, problems)
    before = len(problems)
    for path in record_files(folder):
        reader.read_file(path, shown(path))
    if reader.building is None and len(problems) == before:
        message = f'the building "{name}" has no `building:` section'
        hint = "add one with at least a `name:`"
        problems.append(
            Problem("error", "missing-key", message, Location(shown(folder), 1, 1), hint)
        )
    return reader.result()


class _BuildingReader:
    """Gathers the sections of one building from its files."""

    def __init__(self, name: str, problems: list[Problem]) -> None:
        self.name = name
        self.problems = problems
        self.building: Building | None = None
        self.sections: dict[str, dict[str, Any]] = {name: {} for name in _SECTIONS}
        self.entries: dict[tuple[str, str], Entry] = {}
        self._taken: dict[tuple[str, str], tuple[str, Location]] = {}

    def read_file(self, path: Path, shown: str) -> None:
        try:
            root = yaml_nodes.read_node(path, shown)
        except UnreadableError as error:
            self.problems.append(error.problem)
            return
        for key_node, node in yaml_nodes.entries(root, shown, self.problems):
            key = key_node.value
            if key == "building":
                self._read_building(key_node, node, shown)
            elif key in _SECTIONS:
                self._read_section(key, node, shown)
            else:
                names = ["building", *_SECTIONS]
                hint = closest(key, names) or f"known sections: {', '.join(names)}"
                place = yaml_nodes.location(key_node, shown)
                message = f"{quoted(key)} is not a section of records"
                self.problems.append(Problem("error", "unknown-key", message, place, hint))

    def _read_building(self, key_node: Node, node: Node, shown: str) -> None:
        entry = Entry(key_node, node, shown)
        place = yaml_nodes.location(key_node, shown)
        if self._repeated("building", self.name, place, "the `building:` section"):
            return
        self.entries["building", self.name] = entry
        self.building = self._validated(TypeAdapter(Building), Building, entry)

    def _read_section(self, section: str, node: Node, shown: str) -> None:
        if not isinstance(node, MappingNode):
            if node.tag != "tag:yaml.org,2002:null":
                place = yaml_nodes.location(node, shown)
                message = f"expected tags and their records in `{section}`"
                hint = "write `TAG:` lines, indented below the section's name"
                self.problems.append(Problem("error", "wrong-type", message, place, hint))
            return
        for key_node, value in yaml_nodes.entries(node, shown, self.problems):
            tag, entry = key_node.value, Entry(key_node, value, shown)
            if self._takes(section, tag, entry.key, shown):
                self.entries[section, tag] = entry
                record = self._validated(_READERS[section], _SECTIONS[section], entry)
                if record is not None:
                    self.sections[section][tag] = record
                    self._take_loads_of(section, record, entry)

    def _takes(self, section: str, tag: str, key: Node, shown: str) -> bool:
        place = yaml_nodes.location(key, shown)
        if not re.fullmatch(TAG_PATTERN, tag):
            message = f"{quoted(tag)} cannot be a tag"
            hint = "use letters, digits, dots, hyphens and underscores, at most 40"
            self.problems.append(Problem("error", "tag", message, place, hint))
            return False
        space = "the network" if section in _SHARED_NAMES else section
        return not self._repeated(space, tag, place, f'the tag "{tag}"')

    def _repeated(self, space: str, tag: str, place: Location, what: str) -> bool:
        earlier = self._taken.setdefault((space, tag.lower()), (tag, place))
        if earlier[1] is place:
            return False
        message = f"{what} is defined twice"
        if earlier[0] != tag:
            message = f'{what} differs from "{earlier[0]}" in case only'
        self.problems.append(
            Problem(
                "error",
                "duplicate-tag",
                message,
                place,
                "keep one" if space == "building" else "keep one, or give one another tag",
                related=(earlier[1],),
            )
        )
        return True

    def _take_loads_of(self, section: str, record: Any, entry: Entry) -> None:
        if section != "panels":
            return
        for position, circuit in record.circuits.items():
            for tag in circuit.loads or {}:
                path = ("circuits", str(position), "loads", tag)
                self._takes("loads", tag, yaml_nodes.key_of(entry.value, path), entry.path)

    def _validated(self, reader: TypeAdapter[Any], kind: Any, entry: Entry) -> Any:
        before = len(self.problems)
        value = yaml_nodes.plain(entry.value, entry.path, self.problems)
        try:
            record = reader.validate_python(value if value is not None else {})
        except ValidationError as error:
            models = list(models_in(kind))
            found = from_validation(error, models, entry.key, entry.value, entry.path)
            # What a key written twice or merged in would have said is not missing.
            whole = len(self.problems) == before
            self.problems.extend(p for p in found if whole or p.code != "missing-key")
            return None
        # A mapping with a key twice has lost one of the two: half a record is no record.
        return record if len(self.problems) == before else None

    def result(self) -> LoadedBuilding:
        # Without a readable `building:` section the loader has reported an error, and the name
        # below is never published.
        building = self.building or Building(name=self.name)
        records = BuildingRecords.model_construct(None, building=building, **self.sections)
        return LoadedBuilding(self.name, records, self.entries)
