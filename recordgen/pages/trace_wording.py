"""What a trace shows, in a headline and a mark."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final, Literal

from recordgen.evidence.follow_run import FollowedRun
from recordgen.evidence.run_places import told
from recordgen.evidence.trace_answer import (
    Bears,
    BreakerShown,
    CableShown,
    LoadsShown,
    StretchShown,
    TraceVerdict,
    VerdictWord,
)

Mark = Literal["yes", "no", "unproven"]
MARKS: Final[Mapping[VerdictWord, Mark]] = {
    "confirmed": "yes",
    "identified": "yes",
    "located": "yes",
    "followed": "yes",
    "shown": "yes",
    "contradicts the record": "no",
    "methods disagree": "no",
    "ambiguous": "unproven",
    "not enough": "unproven",
    "no clear drop": "unproven",
    "followed in part": "unproven",
    "signal lost": "unproven",
    "shown in part": "unproven",
}
"""Word of a verdict → the mark that goes with it."""

BEARS: Final[Mapping[Bears, str]] = {
    "bears": "bears what was concluded",
    "bears in part": "bears a part of what was concluded",
    "does not bear": "does not bear what was concluded",
    "words only": "gives no place; the conclusion is in words only",
    "nothing concluded": "nothing was concluded",
}

_FOLLOWED: Final = {
    "followed": "The signal holds from end to end of the run",
    "followed in part": "The run is shown in part",
    "signal lost": "The signal is lost on the way",
    "not enough": "Not enough was read to show the run",
}
_NO_STRETCH: Final = {
    "methods disagree": "The methods do not agree: no place is given",
    "no clear drop": "No clear drop where it was read: no place is given",
    "not enough": "Not enough was measured: no place is given",
}


def headline(found: TraceVerdict, name: Callable[[str], str], *, feet: bool) -> str:
    """Return what a trace shows as a sentence without a full stop.

    Parameters
    ----------
    found : TraceVerdict
    name : callable
        Full tag → what the page calls it.
    feet : bool
        Whether the run was measured in feet: then both units are told.

    Returns
    -------
    str
        Never a point along a run; a stretch with how sure it is.
    """
    match found.shows:
        case BreakerShown():
            return _breaker(found, found.shows, name)
        case CableShown():
            return _cable(found, found.shows)
        case StretchShown():
            return _stretch(found, found.shows, feet=feet)
        case FollowedRun():
            return _FOLLOWED[found.shows.verdict]
        case LoadsShown():
            return _loads(found, found.shows, name)


def _breaker(found: TraceVerdict, shows: BreakerShown, name: Callable[[str], str]) -> str:
    if shows.breaker is None:
        if found.word == "ambiguous":
            return "The readings leave several breakers: none can be called"
        return "Not enough was read to call a breaker"
    if found.by_opening:
        return f"{name(shows.breaker)} was opened and the load went dead"
    return f"The readings point at {name(shows.breaker)}{_lead(shows.margin)}"


def _cable(found: TraceVerdict, shows: CableShown) -> str:
    if shows.cable is not None:
        return f"{shows.cable} stands out from the others{_lead(shows.margin)}"
    if found.word == "ambiguous":
        return "The readings leave several cables: none can be called"
    return "Not enough was read to call a cable"


def _lead(margin: float | None) -> str:
    return "" if margin is None else f", leading by {margin:.0f} of 99"


def _stretch(found: TraceVerdict, shows: StretchShown, *, feet: bool) -> str:
    if shows.stretch is None:
        return _NO_STRETCH[found.word]
    sure = "within the bounds that are recorded"
    if shows.confidence_percent is not None:
        sure = f"in {shows.confidence_percent} of 100 such cases, by simulation"
    near = f"; nearest landmark: {shows.nearest_landmark}" if shows.nearest_landmark else ""
    return f"The fault lies along {told(shows.stretch, feet=feet)}, {sure}{near}"


def _loads(found: TraceVerdict, shows: LoadsShown, name: Callable[[str], str]) -> str:
    circuit = name(shows.circuit) if shows.circuit else "a circuit that is not recorded"
    if not shows.found:
        return f"No load is recorded as found on {circuit}"
    borne = sum(one.shown for one in shows.found)
    count = f"{borne} load{'' if borne == 1 else 's'}"
    said = f"{count} of {len(shows.found)} found on {circuit}"
    if found.by_opening:
        said = f"{circuit} was opened and {count} went dead"
    elif borne == len(shows.found):
        said = f"{count} stand{'s' if borne == 1 else ''} out on {circuit}"
    elif not borne:
        verb = "hangs" if len(shows.found) == 1 else "hang"
        said = f"That {_listed(shows, name)} {verb} on {circuit} is not shown"
    elsewhere = len(shows.elsewhere) if shows.circuit else 0
    return said + (f"; the record has {elsewhere} of them elsewhere" if elsewhere else "")


def _listed(shows: LoadsShown, name: Callable[[str], str]) -> str:
    names = [name(one.load) for one in shows.found]
    return f"{', '.join(names[:4])}{' and more' if len(names) > 4 else ''}"
