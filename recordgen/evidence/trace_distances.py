"""The distances that a trace records from a reflectometer and a bridge, brought onto its run.

Whatever lacks its bounds gives no distance: a figure that may be off by anything is no place.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from recordgen.calc.interval import Interval
from recordgen.evidence.distance_readings import Distance, Mounting, by_bridge, by_reflectometer
from recordgen.evidence.run_places import place_m
from recordgen.records.bounds import Bounds
from recordgen.records.field import Bridge, Echo, Joined, Run, Trace


@dataclass(frozen=True)
class TraceDistances:
    """What the other instruments of a trace say.

    Attributes
    ----------
    distances : tuple of Distance
    reasons : tuple of str
        Sentences: why a method that is recorded gives none.
    measure_next : tuple of str
        What to record or measure, so that it would.
    """

    distances: tuple[Distance, ...]
    reasons: tuple[str, ...]
    measure_next: tuple[str, ...]


def trace_distances(trace: Trace, run: Run | None) -> TraceDistances:
    """Return where reflectometer and bridge of a trace have the fault.

    Parameters
    ----------
    trace : Trace
    run : Run or None
        The run with its landmarks; None where it is not recorded: then only a distance tells where
        the instrument was joined.

    Returns
    -------
    TraceDistances

    Examples
    --------
    >>> echo = {"from": "0 m", "towards": "end", "time": "500 ± 5 ns",
    ...         "velocity_factor": "0.66 ± 0.01", "conductor_per_route": "1.02 ± 0.02"}
    >>> head = {"date": "2026-01-01", "by": "A.B.", "purpose": "locate a short"}
    >>> (found,) = trace_distances(Trace.model_validate({**head, "echo": echo}), None).distances
    >>> round(found.stretch.low_m, 1), round(found.stretch.high_m, 1)
    (46.4, 50.7)
    >>> bare = {**echo, "time": "500 ns"}
    >>> trace_distances(Trace.model_validate({**head, "echo": bare}), None).reasons
    ('The reflectometer gives no place: the uncertainty of `time` is not recorded.',)
    """
    said = [*_of_echo(trace.echo, run), *_of_bridge(trace.bridge, run)]
    return TraceDistances(
        tuple(one for one in said if isinstance(one, Distance)),
        tuple(one.reason for one in said if isinstance(one, _NoPlace)),
        tuple(dict.fromkeys(one.then for one in said if isinstance(one, _NoPlace))),
    )


@dataclass(frozen=True)
class _NoPlace:
    reason: str
    then: str


def _of_echo(echo: Echo | None, run: Run | None) -> Iterator[Distance | _NoPlace]:
    if echo is None:
        return
    figures = {"time": echo.time_ns, "velocity_factor": echo.velocity_factor}
    yield _distance("reflectometer", echo, run, figures, by_reflectometer)


def _of_bridge(bridge: Bridge | None, run: Run | None) -> Iterator[Distance | _NoPlace]:
    if bridge is None:
        return
    figures = {
        "sound_arm": bridge.sound_arm_ohm,
        "faulty_arm": bridge.faulty_arm_ohm,
        "loop": bridge.loop_m,
        "faulty_length": bridge.faulty_length_m,
    }
    yield _distance("bridge", bridge, run, figures, by_bridge)


def _distance(
    method: str,
    joined: Joined,
    run: Run | None,
    figures: dict[str, Bounds | None],
    located: Callable[..., Distance],
) -> Distance | _NoPlace:
    """Return the distance by a method whose figures come in the order of its function."""
    wanted = {**figures, "conductor_per_route": joined.conductor_per_route}
    at_m = place_m(joined.from_, run) if joined.from_ is not None else None
    absent = [f"`{name}` is not recorded" for name, found in wanted.items() if found is None]
    if joined.from_ is None:
        absent.append("`from` is not recorded")
    elif at_m is None:
        absent.append(f'where "{joined.from_}" is along the run is not recorded')
    if joined.towards is None:
        absent.append("`towards` is not recorded")
    known = {name: _interval(found) for name, found in wanted.items() if found is not None}
    absent += [
        f"the uncertainty of `{name}` is not recorded"
        for name, interval in known.items()
        if interval is None
    ]
    intervals = [interval for interval in known.values() if interval is not None]
    if absent or at_m is None or joined.towards is None or len(intervals) < len(wanted):
        return _NoPlace(
            f"The {method} gives no place: {'; '.join(absent)}.",
            f"Record what is missing of the {method}, every figure with how far off it may be.",
        )
    *measured, per_route = intervals
    try:
        return located(*measured, Mounting(at_m, joined.towards, per_route))
    except ValueError as error:
        return _NoPlace(
            f"The {method} gives no place: {error}.",
            f"Check the figures of the {method}, and measure again.",
        )


def _interval(bounds: Bounds) -> Interval | None:
    if bounds.low is None or bounds.high is None:
        return None
    return Interval(bounds.low, bounds.best, bounds.high)
