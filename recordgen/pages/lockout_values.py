"""What a lockout answer holds: values that the sheet, terminal text and JSON are made from."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from recordgen.network.isolation import Isolation, Verdict
from recordgen.pages.answer_values import DeviceLine, DownstreamAnswer, LiveLine
from recordgen.pages.temporary import TemporaryWay
from recordgen.problems import Problem
from recordgen.records.parts import StoredEnergy


@dataclass(frozen=True)
class LockLine:
    """One device to open and lock; texts are empty where there is nothing to say.

    `way` is a way from a source that this lock breaks; `because` tells of a shared neutral that
    makes the lock necessary; `in_force` of a lock that hangs there now. `hardware` is what locks it
    open, or that this is not recorded; `notes` are (full tag of what it is about, text).
    """

    device: DeviceLine
    source: str
    way: tuple[str, ...]
    because: str
    in_force: str
    hardware: str
    notes: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class ProofLine:
    """One source, one lock that it meets, and the way that it would take past that lock alone.

    `broken_by` is None where nothing breaks it.
    """

    source: str
    what: str
    way: tuple[str, ...]
    broken_by: str | None


@dataclass(frozen=True)
class SelfActing:
    """What may put voltage on a way to the target by itself, and how it is kept from it.

    `stopped` says whether a lock stands between it and the target.
    """

    tag: str
    what: str
    remedy: str
    stopped: bool


@dataclass(frozen=True)
class Elsewhere:
    """A device on a way that stands in another than its normal position.

    `in_force` is the lock that hangs on it now; empty where none does.
    """

    tag: str
    position: str
    in_force: str


@dataclass(frozen=True)
class TestPoint:
    """Where to test, and which conductors: `at` names the terminals, `between` the pairs."""

    __test__ = False  # pytest would take it for a test

    enclosure: str
    at: str
    between: str


@dataclass(frozen=True)
class WorkStep:
    """One step of the work: what to do, on what, and the paragraphs that ask for it."""

    text: str
    details: tuple[str, ...]
    cites: str


@dataclass(frozen=True)
class Fewest:
    """Fewer locks that would do, farther away; for planning only.

    `dark` holds every load that they darken, `dark_anyway` those of them that the near set darkens.
    """

    devices: tuple[DeviceLine, ...]
    dark: Collection[str]
    dark_anyway: frozenset[str]

    @property
    def count(self) -> int:
        """How many loads they darken more than the near set."""
        return len(self.dark) - len(self.dark_anyway)

    def darkens_more(self) -> Iterator[str]:
        """Yield the full tags of the loads that they darken more, gravest first."""
        return (tag for tag in self.dark if tag not in self.dark_anyway)


@dataclass(frozen=True)
class IsolationAnswer:
    """Where to open and lock to make a target dead.

    `dark` is what the locks darken; `ways` are ways from sources that no lock breaks; `fewest` is
    None where no set is smaller than the points; `passed` are devices nearer than the locks and why
    they are none; `elsewhere` are devices on a way that stand in another than their normal
    position; `temporary` are temporary feeds on a way; `acting` are sources that no lock stops,
    each with the devices next to it, whose downstream lists say what its shutdown darkens;
    `crossing` is what passes through an enclosure of the target without belonging to it:
    (enclosure, text); `in_force` are locks that hang on the target now: (tag, text); `remarks` are
    notes recorded of the target: (full tag of what they are about, text); `notes` say what nobody
    has recorded as looked for; `stops` touch anything on the sheet, and `doubts` are those among
    them that touch the target, its circuits or its locks.
    """

    isolation: Isolation
    points: tuple[LockLine, ...]
    ways: tuple[tuple[str, ...], ...]
    proof: tuple[ProofLine, ...]
    fewest: Fewest | None
    dark: DownstreamAnswer
    self_acting: tuple[SelfActing, ...]
    elsewhere: tuple[Elsewhere, ...]
    temporary: tuple[TemporaryWay, ...]
    acting: tuple[tuple[str, tuple[str, ...]], ...]
    crossing: tuple[tuple[str, str], ...]
    in_force: tuple[tuple[str, str], ...]
    test_points: tuple[TestPoint, ...]
    still_live: tuple[LiveLine, ...]
    stored_energy: tuple[tuple[str, StoredEnergy], ...]
    passed: tuple[tuple[str, str], ...]
    remarks: tuple[tuple[str, str], ...]
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
