"""What the answers hold: values that pages, terminal text and JSON are made from."""

from __future__ import annotations

from dataclasses import dataclass

from recordgen.evidence.grades import Grade
from recordgen.network.downstream import Outcome
from recordgen.network.isolation import Isolation, Verdict
from recordgen.network.ways import Positions
from recordgen.problems import Problem
from recordgen.records.parts import StoredEnergy

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


@dataclass(frozen=True)
class LockLine:
    """One device to open and lock, and the way from a source that this lock breaks."""

    device: DeviceLine
    source: str
    way: tuple[str, ...]


@dataclass(frozen=True)
class IsolationAnswer:
    """Where to open and lock to make a target dead.

    `dark` is what the locks darken; `ways` are ways from sources that no lock breaks; `notes` say
    what nobody has recorded as looked for; `stops` touch anything on the sheet, and `doubts` are
    those among them that touch the target, its circuits or its locks.
    """

    isolation: Isolation
    points: tuple[LockLine, ...]
    ways: tuple[tuple[str, ...], ...]
    sources: tuple[tuple[str, str], ...]
    dark: DownstreamAnswer
    still_live: tuple[LiveLine, ...]
    stored_energy: tuple[tuple[str, StoredEnergy], ...]
    passed: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    stops: tuple[Problem, ...]
    doubts: tuple[Problem, ...]

    @property
    def verdict(self) -> Verdict:
        """The verdict of the network, and `unproven` where a STOP stands on what it rests on."""
        if self.doubts and self.isolation.verdict == "yes":
            return "unproven"
        return self.isolation.verdict

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why the verdict is not `yes`, in words."""
        return (*self.isolation.reasons, *(problem.message for problem in self.doubts))
