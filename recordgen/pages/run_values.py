"""A run ready to show: its landmarks with the ways between them, its length, what it belongs to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from recordgen.evidence.run_places import DIGGING, in_feet
from recordgen.network.cross_references import is_cable
from recordgen.network.model import building_of, local
from recordgen.pages.run_ground import deep_words, depth_words, ground_of, is_underground
from recordgen.pages.view import View
from recordgen.records.field import Landmark, Run

_METRES_PER_FOOT: Final = 0.3048
DEPTHS: Final = (
    "Depths are as recorded on that day and at those places; soil is moved, and between them the "
    "run may lie higher."
)


@dataclass(frozen=True)
class RouteStep:
    """A landmark, and how far it is from the one before; texts are empty where not recorded.

    `is_first` where there is none before it.
    """

    number: int
    at: str
    further: str
    what: str
    room: str
    ground: str
    is_first: bool


@dataclass(frozen=True)
class RunFacts:
    """A run, ready to show.

    Attributes
    ----------
    tag : str
        Full tag.
    run : Run
    thing : str
        Full tag of the circuit, panel, equipment or load that it belongs to; empty for a cable.
    cable : str
        Full tag of the cable that it belongs to; else empty.
    title : str
    length : str
        In words; empty where no two distances are recorded.
    between : str
        From where to where, in the words of its landmarks; empty where there are none.
    steps : tuple of RouteStep
    rooms : tuple of str
        In the order of the run, each once.
    underground : str
        In words: where, or that nothing is recorded as underground.
    cautions : tuple of str
        Empty where nothing is recorded as underground.
    """

    tag: str
    run: Run
    thing: str
    cable: str
    title: str
    length: str
    between: str
    steps: tuple[RouteStep, ...]
    rooms: tuple[str, ...]
    underground: str
    cautions: tuple[str, ...]


def run_facts(view: View, tag: str) -> RunFacts:
    """Return a run as pages show it; `tag` is its full tag."""
    building = building_of(tag)
    run = view.loaded(building).records.runs[local(tag)]
    there = view.portfolio.buildings[run.of.building or building]
    of_cable = is_cable(there, run.of)
    marks = run.landmarks
    return RunFacts(
        tag=tag,
        run=run,
        thing="" if of_cable else view.canonical(str(run.of), building),
        cable=f"{there.id}:{run.of.tag}" if of_cable else "",
        title=f"Run {local(tag)}: {run.description}" if run.description else f"Run {local(tag)}",
        length=length_words(run),
        between=f"{marks[0].what} to {marks[-1].what}" if len(marks) > 1 else "",
        steps=_steps(run),
        rooms=tuple(dict.fromkeys(mark.room for mark in marks if mark.room)),
        underground=underground_words(run),
        cautions=_cautions(marks),
    )


def length_words(run: Run) -> str:
    """Return how long a run is; "at least" where the distance of an end is not recorded.

    Examples
    --------
    >>> marks = [{"at": "2 ft", "what": "LP-1"}, {"at": "40 ft", "what": "fan"}, {"what": "box"}]
    >>> length_words(Run.model_validate({"of": "LP-1/3", "landmarks": marks}))
    'at least 38 ft (11.6 m)'
    """
    placed = [float(mark.at_m) for mark in run.landmarks if mark.at_m is not None]
    if len(placed) < 2:
        return ""
    ends = run.landmarks[0].at_m is not None and run.landmarks[-1].at_m is not None
    told = _distance(max(placed) - min(placed), feet=in_feet((), run), both=True)
    return told if ends else f"at least {told}"


def _distance(length_m: float, *, feet: bool, both: bool = False) -> str:
    metres = f"{round(length_m, 1):g} m"
    if not feet:
        return metres
    told = f"{round(length_m / _METRES_PER_FOOT, 1):g} ft"
    return f"{told} ({metres})" if both else told


def _steps(run: Run) -> tuple[RouteStep, ...]:
    """Return the landmarks in the order they are recorded."""
    feet = in_feet((), run)
    found = []
    before: Landmark | None = None
    for number, mark in enumerate(run.landmarks, 1):
        further = ""
        if before is not None and before.at_m is not None and mark.at_m is not None:
            further = _distance(abs(mark.at_m - before.at_m), feet=feet)
        found.append(
            RouteStep(
                number,
                "" if mark.at_m is None else str(mark.at_m),
                further,
                mark.what,
                mark.room or "",
                ground_of(mark),
                is_first=before is None,
            )
        )
        before = mark
    return tuple(found)


def underground_words(run: Run) -> str:
    """Return whether a run lies underground, and how deep, in a few words."""
    deep = [mark for mark in run.landmarks if is_underground(mark)]
    if not deep:
        return "nothing recorded as underground"
    told = deep_words(depth_words(deep))
    return f"underground at {len(deep)} of {len(run.landmarks)} landmarks, {told}"


def _cautions(marks: Sequence[Landmark]) -> tuple[str, ...]:
    deep = [mark for mark in marks if is_underground(mark)]
    if not deep:
        return ()
    unknown = [mark.what for mark in deep if mark.depth_m is None]
    missing = (f"Depth not recorded at: {'; '.join(unknown)}.",) if unknown else ()
    return (DIGGING, DEPTHS, *missing)
