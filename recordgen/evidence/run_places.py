"""Where the readings along a run were taken, and how such places are told."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from pydantic import TypeAdapter, ValidationError

from recordgen.records.field import Landmark, Reading, Run
from recordgen.records.quantities import Metres, Quantity

_LENGTH: Final = TypeAdapter[Quantity](Metres)
_METRES_PER_FOOT: Final = 0.3048

DIGGING: Final = (
    "A tracer is no utility locator: it follows the conductor it is joined to and shows nothing of "
    "what else lies there. Before digging call the local notification centre and have all "
    "utilities located and marked; dig by hand near the marks."
)
"""Common practice."""


@dataclass(frozen=True)
class Stretch:
    """A part of a run; never a point.

    Attributes
    ----------
    low_m, high_m : float
        From and to, along the run from its start [m].
    """

    low_m: float
    high_m: float

    @property
    def middle_m(self) -> float:
        """Halfway [m]: to measure next, or to look for a landmark; no answer in itself."""
        return (self.low_m + self.high_m) / 2

    @property
    def width_m(self) -> float:
        """From one end to the other [m]."""
        return self.high_m - self.low_m

    def from_m(self, at_m: float) -> float:
        """Return how far a place lies outside [m]; zero inside."""
        return max(self.low_m - at_m, at_m - self.high_m, 0.0)


@dataclass(frozen=True)
class Place:
    """A reading and where it was taken.

    Attributes
    ----------
    reading : Reading
    at_m : float or None
        Along the run from its start [m]; None where that cannot be told from the record.
    landmark : Landmark or None
        The landmark it was taken at, where the record names one.
    """

    reading: Reading
    at_m: float | None
    landmark: Landmark | None


def places(readings: Iterable[Reading], run: Run | None) -> tuple[Place, ...]:
    """Return the readings with their places, in the order they are recorded.

    Parameters
    ----------
    readings : iterable of Reading
        `at` is a distance ("30 ft") or the words of a landmark of the run.
    run : Run or None
        None where it is not recorded: then only distances can be placed.

    Returns
    -------
    tuple of Place
        A landmark is found by its exact words, but for upper and lower case; where two landmarks
        have the same words, or that one has no distance, the place is not known.

    Examples
    --------
    >>> run = Run.model_validate({"of": "LP-1/3", "landmarks": [{"at": "9 m", "what": "box"}]})
    >>> read = [Reading(at="Box", values="70"), Reading(at="2 m", values="74")]
    >>> [float(place.at_m) for place in places(read, run)]
    [9.0, 2.0]
    """
    return tuple(_place(reading, run) for reading in readings)


def place_m(text: str, run: Run | None) -> float | None:
    """Return how far along the run a place is, told as `places` reads it [m]; None if unknown.

    Examples
    --------
    >>> run = Run.model_validate({"of": "LP-1/3", "landmarks": [{"at": "9 m", "what": "box"}]})
    >>> place_m("2 m", None), place_m("gate", run)
    (2.0, None)
    """
    at_m, _ = _found(text, run)
    return None if at_m is None else float(at_m)


def _place(reading: Reading, run: Run | None) -> Place:
    return Place(reading, *_found(reading.at, run))


def _found(text: str, run: Run | None) -> tuple[float | None, Landmark | None]:
    landmarks = run.landmarks if run else ()
    at_m = length_m(text)
    if at_m is not None:
        here = [mark for mark in landmarks if mark.at_m is not None and mark.at_m == at_m]
        return at_m, here[0] if len(here) == 1 else None
    named = [mark for mark in landmarks if _words(mark.what) == _words(text)]
    if len(named) != 1:
        return None, None
    return named[0].at_m, named[0]


def _words(text: str) -> str:
    return " ".join(text.casefold().split())


def length_m(text: str) -> float | None:
    """Return a written length [m]; None where the text is no length.

    Examples
    --------
    >>> length_m("9 m"), length_m("box above the door")
    (9.0, None)
    """
    try:
        return float(_LENGTH.validate_python(text))
    except ValidationError:
        return None


def in_feet(readings: Iterable[Reading], run: Run | None) -> bool:
    """Return whether the places are written in feet or inches, the first of them deciding."""
    written = [reading.at for reading in readings]
    if run:
        written += [str(mark.at_m) for mark in run.landmarks if mark.at_m is not None]
    lengths = [text for text in written if length_m(text) is not None]
    return bool(lengths) and lengths[0].lower().endswith(("ft", "in"))


def told(stretch: Stretch, *, feet: bool) -> str:
    """Return a stretch in words, rounded outwards so that nothing of it is lost.

    Parameters
    ----------
    stretch : Stretch
    feet : bool
        Whether the run was measured in feet: then both units are told.

    Returns
    -------
    str

    Examples
    --------
    >>> told(Stretch(9.144, 12.192), feet=True)
    '30 to 40 ft (9.1 to 12.2 m)'
    >>> told(Stretch(0.31, 2.0), feet=False)
    '0.3 to 2 m'
    """
    metres = f"{_down(stretch.low_m, 0.1):g} to {_up(stretch.high_m, 0.1):g} m"
    if not feet:
        return metres
    low_ft, high_ft = stretch.low_m / _METRES_PER_FOOT, stretch.high_m / _METRES_PER_FOOT
    return f"{_down(low_ft, 1):g} to {_up(high_ft, 1):g} ft ({metres})"


def told_at(at_m: float, *, feet: bool) -> str:
    """Return a place in words, to the nearest 0.1 m or 1 ft: where to put the receiver.

    Examples
    --------
    >>> told_at(10.6, feet=True)
    '35 ft (10.6 m)'
    """
    metres = f"{at_m:.1f} m"
    return f"{at_m / _METRES_PER_FOOT:.0f} ft ({metres})" if feet else metres


# A place that was written as 30 ft must not become 29 ft by the last bit of a number.
_HAIR: Final = 1e-6


def _down(value: float, step: float) -> float:
    return round(math.floor(value / step + _HAIR) * step, 1)


def _up(value: float, step: float) -> float:
    return round(math.ceil(value / step - _HAIR) * step, 1)


def nearest_landmark(stretch: Stretch, run: Run | None) -> Landmark | None:
    """Return the landmark inside a stretch or nearest to it; None where no distance is recorded.

    Parameters
    ----------
    stretch : Stretch
    run : Run or None

    Returns
    -------
    Landmark or None
        Of several inside, the one nearest to the middle.

    Examples
    --------
    >>> marks = [{"at": "9 m", "what": "box"}, {"at": "20 m", "what": "gate"}]
    >>> run = Run.model_validate({"of": "LP-1/3", "landmarks": marks})
    >>> nearest_landmark(Stretch(13.0, 16.0), run).what
    'box'
    """
    marks = [(mark.at_m, mark) for mark in (run.landmarks if run else ()) if mark.at_m is not None]
    if not marks:
        return None
    return min(marks, key=lambda pair: _farness(stretch, pair[0]))[1]


def _farness(stretch: Stretch, at_m: float) -> tuple[float, float]:
    return stretch.from_m(at_m), abs(at_m - stretch.middle_m)


def goes_underground(stretch: Stretch, run: Run | None) -> bool:
    """Return whether a landmark on a stretch, or next to it on either side, is underground.

    Examples
    --------
    >>> elbow = {"at": "9 m", "what": "elbow", "underground": "yes"}
    >>> gate = {"at": "20 m", "what": "gate"}
    >>> run = Run.model_validate({"of": "LP-1/3", "landmarks": [elbow, gate]})
    >>> goes_underground(Stretch(12.0, 14.0), run), goes_underground(Stretch(20.0, 24.0), run)
    (True, False)
    """
    marks = [(mark.at_m, mark) for mark in (run.landmarks if run else ()) if mark.at_m is not None]
    before = [at_m for at_m, _ in marks if at_m <= stretch.low_m]
    after = [at_m for at_m, _ in marks if at_m >= stretch.high_m]
    low_m, high_m = max(before, default=stretch.low_m), min(after, default=stretch.high_m)
    return any(
        low_m <= at_m <= high_m and (mark.underground or mark.depth_m is not None)
        for at_m, mark in marks
    )
