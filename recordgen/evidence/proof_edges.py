"""What a sheet leans on: every feed between loads and what is opened, with its grade."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from recordgen.evidence.edge_grades import EdgeGrades, Feed
from recordgen.evidence.grades import Grade

_NONE: Final[frozenset[Feed]] = frozenset()


@dataclass(frozen=True)
class LeanedOn:
    """A feed between what is opened and the loads, panels or equipment that hang on it.

    Attributes
    ----------
    thing, by : str
        Full tags: what is fed, and what feeds it by the records.
    grade : Grade
    count : int
        How many of those asked for hang on it.
    """

    thing: str
    by: str
    grade: Grade
    count: int


@dataclass(frozen=True)
class ProofEdges:
    """The feeds between, weakest first, then those that most hang on.

    `unfollowed` are full tags of those that by the recorded feeds do not hang on what is opened: a
    tie, a shared neutral or a second way is between, and its grade is not known here.
    """

    edges: tuple[LeanedOn, ...]
    unfollowed: tuple[str, ...]


def proof_edges(grades: EdgeGrades, tags: Iterable[str], opened: Collection[str]) -> ProofEdges:
    """Return the feeds that lie between things and the devices that are opened.

    Parameters
    ----------
    grades : EdgeGrades
    tags : iterable of str
        Full tags of loads, circuits, panels or equipment.
    opened : collection of str
        Full tags of devices.

    Returns
    -------
    ProofEdges
        A load's own place on its circuit is none of its feeds here; `Grades` has that.

    Notes
    -----
    Linear in the things asked for and in what is above them.
    """
    between = _Between(grades, frozenset(opened))
    counts: Counter[frozenset[Feed]] = Counter()
    unfollowed = []
    for tag in tags:
        reached, edges = between.of(tag)
        if reached:
            counts[edges] += 1
        else:
            unfollowed.append(tag)
    leaning: Counter[Feed] = Counter()
    for edges, count in counts.items():
        for edge in edges:
            leaning[edge] += count
    found = [
        LeanedOn(thing, by, grades.of_feed(thing, by), count)
        for (thing, by), count in leaning.items()
    ]
    return ProofEdges(tuple(sorted(found, key=_weakest_first)), tuple(unfollowed))


class _Between:
    """Remembers for every node whether something opened is above it, and by which feeds."""

    def __init__(self, grades: EdgeGrades, opened: frozenset[str]) -> None:
        self._loads = grades.loads
        self._feeders = grades.ways.feeders
        self._opened = opened
        self._known: dict[str, tuple[bool, frozenset[Feed]]] = {}

    def of(self, tag: str) -> tuple[bool, frozenset[Feed]]:
        if tag in self._known:
            return self._known[tag]
        self._known[tag] = (False, _NONE)  # what feeds itself is an error of its own
        self._known[tag] = found = self._found(tag)
        return found

    def _found(self, tag: str) -> tuple[bool, frozenset[Feed]]:
        if tag in self._opened or f"{tag}/main" in self._opened:
            return True, _NONE
        if f"{tag}/disconnect" in self._opened:
            return True, _NONE
        panel, slash, _ = tag.rpartition("/")
        if slash:
            return self.of(panel)
        load = self._loads.get(tag)
        feeds = self._feeders.get(tag, ())  # of a load, with its control power
        reached, edges = False, _NONE
        for by in feeds if load is None else dict.fromkeys((*load.circuits, *feeds)):
            above, more = self.of(by)
            if above:
                reached = True
                own = _NONE if load is not None else frozenset({(tag, by)})
                edges = edges | own | more
        return reached, edges


def feeds_below(grades: EdgeGrades) -> tuple[LeanedOn, ...]:
    """Return every recorded feed of a panel or equipment, and how many loads hang below it.

    Weakest first, then those that most hang on.

    Notes
    -----
    Loads are counted once for each feed, however many ways lead from it to them.
    """
    feeders = grades.ways.feeders
    counts: Counter[Feed] = Counter()
    above: dict[str, frozenset[Feed]] = {}
    for tag, load in grades.loads.items():
        on_way = (
            _all_above(feed, feeders, above)
            for feed in dict.fromkeys((*load.circuits, *feeders.get(tag, ())))
        )
        counts.update(_NONE.union(*on_way))
    found = [
        LeanedOn(thing, by, grades.of_feed(thing, by), counts[thing, by])
        for thing, several in feeders.items()
        if thing not in grades.loads
        for by in several
    ]
    return tuple(sorted(found, key=_weakest_first))


def _all_above(
    tag: str, feeders: Mapping[str, list[str]], known: dict[str, frozenset[Feed]]
) -> frozenset[Feed]:
    if tag not in known:
        known[tag] = _NONE  # what feeds itself is an error of its own
        panel, slash, _ = tag.rpartition("/")
        edges = _all_above(panel, feeders, known) if slash else _NONE
        for by in feeders.get(tag, ()):
            edges = edges | {(tag, by)} | _all_above(by, feeders, known)
        known[tag] = edges
    return known[tag]


def _weakest_first(one: LeanedOn) -> tuple[int, int, str, str]:
    return one.grade.rank, -one.count, one.thing, one.by
