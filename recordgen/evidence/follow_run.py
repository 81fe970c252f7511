"""Whether the readings show that a run goes where its record has it.

The rules are this project's own, after common practice, and calibrated to no instrument;
`site_src/evidence.md` has their rates over made-up cases.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Literal

from recordgen.evidence.fault_stretch import Change, change, fall_segment
from recordgen.evidence.line_fit import SCALE_TOP, Point
from recordgen.evidence.run_places import DIGGING, Place, Stretch, in_feet, places, told, told_at
from recordgen.evidence.run_readings import LEAST_PLACES, usable_points
from recordgen.records.field import Landmark, Run, Trace

Verdict = Literal["followed", "followed in part", "signal lost", "not enough"]
PURPOSES: Final = ("follow a run", "follow an underground cable")

# Own rules. A stretch this long without a reading may have been guessed: a quarter of the run, but
# not over 25 m, and under 5 m of it nobody wonders. An end counts as read within 2 m.
_WIDEST_SHARE: Final = 0.25
_WIDEST_M: Final = 25.0
_NARROWEST_M: Final = 5.0
_AT_THE_END_M: Final = 2.0


@dataclass(frozen=True)
class Stop:
    """A reading or a landmark along the run.

    Attributes
    ----------
    at_m : float or None
        Along the run from its start [m]; None where it is not recorded.
    what : str
        The landmark, or the place in the words of the reading.
    depth_m : float or None
        Below ground, as recorded [m]; None where it is not, and above ground.
    underground : bool
        Whether the record has it below ground.
    values : tuple of float
        What the receiver showed, 0 to 99; empty where nothing was read.
    sensitivity : int or None
    pegged : bool
        A value stands at the top of the scale, or all of them at its foot.
    """

    at_m: float | None
    what: str
    depth_m: float | None
    underground: bool
    values: tuple[float, ...]
    sensitivity: int | None
    pegged: bool


@dataclass(frozen=True)
class FollowedRun:
    """How far a run was followed.

    Attributes
    ----------
    verdict : str
        "followed" from end to end; "followed in part", with gaps; "signal lost" on the way; "not
        enough" readings with a known place.
    stops : tuple of Stop
        Readings and landmarks in the order of the run; those without a distance come last.
    gaps : tuple of Stretch
        Where the run is not shown by a reading [m].
    reasons, measure_next, cautions : tuple of str
    """

    verdict: Verdict
    stops: tuple[Stop, ...]
    gaps: tuple[Stretch, ...]
    reasons: tuple[str, ...]
    measure_next: tuple[str, ...]
    cautions: tuple[str, ...]


def followed_run(trace: Trace, run: Run | None) -> FollowedRun:
    """Return how far the readings show the run.

    Parameters
    ----------
    trace : Trace
        Of one of `PURPOSES`.
    run : Run or None
        None where it is not recorded: then nothing can be shown of it.

    Returns
    -------
    FollowedRun

    Raises
    ------
    ValueError
        A trace of another purpose.

    Notes
    -----
    A reading shows that the signal is there, not that nothing else is. Where the signal falls off
    (by the rule for faults, from five places on; or down to 0) the run may turn, go deeper, be
    shielded or be open, or the receiver has left it: what lies beyond is not shown.

    Examples
    --------
    >>> marks = [{"at": "0 m", "what": "LP-1"}, {"at": "8 m", "what": "fan"}]
    >>> run = Run.model_validate({"of": "LP-1/3", "landmarks": marks})
    >>> read = [{"at": at, "values": "70", "sensitivity": "4"} for at in ("LP-1", "4 m")]
    >>> head = {"date": "2026-01-01", "by": "A.B.", "purpose": "follow a run"}
    >>> found = followed_run(Trace.model_validate({**head, "readings": read}), run)
    >>> found.verdict, found.gaps
    ('followed in part', (Stretch(low_m=4.0, high_m=8.0),))
    """
    if trace.purpose not in PURPOSES:
        raise ValueError(f'the purpose of the trace is "{trace.purpose}"')
    read = places(trace.readings, run)
    feet = in_feet(trace.readings, run)
    stops = _stops(read, run)
    landmarks = run.landmarks if run else ()
    ends = [float(mark.at_m) for mark in landmarks if mark.at_m is not None]
    points, reasons = usable_points(read)
    # What cannot be compared shows nothing: the signal may have fallen off just there.
    placed = sorted({point.at_m for point in points if point.value > 0})
    cautions = tuple(_cautions(trace, stops))
    reasons += _about_order(read, ends)
    lacking = _lacking(placed, ends, read)
    if lacking:
        why, then = lacking
        return FollowedRun("not enough", stops, (), (*reasons, why), (then,), cautions)
    gaps = _gaps(placed, min(ends), max(ends))
    found = _change(points)
    lost = _lost(points, found)
    then_read = [f"Read along {told(gap, feet=feet)}, where nothing shows it." for gap in gaps]
    if lost:
        beyond = Stretch(lost.low_m, max(*ends, lost.high_m))
        reasons.append(
            f"The signal falls off along {told(lost, feet=feet)}: the run may turn, go deeper, be "
            "shielded or be open there, or the receiver has left it. Beyond it is not shown."
        )
        before = tuple(gap for gap in gaps if gap.high_m <= lost.low_m)
        then_read.insert(0, f"Sweep across the run around {told_at(lost.middle_m, feet=feet)}.")
        verdict: Verdict = "signal lost"
        gaps = (*before, beyond)
    elif gaps or found.kind == "rises":
        verdict = "followed in part"
        if found.kind == "rises":
            reasons.append(
                "The signal rises at once on the way: something stronger may have been followed "
                "from there, or the transmitter stood at the far end."
            )
        reasons += [f"No reading shows it along {told(gap, feet=feet)}." for gap in gaps]
    else:
        verdict = "followed"
        reasons.append("Readings from end to end, without a long gap; the signal holds.")
    return FollowedRun(verdict, stops, gaps, tuple(reasons), tuple(then_read), cautions)


def _lacking(
    placed: Sequence[float], ends: Sequence[float], read: Sequence[Place]
) -> tuple[str, str] | None:
    if len(set(ends)) < 2:
        return (
            "The run has no two landmarks with a distance, so its ends are not recorded.",
            "Record the landmarks of the run with their distances from its start.",
        )
    if len(placed) < 2:
        return (
            f"A signal at {len(placed)} places that can be told; a way needs two at least.",
            "Read along the run, and give each place as a distance or in the words of a landmark.",
        )
    full = sum(max(place.reading.values, default=0) >= SCALE_TOP for place in read)
    if full * 2 > len(read):
        return (
            (
                f"{full} of {len(read)} readings are at the top of the scale: there the signal is "
                "everywhere, beside the run too."
            ),
            "Lower the sensitivity and read again.",
        )
    return None


def _gaps(placed: Sequence[float], start_m: float, end_m: float) -> tuple[Stretch, ...]:
    length_m = end_m - start_m
    widest_m = max(_NARROWEST_M, min(_WIDEST_M, _WIDEST_SHARE * length_m))
    between = [Stretch(a, b) for a, b in pairwise(placed) if b - a > widest_m]
    first = [Stretch(start_m, placed[0])] if placed[0] - start_m > _AT_THE_END_M else []
    last = [Stretch(placed[-1], end_m)] if end_m - placed[-1] > _AT_THE_END_M else []
    return (*first, *between, *last)


def _lost(points: Sequence[Point], found: Change) -> Stretch | None:
    """Return where the signal falls off; None where it does not, or too few places tell."""
    if found.kind == "falls":
        return fall_segment(found.gaps)
    places_m = sorted({point.at_m for point in points})
    at_foot = min((point.at_m for point in points if point.value <= 0), default=None)
    if at_foot is None:
        return None
    return Stretch(max((at for at in places_m if at < at_foot), default=at_foot), at_foot)


def _change(points: Sequence[Point]) -> Change:
    if len({point.at_m for point in points}) < LEAST_PLACES:
        return Change(None, ())
    return change(points)


def _about_order(read: Sequence[Place], ends: Sequence[float]) -> list[str]:
    reasons = []
    at = [place.at_m for place in read if place.at_m is not None]
    if at != sorted(at) and at != sorted(at, reverse=True):
        reasons.append("The readings were not taken in the order of the run.")
    if list(ends) != sorted(ends):
        reasons.append("The landmarks of the run are not recorded in order of their distance.")
    if ends and any(not min(ends) <= at_m <= max(ends) for at_m in at):
        reasons.append("A reading lies beyond the ends of the run as recorded.")
    return reasons


def _stops(read: Sequence[Place], run: Run | None) -> tuple[Stop, ...]:
    landmarks = run.landmarks if run else ()
    seen = [place.landmark for place in read]
    stops = [_stop(place.at_m, place.landmark, place) for place in read]
    stops += [
        _stop(mark.at_m, mark, None) for mark in landmarks if not any(mark is one for one in seen)
    ]
    return tuple(sorted(stops, key=lambda stop: (stop.at_m is None, stop.at_m or 0.0)))


def _stop(at_m: float | None, mark: Landmark | None, place: Place | None) -> Stop:
    values = tuple(float(value) for value in place.reading.values) if place else ()
    return Stop(
        at_m,
        mark.what if mark else place.reading.at if place else "",
        mark.depth_m if mark else None,
        bool(mark and (mark.underground or mark.depth_m is not None)),
        values,
        place.reading.sensitivity if place else None,
        bool(values) and (max(values) >= SCALE_TOP or max(values) <= 0),
    )


def _cautions(trace: Trace, stops: Sequence[Stop]) -> Iterator[str]:
    if trace.purpose == "follow an underground cable" or any(stop.underground for stop in stops):
        yield DIGGING
        yield (
            "Depths are as recorded on that day and at those places; soil is moved, and between "
            "them the run may lie higher."
        )
        missing = [stop.what for stop in stops if stop.underground and stop.depth_m is None]
        if missing:
            yield f"Depth not recorded at: {'; '.join(missing)}."
    if any(stop.pegged for stop in stops):
        yield "Readings at the top or the foot of the scale do not tell strong from stronger."
    yield "A signal can pass to a neighbouring cable or pipe; test before touch."
