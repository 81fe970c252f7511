"""What the answers hold: values that pages, terminal text and JSON are made from."""

from __future__ import annotations

from dataclasses import dataclass

from recordgen.evidence.grades import Grade
from recordgen.network.outcomes import Outcome
from recordgen.network.ways import Positions
from recordgen.problems import Problem

GRAVE = ("life safety", "critical")
"""Criticalities that come first on every list."""


@dataclass(frozen=True)
class DeviceLine:
    """A device with its rating and the way to it; texts are empty where nothing is recorded."""

    tag: str
    kind: str
    title: str
    rating: str
    room: str
    directions: str
    key: str
    lockable: str
    present: str


@dataclass(frozen=True)
class LoadLine:
    """A load with what happens to it.

    `circuits` are full tags; `outcome` is one of `network.downstream.OUTCOMES`, and `detail` says
    how long, carried by what.
    """

    tag: str
    kind: str
    description: str
    room: str
    circuits: tuple[str, ...]
    outcome: Outcome
    detail: str
    again: bool
    grade: Grade
    criticality: str
    stop: bool


@dataclass(frozen=True)
class LiveLine:
    """What stays live in an enclosure, and the sources that it is live from (none: a neutral)."""

    enclosure: str
    what: str
    sources: tuple[str, ...]


@dataclass(frozen=True)
class LeaningLine:
    """A load or source that needs, besides its feeds, something that goes dark (full tags)."""

    tag: str
    what: str
    is_source: bool
    needs: tuple[str, ...]


@dataclass(frozen=True)
class Notice:
    """Whom to tell: a role, with its phone and when it has to know."""

    building: str
    role: str
    phone: str
    when: str


@dataclass(frozen=True)
class DownstreamAnswer:
    """What happens when devices are opened.

    `opened` as asked, a single conductor with its letter; `tied` opens too, its handles being tied;
    `loads` gravest first; `leaning` is what needs, besides its feeds, something that goes dark;
    `unknown_loads` are full tags of circuits that go dark while nobody
    knows what they feed; `nowhere` are full tags of loads of unknown source, which may be among
    them; `positions` says which switch positions were assumed.
    """

    opened: tuple[DeviceLine, ...]
    positions: Positions
    loads: tuple[LoadLine, ...]
    unknown_loads: tuple[str, ...]
    nowhere: tuple[str, ...]
    still_live: tuple[LiveLine, ...]
    notify: tuple[Notice, ...]
    stops: tuple[Problem, ...]
    tied: tuple[DeviceLine, ...] = ()
    leaning: tuple[LeaningLine, ...] = ()

    def count(self, outcome: Outcome) -> int:
        """Return how many loads have an outcome."""
        return sum(line.outcome == outcome for line in self.loads)

    def graded(self, name: str) -> int:
        """Return how many of the loads are known that well."""
        return sum(line.grade.name == name for line in self.loads)
