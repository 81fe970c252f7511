"""Low-voltage cables ready to show: both ends, and how well it is known which cable is which."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from recordgen.evidence.trace_answer import CableShown, TraceVerdict
from recordgen.pages.describe import Fact, facts
from recordgen.pages.trace_wording import BEARS, headline
from recordgen.pages.view import View
from recordgen.records.field import Cable, CableEnd
from recordgen.records.loader import LoadedBuilding


@dataclass(frozen=True)
class CableLine:
    """A cable, ready to show.

    Attributes
    ----------
    tag : str
        In its building.
    kind, description, bundle, notes : str
        Empty where not recorded.
    ends : tuple of CableEnd
    lacks_end : bool
        Fewer than two ends are recorded, or one of them says nothing.
    identified : str
        How it was identified, as recorded; empty where not recorded.
    trace : str
        The trace that shows it (full tag); empty where none is recorded.
    shown : str
        What that trace shows, and whether it bears what was concluded, without a full stop.
    date : str
        Of the trace: of other ways no date is recorded.
    to_do : tuple of str
        Why it still has to be identified; empty where it is known.
    runs : tuple of str
        Full tags of the runs it goes along.
    facts : tuple of Fact
        Everything else that is recorded of it.
    """

    tag: str
    kind: str
    description: str
    bundle: str
    notes: str
    ends: tuple[CableEnd, ...]
    lacks_end: bool
    identified: str
    trace: str
    shown: str
    date: str
    to_do: tuple[str, ...]
    runs: tuple[str, ...]
    facts: tuple[Fact, ...]


_SHOWN = ("kind", "category", "description", "bundle", "notes", "ends", "identified", "trace")


def cable_lines(view: View, building: str) -> tuple[CableLine, ...]:
    """Return the cables of a building, in the order they are recorded."""
    loaded = view.loaded(building)
    return tuple(_line(view, loaded, tag, cable) for tag, cable in loaded.records.cables.items())


def _line(view: View, loaded: LoadedBuilding, tag: str, cable: Cable) -> CableLine:
    trace = f"{loaded.id}:{cable.trace}" if cable.trace else ""
    shown = date = ""
    verdict: TraceVerdict | None = None
    sharing: tuple[str, ...] = ()
    if cable.trace:
        sharing = view.portfolio.trace_verdicts.leaning(trace).cables
        verdict = view.portfolio.trace_verdicts.of(trace)
        shown = headline(verdict, lambda full: view.name(full, loaded.id), feet=False)
        shown = f"{shown}; {BEARS[verdict.bears]}"
        date = loaded.records.traces[cable.trace].date.isoformat()
    lacks_end = len(cable.ends) < 2 or not all(end.room or end.at for end in cable.ends)
    return CableLine(
        tag=tag,
        kind=f"{cable.kind}, {cable.category}" if cable.category else cable.kind,
        description=cable.description or "",
        bundle=cable.bundle or "",
        notes=cable.notes or "",
        ends=cable.ends,
        lacks_end=lacks_end,
        identified=cable.identified or "",
        trace=trace,
        shown=shown,
        date=date,
        to_do=tuple(_to_do(tag, cable, verdict, sharing, lacks_end=lacks_end)),
        runs=view.runs_of.get(f"{loaded.id}:{tag}", ()),
        facts=facts(cable, skip=_SHOWN),
    )


def _to_do(
    tag: str,
    cable: Cable,
    verdict: TraceVerdict | None,
    sharing: tuple[str, ...],
    *,
    lacks_end: bool,
) -> Iterator[str]:
    """Yield why nobody may rely on which cable this is."""
    if lacks_end:
        yield "an end is not recorded"
    if cable.identified is None and verdict is None:
        yield "how it was identified is not recorded"
    if verdict is None or cable.trace is None:
        return
    if isinstance(verdict.shows, CableShown):
        if verdict.shows.cable is None:
            yield "the readings of its trace call no cable"
        elif verdict.shows.cable != tag:
            yield f"its trace points at {verdict.shows.cable}"
        elif len(sharing) > 1:
            yield f"{', '.join(sharing)} all rest on one trace, which can show one of them only"
    elif cable.identified is None and verdict.bears not in ("bears", "bears in part"):
        yield "its trace bears nothing"
