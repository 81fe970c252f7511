"""What a trace along a run shows: how far it was followed, or where a fault lies."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final, cast

from recordgen.evidence.distance_readings import Combined, Distance, Purpose, combined
from recordgen.evidence.follow_run import followed_run
from recordgen.evidence.run_places import DIGGING, Stretch, goes_underground, in_feet
from recordgen.evidence.run_readings import RunReadings, run_readings
from recordgen.evidence.trace_answer import Bears, StretchShown, TraceVerdict, VerdictWord
from recordgen.evidence.trace_distances import trace_distances
from recordgen.evidence.trace_leaning import Leaning
from recordgen.records.field import Run, Trace

IN_WORDS: Final = (
    "The conclusion is in words, which are not read here: hold them against what the readings show."
)
NO_RUN: Final = (
    "No run is recorded with this trace, so no landmark can be told, nor what lies underground."
)
ONE_METHOD: Final = (
    "One method alone has it there: measure with another, or from the other end, before digging."
)
_READ_ALONG: Final = "read along the run, from its start to past the place you suspect"
_FOLLOWED: Final[Mapping[str, Bears]] = {
    "followed": "bears",
    "followed in part": "bears in part",
    "signal lost": "bears in part",
    "not enough": "does not bear",
}


def followed(trace: Trace, run: Run | None, leaning: Leaning) -> TraceVerdict:
    """Return how far a trace followed its run.

    Parameters
    ----------
    trace : Trace
        Of one of `follow_run.PURPOSES`.
    run : Run or None
        None where it is not recorded.
    leaning : Leaning
        A run that leans on the trace is a conclusion from it, as words are.

    Returns
    -------
    TraceVerdict
    """
    found = followed_run(trace, run)
    bears: Bears = "nothing concluded"
    if trace.conclusion or leaning.runs:
        bears = _FOLLOWED[found.verdict]
    return TraceVerdict(
        word=found.verdict,
        bears=bears,
        shows=found,
        by_opening=False,
        reasons=found.reasons,
        measure_next=found.measure_next,
        cautions=(*found.cautions, *((IN_WORDS,) if trace.conclusion else ())),
    )


def located(trace: Trace, run: Run | None, leaning: Leaning) -> TraceVerdict:
    """Return where a trace has a fault, by all the methods that it records.

    Parameters
    ----------
    trace : Trace
        Of one of `run_readings.PURPOSES`.
    run : Run or None
        None where it is not recorded.
    leaning : Leaning
        A fault that was located by the trace is a conclusion from it, as words are.

    Returns
    -------
    TraceVerdict
        Its stretch is never a point, and is None where the methods disagree.
    """
    tracer = run_readings(trace, run) if trace.readings else None
    others = trace_distances(trace, run)
    feet = in_feet(trace.readings, run)
    said = combined(cast("Purpose", trace.purpose), tracer, others.distances, run, feet=feet)
    if trace.echo is None and trace.bridge is None:
        reasons = tracer.reasons if tracer else ("no reading is recorded",)
        following = tracer.measure_next if tracer else (_READ_ALONG,)
    else:
        reasons = (*said.reasons, *others.reasons, *(tracer.reasons if tracer else ()))
        following = (*said.measure_next, *others.measure_next)
        following += tracer.measure_next if tracer else ()
    bears: Bears = "nothing concluded"
    if leaning.located or (trace.conclusion and said.stretch):
        bears = "bears" if said.stretch else "does not bear"
    elif trace.conclusion:
        bears = "words only" if trace.readings or others.distances else "does not bear"
    by_tracer = tracer.interval if tracer else None
    methods = (Distance("tracer", by_tracer),) if by_tracer else ()
    return TraceVerdict(
        word=_word(said, tracer),
        bears=bears,
        shows=StretchShown(
            said.stretch,
            said.confidence_percent,
            said.nearest_landmark,
            (*methods, *others.distances),
        ),
        by_opening=False,
        reasons=tuple(reason for reason in reasons if reason != DIGGING),
        measure_next=following,
        cautions=tuple(_cautions(trace, run, said.stretch, one=said.verdict == "one method")),
    )


def _word(said: Combined, tracer: RunReadings | None) -> VerdictWord:
    if said.stretch is not None:
        return "located"
    if said.verdict == "disagree":
        return "methods disagree"
    return tracer.verdict if tracer else "not enough"


def _cautions(
    trace: Trace, run: Run | None, stretch: Stretch | None, *, one: bool
) -> Iterator[str]:
    if stretch is not None and goes_underground(stretch, run):
        yield DIGGING
    if run is None:
        yield NO_RUN
    if one:
        yield ONE_METHOD
    if trace.conclusion:
        yield IN_WORDS
