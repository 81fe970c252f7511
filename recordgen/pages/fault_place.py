"""Where a fault lies along its run, by all instruments that its traces record."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from recordgen.evidence.distance_readings import Combined, Distance, Purpose, combined
from recordgen.evidence.run_places import (
    DIGGING,
    Stretch,
    goes_underground,
    in_feet,
    nearest_landmark,
    place_m,
    places,
    told,
)
from recordgen.evidence.run_readings import RunReadings, run_readings
from recordgen.evidence.trace_distances import TraceDistances, trace_distances
from recordgen.evidence.trace_run import NO_RUN, ONE_METHOD
from recordgen.pages.fault_values import FaultFacts
from recordgen.pages.run_strip import run_strip
from recordgen.pages.strip_parts import Band, Strip
from recordgen.records.field import Run, Trace
from recordgen.records.loader import LoadedBuilding


@dataclass(frozen=True)
class TraceLine:
    """A trace that was made to locate the fault; `concluded` is as recorded, and may be empty."""

    tag: str
    date: str
    by: str
    concluded: str


@dataclass(frozen=True)
class MethodLine:
    """Where one instrument has the fault: a stretch in words, or empty with why not."""

    method: str
    stretch: str


@dataclass(frozen=True)
class PlaceAnswer:
    """Where the fault lies along one run.

    Attributes
    ----------
    run : str
        Tag in the same building; empty where the trace names none.
    traces : tuple of TraceLine
    answer : str
        One sentence; a stretch and never a point.
    clear : bool
        Whether a stretch is given.
    landmark, room : str
        The landmark in the stretch or nearest to it; empty where none is recorded.
    methods : tuple of MethodLine
    reasons, measure_next : tuple of str
    cautions : tuple of str
        What to beware of before anything is opened or dug up.
    strip : Strip or None
        The run with the latest readings and the stretches drawn; None where there is nothing to
        draw.
    """

    run: str
    traces: tuple[TraceLine, ...]
    answer: str
    clear: bool
    landmark: str
    room: str
    methods: tuple[MethodLine, ...]
    reasons: tuple[str, ...]
    measure_next: tuple[str, ...]
    cautions: tuple[str, ...]
    strip: Strip | None


def places_of(facts: FaultFacts, loaded: LoadedBuilding) -> tuple[PlaceAnswer, ...]:
    """Return where a fault lies by the traces that its steps name, one answer for each run.

    Parameters
    ----------
    facts : FaultFacts
    loaded : LoadedBuilding
        The building that records it.

    Returns
    -------
    tuple of PlaceAnswer
        Empty where no step names a trace that looks for a place along a run.
    """
    named = dict.fromkeys(step.trace for step in facts.fault.steps if step.trace)
    groups: dict[tuple[str, Purpose], list[tuple[str, Trace]]] = {}
    for tag in named:
        trace = loaded.records.traces[tag]
        if (
            trace.purpose == "locate an open"
            or trace.purpose == "locate a ground fault"
            or trace.purpose == "locate a short"
        ):
            groups.setdefault((trace.run or "", trace.purpose), []).append((tag, trace))
    return tuple(
        _answer(f"strip-{number}", run, purpose, traces, loaded.records.runs.get(run))
        for number, ((run, purpose), traces) in enumerate(groups.items(), 1)
    )


def _answer(
    anchor: str, run_tag: str, purpose: Purpose, traces: list[tuple[str, Trace]], run: Run | None
) -> PlaceAnswer:
    traces = sorted(traces, key=lambda pair: pair[1].date)
    read = [trace for _, trace in traces if trace.readings]
    tracer = run_readings(read[-1], run) if read else None
    own = tracer.interval if tracer else None
    others = [trace_distances(trace, run) for _, trace in traces]
    feet = in_feet([reading for _, trace in traces for reading in trace.readings], run)
    distances = [distance for other in others for distance in other.distances]
    found = combined(purpose, tracer, distances, run, feet=feet)
    reasons = [*found.reasons, *(text for other in others for text in other.reasons)]
    if len(read) > 1:
        reasons.append("Of several traces with readings along this run, the latest is used.")
    reasons += tracer.reasons if tracer else ()
    mark = nearest_landmark(found.stretch, run) if found.stretch else None
    return PlaceAnswer(
        run=run_tag,
        traces=tuple(
            TraceLine(tag, trace.date.isoformat(), trace.by, trace.conclusion or "")
            for tag, trace in traces
        ),
        answer=_sentence(found, feet=feet),
        clear=found.stretch is not None,
        landmark=mark.what if mark else "",
        room=(mark.room or "") if mark else "",
        methods=tuple(_methods(tracer, others, feet=feet)),
        reasons=tuple(dict.fromkeys(text for text in reasons if text != DIGGING)),
        measure_next=tuple(
            dict.fromkeys(
                (
                    *found.measure_next,
                    *(tracer.measure_next if tracer else ()),
                    *(text for other in others for text in other.measure_next),
                )
            )
        ),
        cautions=tuple(_cautions(found, run)),
        strip=_strip(anchor, run_tag, run, read, _bands(found, own, distances)),
    )


def _bands(found: Combined, tracer: Stretch | None, others: list[Distance]) -> list[Band]:
    """Return what to draw on the run: where all have it, then each method for itself."""
    each = [Distance("tracer", tracer)] if tracer else []
    each += others
    bands = [Band("Fault by all", found.stretch, "located")] if found.stretch else []
    if len(each) == 1 and bands:
        return [Band(f"Fault by {each[0].method}", each[0].stretch, "located")]
    return [*bands, *(Band(one.method.capitalize(), one.stretch) for one in each)]


def _strip(
    anchor: str, tag: str, run: Run | None, read: list[Trace], bands: list[Band]
) -> Strip | None:
    trace = read[-1] if read else None
    if run is None and trace is None and not bands:
        return None
    at = trace.transmitter_at if trace else None
    return run_strip(
        run,
        anchor=anchor,
        title=f"Run {tag}" if tag else "Readings along a run that is not recorded",
        readings=places(trace.readings, run) if trace else (),
        bands=bands,
        transmitter_m=place_m(at, run) if at else None,
    )


def _cautions(found: Combined, run: Run | None) -> Iterator[str]:
    if found.stretch is not None and goes_underground(found.stretch, run):
        yield DIGGING
    if run is None:
        yield NO_RUN
    if found.verdict == "one method":
        yield ONE_METHOD


def _sentence(found: Combined, *, feet: bool) -> str:
    if found.stretch is None:
        if found.verdict == "disagree":
            return "No place is given: the methods do not agree."
        return "No place follows from what is recorded."
    sure = ""
    if found.confidence_percent is not None:
        sure = f", in {found.confidence_percent} of 100 such cases by simulation"
    how = "All methods together have" if found.verdict == "agree" else "One method alone has"
    return f"{how} it along {told(found.stretch, feet=feet)} from the start of the run{sure}."


def _methods(
    tracer: RunReadings | None, others: list[TraceDistances], *, feet: bool
) -> Iterator[MethodLine]:
    if tracer is not None:
        along = told(tracer.interval, feet=feet) if tracer.interval else ""
        yield MethodLine("tracer", along or tracer.verdict)
    for other in others:
        for distance in other.distances:
            yield MethodLine(distance.method, told(distance.stretch, feet=feet))
