"""Where along a run a conductor is open, shorted or to ground, as its readings have it.

The rules are this project's own, after common practice: the signal holds up to the fault and falls
away past it, and neither a hump nor a sag explains that as well. They are measured on made-up cases
and calibrated to no instrument: `site_src/evidence.md` has the rates, `python -m
tests.evidence.rates` counts them. Where the signal takes some metres to fade past the fault, the
interval holds it less often than it says.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Literal

from recordgen.evidence.fault_stretch import (
    CONFIDENCE_PERCENT,
    change,
    fall_segment,
    fault_interval,
)
from recordgen.evidence.line_fit import SCALE_TOP, Point
from recordgen.evidence.run_places import (
    DIGGING,
    Place,
    Stretch,
    goes_underground,
    in_feet,
    nearest_landmark,
    places,
    told,
    told_at,
)
from recordgen.records.field import Reading, Run, Trace

Verdict = Literal["located", "no clear drop", "not enough"]
PURPOSES: Final = ("locate an open", "locate a ground fault", "locate a short")

LEAST_PLACES: Final = 5
"""With fewer, a level, a slope and a drop fit anything: fixed rule, no answer."""
# An interval as wide as half of what was read sends nobody anywhere.
_WIDEST: Final = 0.5
_CLOSE_ENOUGH_M: Final = 1.0
_AS_WELL: Final = (
    "metal nearby, which makes humps and hollows, or a sag towards the end explain that as well"
)
_WORTH_ANOTHER_LOOK: Final = 12.0  # of 99: more than readings waver as a rule


@dataclass(frozen=True)
class RunReadings:
    """What the readings along a run say.

    Attributes
    ----------
    verdict : str
        "located"; "no clear drop" on the stretch that was read, which is no proof that it is
        sound; "not enough" readings to say either.
    segment : Stretch or None
        From the last place where the signal holds to the first where it has fallen [m].
    interval : Stretch or None
        Where the fault lies in nine cases of ten [m]: the signal fades over a little way, so it may
        begin a little before the segment. Both are None unless located.
    confidence_percent : int
        Of the interval.
    nearest_landmark : str or None
        In the words of the run; None where none is recorded.
    reasons : tuple of str
    measure_next : tuple of str
    """

    verdict: Verdict
    segment: Stretch | None
    interval: Stretch | None
    confidence_percent: int
    nearest_landmark: str | None
    reasons: tuple[str, ...]
    measure_next: tuple[str, ...]


def run_readings(trace: Trace, run: Run | None) -> RunReadings:
    """Return where the fault lies, as far as the readings bear it.

    Parameters
    ----------
    trace : Trace
        Of one of `PURPOSES`. The highest of several values at a place counts.
    run : Run or None
        The run with its landmarks; None where it is not recorded.

    Returns
    -------
    RunReadings

    Raises
    ------
    ValueError
        A trace of another purpose.

    Notes
    -----
    Left out, and said so: readings at places that cannot be told, without a sensitivity, with a
    unit, or off the scale of 0 to 99. See `change_point.weighed` for the rule. A drop has many
    causes, such as a deeper or shielded part of the run: what is located is where to look.

    Examples
    --------
    >>> marks = zip((0, 10, 20, 30, 40, 50), (78, 77, 75, 76, 22, 6))
    >>> read = [{"at": f"{at} ft", "values": str(v), "sensitivity": "4"} for at, v in marks]
    >>> head = {"date": "2026-01-01", "by": "A.B.", "purpose": "locate an open"}
    >>> found = run_readings(Trace.model_validate({**head, "readings": read}), None)
    >>> found.verdict, round(found.segment.low_m, 1), round(found.segment.high_m, 1)
    ('located', 9.1, 12.2)
    """
    if trace.purpose not in PURPOSES:
        raise ValueError(f'the purpose of the trace is "{trace.purpose}"')
    feet = in_feet(trace.readings, run)
    points, reasons = usable_points(places(trace.readings, run))
    reasons += _about_connection(trace)
    distinct = sorted({point.at_m for point in points})
    lacking = _lacking(points, distinct)
    if lacking:
        why, then = lacking
        return _unlocated("not enough", (*reasons, why), (then,))
    found = change(points)
    read = Stretch(distinct[0], distinct[-1])
    interval = fault_interval(found.gaps) if found.kind == "falls" else None
    if interval is None or not found.stands or interval.width_m > _WIDEST * read.width_m:
        falls = ""
        if interval:
            falls = "; the signal falls, but " + (
                "where cannot be told" if found.stands else _AS_WELL
            )
        reasons.append(
            f"No clear drop from {told(read, feet=feet)}, where readings were taken{falls}."
        )
        if found.kind == "rises":
            reasons.append(
                "The signal rises along the run. If the transmitter stood at the far end, record "
                "the distances from there."
            )
        reasons.append("That does not prove this stretch sound, and says nothing of the rest.")
        return _unlocated("no clear drop", reasons, tuple(_next_without(points, read, feet=feet)))
    segment = fall_segment(found.gaps)
    reasons += [
        f"The signal holds and then falls, along {told(segment, feet=feet)}.",
        (
            f"In {CONFIDENCE_PERCENT} of 100 such cases the fault lies along "
            f"{told(interval, feet=feet)}; by simulation, calibrated to no instrument."
        ),
    ]
    mark = nearest_landmark(interval, run)
    if mark and mark.at_m is not None:
        away_m = interval.from_m(mark.at_m)
        where = f"{told_at(away_m, feet=feet)} outside it" if away_m else "within it"
        reasons.append(f"The nearest landmark is {mark.what}, {where}.")
    if goes_underground(interval, run):
        reasons.append(DIGGING)
    return RunReadings(
        "located",
        segment,
        interval,
        CONFIDENCE_PERCENT,
        mark.what if mark else None,
        tuple(reasons),
        tuple(_next_located(points, segment, feet=feet)),
    )


def _unlocated(
    verdict: Verdict, reasons: Sequence[str], measure_next: tuple[str, ...]
) -> RunReadings:
    return RunReadings(verdict, None, None, CONFIDENCE_PERCENT, None, tuple(reasons), measure_next)


def usable_points(read: Sequence[Place]) -> tuple[list[Point], list[str]]:
    """Return the readings that can be held against each other, and why others cannot.

    Parameters
    ----------
    read : sequence of Place

    Returns
    -------
    list of Point
        In the order recorded; the highest value at each.
    list of str
        A sentence for each reading that is left out.

    Examples
    --------
    >>> usable_points(places([Reading(at="9 m", values="70")], None))
    ([], ['The reading at "9 m" is left out: its sensitivity is not recorded.'])
    """
    points: list[Point] = []
    reasons: list[str] = []
    for place in read:
        reading = place.reading
        why = _why_left_out(reading)
        if place.at_m is None:
            why = "where on the run it was taken is not recorded"
        if why or place.at_m is None or reading.sensitivity is None:
            reasons.append(f'The reading at "{reading.at}" is left out: {why}.')
        else:
            points.append(Point(place.at_m, float(max(reading.values)), reading.sensitivity))
    return points, reasons


def _why_left_out(reading: Reading) -> str | None:
    if reading.sensitivity is None:
        return "its sensitivity is not recorded"
    if not reading.values:
        return "it has no value"
    if any(str(value).strip("+-.,0123456789") for value in reading.values):
        return "it has a unit, so it is none of the receiver's scale"
    if not all(0 <= value <= SCALE_TOP for value in reading.values):
        return f"it is not on the scale of 0 to {SCALE_TOP}"
    return None


def _about_connection(trace: Trace) -> list[str]:
    if trace.connection == "dead conductor with remote return":
        return []
    return [
        (
            f"The transmitter's connection is {trace.connection or 'not recorded'}; along a run go "
            "and return in one cable cancel, so a dead conductor with a remote return is wanted."
        )
    ]


def _lacking(points: Sequence[Point], distinct: Sequence[float]) -> tuple[str, str] | None:
    if len(distinct) < LEAST_PLACES:
        return (
            f"Usable readings at {len(distinct)} places; fewer than {LEAST_PLACES} fit any drop.",
            (
                f"Read at {LEAST_PLACES} places or more, evenly along the run and past the place "
                "you suspect, and note the sensitivity at each."
            ),
        )
    full = sum(point.value >= SCALE_TOP for point in points)
    if full * 2 > len(points):
        return (
            (
                f"{full} of {len(points)} readings are at the top of the scale, where a fall is "
                "not seen."
            ),
            "Lower the sensitivity until the start of the run reads below the top, and read again.",
        )
    return None


def _turned_without_rereading(points: Sequence[Point]) -> bool:
    at: dict[float, set[int]] = {}
    for point in points:
        at.setdefault(point.at_m, set()).add(point.sensitivity)
    settings = [at[place] for place in sorted(at)]
    return any(not here & there for here, there in pairwise(settings))


def _next_located(points: Sequence[Point], segment: Stretch, *, feet: bool) -> Iterator[str]:
    if segment.width_m > _CLOSE_ENOUGH_M:
        yield (
            f"Read again at {told_at(segment.middle_m, feet=feet)}, halfway, with the "
            "sensitivity left as it was."
        )
    if len({point.at_m for point in points if point.at_m >= segment.high_m}) == 1:
        yield "Only one place past the fall was read: read at two more, further on."
    if len({point.at_m for point in points if point.at_m <= segment.low_m}) == 1:
        yield "Only one place before the fall was read: read at two more, nearer to the start."
    if _turned_without_rereading(points):
        yield _REREAD
    yield "Before anything is opened or dug up there, read from the other end too."


_REREAD: Final = (
    "Where the sensitivity was changed, read once more with both settings at the same place."
)


def _next_without(points: Sequence[Point], read: Stretch, *, feet: bool) -> Iterator[str]:
    if _turned_without_rereading(points):
        yield _REREAD
    ordered = sorted({point.at_m for point in points})
    largest = _largest_fall(points)
    if largest:
        yield (
            f"The largest fall between neighbours is along {told(largest, feet=feet)}, too little "
            "to call: read again at both places and past them, the sensitivity left as it was."
        )
    low_m, high_m = max(pairwise(ordered), key=lambda pair: pair[1] - pair[0])
    yield (
        f"Read also along {told(Stretch(low_m, high_m), feet=feet)}, the widest stretch without a "
        "reading."
    )
    yield (
        f"Read on beyond {told_at(read.high_m, feet=feet)}, and from the other end; what hangs at "
        "the ends, such as a device or a motor, is tested by itself."
    )


def _largest_fall(points: Sequence[Point]) -> Stretch | None:
    """Return where to look again: between neighbours of one sensitivity; None for small falls."""
    ordered = sorted(points, key=lambda point: (point.at_m, point.sensitivity))
    falls = [
        (before.value - after.value, before.at_m, after.at_m)
        for before, after in pairwise(ordered)
        if before.sensitivity == after.sensitivity and before.at_m < after.at_m
    ]
    fall, low_m, high_m = max(falls, default=(0.0, 0.0, 0.0))
    return Stretch(low_m, high_m) if fall >= _WORTH_ANOTHER_LOOK else None
