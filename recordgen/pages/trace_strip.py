"""What a trace along a run shows, drawn on the strip of the run."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from recordgen.evidence.follow_run import FollowedRun
from recordgen.evidence.run_places import place_m, places
from recordgen.evidence.trace_answer import StretchShown, TraceVerdict
from recordgen.pages.run_strip import run_strip
from recordgen.pages.strip_parts import Band, Strip
from recordgen.pages.trace_values import TraceFacts

_METHODS: Final = {"tracer": "Tracer", "reflectometer": "Reflectometer", "bridge": "Bridge"}


def trace_strip(found: TraceFacts, *, anchor: str, title: str) -> Strip | None:
    """Return the strip of a trace: readings, and what each method has located.

    Parameters
    ----------
    found : TraceFacts
    anchor, title : str
        As `run_strip` has them.

    Returns
    -------
    Strip or None
        None where the trace is of another purpose, or neither its run nor anything along it is
        recorded.
    """
    shows = found.verdict.shows
    if not isinstance(shows, FollowedRun | StretchShown):
        return None
    bands = tuple(_bands(found.verdict))
    if found.run is None and not found.trace.readings and not bands:
        return None
    joined = found.trace.transmitter_at
    return run_strip(
        found.run,
        anchor=anchor,
        title=title,
        readings=places(found.trace.readings, found.run),
        bands=bands,
        transmitter_m=None if joined is None else place_m(joined, found.run),
    )


def _bands(verdict: TraceVerdict) -> Iterator[Band]:
    shows = verdict.shows
    if isinstance(shows, FollowedRun):
        for gap in shows.gaps:
            yield Band("Not shown", gap, "gap")
    elif isinstance(shows, StretchShown):
        if shows.stretch is not None:
            yield Band(_located(shows), shows.stretch, "located")
        if len(shows.by_method) > 1 or shows.stretch is None:
            for one in shows.by_method:
                yield Band(_METHODS[one.method], one.stretch)


def _located(shows: StretchShown) -> str:
    if shows.confidence_percent is not None:
        return f"Fault in {shows.confidence_percent} of 100 cases"
    methods = [one.method for one in shows.by_method]
    return f"Fault by {methods[0]}" if len(methods) == 1 else "Fault by all methods"
