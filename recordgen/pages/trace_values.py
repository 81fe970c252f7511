"""Traces ready to show: what each shows, the grades that rest on it, its instrument that day."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from recordgen.evidence.calibration import READ_AGAINST_ITSELF, calibration_on
from recordgen.evidence.concerned import concerned
from recordgen.evidence.grades import Grade
from recordgen.evidence.run_places import in_feet
from recordgen.evidence.trace_answer import LoadsShown, TraceVerdict
from recordgen.network.model import building_of, local
from recordgen.pages.trace_wording import BEARS, MARKS, headline
from recordgen.pages.view import View
from recordgen.records.field import Run, Trace

GRADING = ("identify the breaker", "list what is downstream")
"""Purposes whose traces say what hangs on which circuit."""


@dataclass(frozen=True)
class ClaimLine:
    """A load on a circuit (full tags), how that is known, and whether it rests on this trace."""

    load: str
    circuit: str
    grade: Grade
    rests_here: bool


@dataclass(frozen=True)
class DayOfUse:
    """Whether an instrument was in calibration on a day, ready to show.

    `mark` is "yes", "no", "unproven" or "none"; `text` says why, or that nothing is expected.
    """

    word: str
    mark: str
    text: str


@dataclass(frozen=True)
class TraceFacts:
    """A trace, ready to show.

    Attributes
    ----------
    tag : str
        Full tag.
    name : str
    trace : Trace
    run : Run or None
        The run it names, with its landmarks.
    verdict : TraceVerdict
    mark : str
    headline : str
    bears : str
        In words, whether that bears what was concluded.
    about : tuple of str
        Full tags of what was traced, as recorded.
    claims : tuple of ClaimLine
    feet : bool
    """

    tag: str
    name: str
    trace: Trace
    run: Run | None
    verdict: TraceVerdict
    mark: str
    headline: str
    bears: str
    about: tuple[str, ...]
    claims: tuple[ClaimLine, ...]
    feet: bool

    @property
    def run_tag(self) -> str:
        """Return the full tag of the run that was read along; empty where none is recorded."""
        return f"{building_of(self.tag)}:{self.trace.run}" if self.trace.run else ""

    @property
    def cable_tag(self) -> str:
        """Return the full tag of the cable looked for; empty where none is recorded."""
        return f"{building_of(self.tag)}:{self.trace.cable}" if self.trace.cable else ""

    @property
    def resting(self) -> tuple[ClaimLine, ...]:
        """Return the claims whose grade rests on this trace."""
        return tuple(line for line in self.claims if line.rests_here)


def trace_facts(view: View, tag: str) -> TraceFacts:
    """Return a trace (full tag) as pages show it."""
    building, name = building_of(tag), local(tag)
    loaded = view.loaded(building)
    trace = loaded.records.traces[name]
    run = loaded.records.runs.get(trace.run) if trace.run else None
    verdict = view.portfolio.trace_verdicts.of(tag)
    feet = in_feet(trace.readings, run)
    return TraceFacts(
        tag=tag,
        name=name,
        trace=trace,
        run=run,
        verdict=verdict,
        mark=MARKS[verdict.word],
        headline=headline(verdict, lambda full: view.name(full, building), feet=feet),
        bears=BEARS[verdict.bears],
        about=concerned(view.portfolio.buildings, loaded, trace),
        claims=_claims(view, tag, trace, verdict),
        feet=feet,
    )


def _claims(view: View, tag: str, trace: Trace, verdict: TraceVerdict) -> tuple[ClaimLine, ...]:
    """Return the loads that a trace has on its circuit, where the record has them there too."""
    if trace.purpose not in GRADING or trace.date > view.portfolio.as_of:
        return ()
    building = building_of(tag)
    verdicts = view.portfolio.trace_verdicts
    circuit = verdicts.reader.concluded(view.loaded(building), trace)
    if isinstance(verdict.shows, LoadsShown):
        circuit = verdict.shows.circuit
    lines = []
    for name in dict.fromkeys((*((trace.load,) if trace.load else ()), *trace.found)):
        load = f"{building}:{name}"
        for feed in view.network.loads[load].circuits:
            if circuit in verdicts.ways.all_above(feed):
                grade = view.portfolio.grades.of_claim(load, feed)
                lines.append(ClaimLine(load, feed, grade, grade.trace == tag))
    return tuple(lines)


def day_of_use(view: View, building: str, instrument: str, day: dt.date) -> DayOfUse:
    """Return whether an instrument of a building was in calibration on a day."""
    record = view.loaded(building).records.instruments[instrument]
    found = calibration_on(record, day)
    text = "; ".join(found.reasons)
    if found.verdict == "in calibration":
        return DayOfUse(found.verdict, "yes", text)
    if found.verdict == "out of calibration":
        return DayOfUse(found.verdict, "no", text)
    if record.kind in READ_AGAINST_ITSELF and record.due is None and record.calibrated is None:
        return DayOfUse(
            "no calibration expected",
            "none",
            f"the readings of a {record.kind} are held against each other; it gets a function "
            "check before use (common practice)",
        )
    return DayOfUse(found.verdict, "unproven", f"{text}; {found.next}")
