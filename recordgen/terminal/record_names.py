"""The names that answers may hold, checked by the rules that the records are loaded with."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, Final

from yaml.nodes import MappingNode

from recordgen.network.cross_references import record_problems
from recordgen.network.references import Resolver, circuit_at
from recordgen.portfolio import Portfolio
from recordgen.records.base import Date
from recordgen.records.building import Section
from recordgen.records.field import Fault, Trace
from recordgen.records.loader import Entry, LoadedBuilding
from recordgen.records.messages import closest
from recordgen.records.positions import Ref, Reference, Tag
from recordgen.records.quantities import shown
from recordgen.records.supply import Panel
from recordgen.records.yaml_text import compose
from recordgen.terminal.record_questions import Wrong, typed

_TAG: Final = typed(Tag)
_REFERENCE: Final = typed(Ref)
_DATE: Final = typed(Date)
_MODELS: Final[Mapping[str, Any]] = {"traces": Trace, "faults": Fault}
_IN_TYPING: Final = "-being-typed-"


class Names:
    """What is recorded in one building, and around it, to hold answers against.

    Parameters
    ----------
    portfolio : Portfolio
    building : str
        Its id.
    """

    def __init__(self, portfolio: Portfolio, building: str) -> None:
        self.portfolio = portfolio
        self.loaded: LoadedBuilding = portfolio.buildings[building]
        self._resolver = Resolver(portfolio.buildings, [])

    def date(self, text: str) -> dt.date:
        """Return a date up to today.

        Raises
        ------
        Wrong
        """
        found: dt.date = _DATE(text)
        if found > self.portfolio.as_of:
            raise Wrong(f"{found} is after today, {self.portfolio.as_of}", "correct the date")
        return found

    def room(self, text: str) -> str:
        """Return a room of the building."""
        found = _as_recorded(text, self.loaded.records.rooms)
        self._look_up("faults", room=found)
        return found

    def tag(self, text: str, field: str, section: str) -> str:
        """Return the tag of something recorded.

        Parameters
        ----------
        text : str
        field : str
            Key in a trace: `instrument`, `load`, `cable`, `run`, `concluded_cable` …
        section : str
            Where such tags are defined.

        Raises
        ------
        Wrong
        """
        found = _as_recorded(text, self.known(section))
        _TAG(found)
        self._look_up("traces", **{field: found})
        return found

    def trace(self, text: str) -> str:
        """Return the tag of a trace."""
        found = _as_recorded(text, self.loaded.records.traces)
        _TAG(found)
        if found not in self.loaded.records.traces:
            hint = closest(found, self.loaded.records.traces) or "record it first"
            raise Wrong(f'there is no trace "{found}" in {self.loaded.id}', hint)
        return found

    def reference(self, text: str) -> str:
        """Return what a circuit, panel or piece of equipment is referred to by.

        Raises
        ------
        Wrong
        """
        given: Reference = _REFERENCE(text)
        there = self.portfolio.buildings.get(given.building or self.loaded.id, self.loaded)
        records = there.records
        known = [*records.panels, *records.equipment, *records.sources, *there.loads]
        found = replace(given, tag=_as_recorded(given.tag, known))
        panel = records.panels.get(found.tag)
        if panel is not None and found.port not in (None, "main"):
            position = circuit_at(panel, str(found.port).upper())
            if position is None:
                raise Wrong(f"{found.tag} has no circuit {shown(found.port)}", circuits_hint(panel))
            if len(position.slots) == 1:
                found = replace(found, port=str(position))
        self._look_up("traces", circuit=found)
        return str(found)

    def new_tag(self, text: str, section: str) -> str:
        """Return a tag that no record of a section bears yet.

        Raises
        ------
        Wrong
        """
        found: str = _TAG(text)
        taken = _as_recorded(found, self.known(section))
        if taken in self.known(section):
            raise Wrong(f'"{taken}" is recorded already', f"free is {next_tag(self, section)}")
        return found

    def known(self, section: str) -> Mapping[str, Any]:
        """Return the records of a section by tag; of `loads` those in circuits too."""
        if section == "loads":
            return {tag: recorded.load for tag, recorded in self.loaded.loads.items()}
        found: Mapping[str, Any] = getattr(self.loaded.records, section)
        return found

    def circuits(self) -> Iterator[str]:
        """Yield every circuit as it may be typed, with its description."""
        for tag, panel in self.loaded.records.panels.items():
            for position, circuit in panel.circuits.items():
                if not (circuit.space or circuit.spare):
                    yield f"{tag}/{position}  {circuit.description or 'not recorded'}"

    def building_with(self, section: Section, tag: str, record: Trace | Fault) -> LoadedBuilding:
        """Return the building as if a record stood in it."""
        records = {**getattr(self.loaded.records, section), tag: record}
        here = compose(f"{section}: {{}}\n", self.loaded.id)
        assert isinstance(here, MappingNode)  # noqa: S101  # for the type checker
        (key, value), *_ = here.value
        node = Entry(key, value, self.loaded.id)
        return replace(
            self.loaded,
            records=self.loaded.records.model_copy(update={section: records}),
            entries={**self.loaded.entries, (section, tag): node},
        )

    def buildings_with(
        self, section: Section, tag: str, record: Trace | Fault
    ) -> Mapping[str, LoadedBuilding]:
        """Return all buildings as if a record stood in this one."""
        here = self.building_with(section, tag, record)
        return {**self.portfolio.buildings, self.loaded.id: here}

    def _look_up(self, section: Section, **fields: Any) -> None:
        record = _MODELS[section].model_construct(**fields)
        building = self.building_with(section, _IN_TYPING, record)
        for problem in record_problems(building, self._resolver, section, _IN_TYPING):
            raise Wrong(problem.message, problem.hint)


def _as_recorded(text: str, known: Mapping[str, Any] | list[str]) -> str:
    """Return a tag in the letters it is recorded with, whatever the case it was typed in."""
    if text in known:
        return text
    same = [tag for tag in known if tag.lower() == text.lower()]
    return same[0] if len(same) == 1 else text


def circuits_hint(panel: Panel) -> str:
    """Return the positions that a panel has, the first of them."""
    positions = [str(position) for position in panel.circuits]
    more = f" and {len(positions) - 24} more" if len(positions) > 24 else ""
    return f"recorded there: {', '.join(positions[:24]) or 'nothing'}{more}"


def next_tag(names: Names, section: str) -> str:
    """Return a free tag after the highest number in use: TR-20 after TR-19.

    The letters are those that most records of the section have.
    """
    numbered: dict[str, list[str]] = {}
    for tag in names.known(section):
        head = tag.rstrip("0123456789")
        if head and head != tag:
            numbered.setdefault(head, []).append(tag[len(head) :])
    if not numbered:
        return {"traces": "TR-01", "faults": "F-01"}[section]
    head = max(numbered, key=lambda one: len(numbered[one]))
    width = min(map(len, numbered[head]))
    number = max(map(int, numbered[head])) + 1
    return f"{head}{number:0{width}}"
