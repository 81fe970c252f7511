"""Distances to a fault by reflectometer and bridge, brought onto the run and held together.

Where the methods agree, the fault lies where all of them have it; where they do not, that is said,
and no place is given. Own rule, after common practice; `site_src/evidence.md` has its rates.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

from recordgen.calc import murray_loop, reflectometer
from recordgen.calc.interval import Interval, above_zero
from recordgen.evidence.run_places import Stretch, nearest_landmark, told
from recordgen.evidence.run_readings import RunReadings
from recordgen.records.field import Run

Method = Literal["tracer", "reflectometer", "bridge"]
Verdict = Literal["agree", "one method", "disagree", "nothing"]
Purpose = Literal["locate an open", "locate a ground fault", "locate a short"]


@dataclass(frozen=True)
class Distance:
    """Where one method has the fault.

    Attributes
    ----------
    method : str
        "tracer", "reflectometer" or "bridge".
    stretch : Stretch
        Along the run from its start [m].
    """

    method: Method
    stretch: Stretch


@dataclass(frozen=True)
class Mounting:
    """How an instrument was joined to the run.

    Attributes
    ----------
    at_m : float
        Where, along the run from its start [m].
    towards : str
        "end" or "start" of the run: which way it looks.
    conductor_per_route : Interval
        Length of conductor per length of route, slack and risers included: 1 where the run was
        measured along the conductor itself, else more. Judge it; it has an uncertainty.
    """

    at_m: float
    towards: Literal["end", "start"]
    conductor_per_route: Interval

    def stretch(self, distance_m: Interval) -> Stretch:
        """Return a distance along the conductor as a stretch of the run.

        Raises
        ------
        ValueError
            Conductor per route that is not above zero.
        """
        per_route = above_zero(self.conductor_per_route, "conductor per route")
        near_m, far_m = distance_m.low / per_route.high, distance_m.high / per_route.low
        if self.towards == "end":
            return Stretch(self.at_m + near_m, self.at_m + far_m)
        return Stretch(self.at_m - far_m, self.at_m - near_m)


def by_reflectometer(echo_ns: Interval, velocity_factor: Interval, mounting: Mounting) -> Distance:
    """Return where an echo comes from, along the run.

    Parameters
    ----------
    echo_ns, velocity_factor : Interval
        As `calc.reflectometer.distance_m` has them.
    mounting : Mounting

    Returns
    -------
    Distance

    Raises
    ------
    ValueError
        As `calc.reflectometer.distance_m`.

    Examples
    --------
    >>> alike = Mounting(0.0, "end", Interval(1, 1, 1))
    >>> found = by_reflectometer(Interval(495, 500, 505), Interval(0.65, 0.66, 0.67), alike)
    >>> round(found.stretch.low_m, 1), round(found.stretch.high_m, 1)
    (48.2, 50.7)
    """
    found_m = reflectometer.distance_m(echo_ns, velocity_factor)
    return Distance("reflectometer", mounting.stretch(found_m))


def by_bridge(
    sound_arm_ohm: Interval,
    faulty_arm_ohm: Interval,
    loop_m: Interval,
    faulty_length_m: Interval,
    mounting: Mounting,
) -> Distance:
    """Return where the balance of a bridge has a fault, along the run.

    Parameters
    ----------
    sound_arm_ohm, faulty_arm_ohm, loop_m, faulty_length_m : Interval
        As `calc.murray_loop.distance_m` has them [Ω, m].
    mounting : Mounting

    Returns
    -------
    Distance

    Raises
    ------
    ValueError
        As `calc.murray_loop.distance_m`.

    Examples
    --------
    >>> alike = Mounting(0.0, "end", Interval(1, 1, 1))
    >>> arms = Interval(2.97, 3, 3.03), Interval(0.99, 1, 1.01)
    >>> loop, length = Interval(1188, 1200, 1212), Interval(594, 600, 606)
    >>> found = by_bridge(*arms, loop, length, alike)
    >>> round(found.stretch.low_m), round(found.stretch.high_m)
    (293, 308)
    """
    found_m = murray_loop.distance_m(sound_arm_ohm, faulty_arm_ohm, loop_m, faulty_length_m)
    return Distance("bridge", mounting.stretch(found_m))


@dataclass(frozen=True)
class Combined:
    """What several methods say together.

    Attributes
    ----------
    verdict : str
        "agree"; "one method" alone has a place; "disagree"; "nothing" to combine.
    stretch : Stretch or None
        Where all methods have the fault [m]; None where they disagree or there is nothing.
    confidence_percent : int or None
        The tracer's, where it takes part; None where the stretch is as good as the bounds that were
        put in.
    nearest_landmark : str or None
    reasons, measure_next : tuple of str
    """

    verdict: Verdict
    stretch: Stretch | None
    confidence_percent: int | None
    nearest_landmark: str | None
    reasons: tuple[str, ...]
    measure_next: tuple[str, ...]


def combined(
    purpose: Purpose,
    tracer: RunReadings | None,
    distances: Iterable[Distance],
    run: Run | None,
    *,
    feet: bool,
) -> Combined:
    """Return where the fault lies by all methods together.

    Parameters
    ----------
    purpose : str
        What kind of fault: a bridge finds no open.
    tracer : RunReadings or None
        None where no tracer was used.
    distances : iterable of Distance
        Of the other instruments; from each end of the run counts as one each.
    run : Run or None
    feet : bool
        Whether the run was measured in feet: then sentences tell both units.

    Returns
    -------
    Combined

    Notes
    -----
    The stretch is what is common to all. The bounds of reflectometer and bridge are taken to hold
    (they are put together in the worst way); the tracer's interval holds the fault in 90 of 100
    cases, and so does what is common to it and to bounds that hold. A disagreement is an answer:
    something that was taken for certain is not.

    Examples
    --------
    >>> echoes = [Distance("reflectometer", Stretch(48, 51)), Distance("bridge", Stretch(50, 54))]
    >>> found = combined("locate a short", None, echoes, None, feet=False)
    >>> found.verdict, found.stretch
    ('agree', Stretch(low_m=50, high_m=51))
    """
    reasons: list[str] = []
    used: list[Distance] = []
    for one in distances:
        if one.method == "bridge" and purpose == "locate an open":
            reasons.append("The bridge is left out: it needs a conductor that is whole.")
        else:
            used.append(one)
    if tracer:
        if tracer.interval:
            used.insert(0, Distance("tracer", tracer.interval))
        else:
            reasons.append(f"The tracer has no place for it: {tracer.verdict}.")
    reasons += [f"By {one.method}: along {told(one.stretch, feet=feet)}." for one in used]
    reasons += [
        f"What the {one.method} has lies outside the run as recorded."
        for one in used
        if _is_outside(one.stretch, run)
    ]
    if not used:
        return Combined("nothing", None, None, None, tuple(reasons), (_MORE,))
    low_m = max(one.stretch.low_m for one in used)
    high_m = min(one.stretch.high_m for one in used)
    if low_m > high_m:
        reasons.append("The methods do not agree: no place is given.")
        return Combined("disagree", None, None, None, tuple(reasons), _DOUBTS)
    stretch = Stretch(low_m, high_m)
    mark = nearest_landmark(stretch, run)
    by_tracer = any(one.method == "tracer" for one in used)
    if len(used) > 1:
        reasons.append(f"All have it along {told(stretch, feet=feet)}.")
    return Combined(
        "agree" if len(used) > 1 else "one method",
        stretch,
        tracer.confidence_percent if tracer and by_tracer else None,
        mark.what if mark else None,
        tuple(reasons),
        () if len(used) > 1 else (_MORE,),
    )


_MORE: Final = "Measure once more with another method, or from the other end."
_DOUBTS: Final = (
    (
        "Check the velocity factor on a known length of the same cable, the lengths of the loop "
        "and the slack, and from which end each distance was counted."
    ),
    "Measure from the other end; two faults, or a splice, can each be seen by one method alone.",
)


def _is_outside(stretch: Stretch, run: Run | None) -> bool:
    ends = [float(mark.at_m) for mark in (run.landmarks if run else ()) if mark.at_m is not None]
    return len(ends) > 1 and (stretch.high_m < min(ends) or stretch.low_m > max(ends))
