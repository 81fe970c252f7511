"""What traces say of loads: this one hangs on that circuit, and whether its evidence bears that."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from recordgen.evidence.trace_answer import BreakerShown, LoadsShown, TraceVerdict
from recordgen.evidence.trace_verdict import TraceVerdicts
from recordgen.network.cross_references import named_thing
from recordgen.network.model import Network
from recordgen.records.field import Trace
from recordgen.records.loader import LoadedBuilding


@dataclass(frozen=True)
class Claim:
    """One load on one circuit, as a trace has it.

    Attributes
    ----------
    building, trace : str
        Where the trace stands, and its tag there.
    date : date
    load, circuit : str
        Full tags.
    recorded : tuple of str
        Full tags of the recorded feeds of the load.
    feeds : tuple of str
        Those of them that the trace bears out: a signal on the circuit reaches them.
    below : tuple of str
        Where it bears out none: those that the circuit feeds by the records, but through more than
        a signal passes. What is between is proven together at best.
    opened : bool
        The circuit was opened, and the load went dead.
    not_borne : str
        Why the readings do not bear it; empty where they do, or where it was opened.
    remark : str
        What is to be said even where it is borne: that the readings point elsewhere.
    settled : bool
        Somebody wrote down how a contradiction with the record was resolved.
    """

    building: str
    trace: str
    date: dt.date
    load: str
    circuit: str
    recorded: tuple[str, ...]
    feeds: tuple[str, ...]
    below: tuple[str, ...]
    opened: bool
    not_borne: str
    remark: str
    settled: bool

    @property
    def tag(self) -> str:
        """The full tag of the trace."""
        return f"{self.building}:{self.trace}"

    @property
    def contradicts(self) -> bool:
        """Whether the record has the load elsewhere, and nobody has settled it."""
        return bool(self.recorded) and not (self.feeds or self.below or self.settled)


class Claims:
    """Reads the claims of every trace; `buildings` is building id → its records."""

    def __init__(
        self,
        buildings: Mapping[str, LoadedBuilding],
        network: Network,
        verdicts: TraceVerdicts,
    ) -> None:
        self._buildings = buildings
        self._network = network
        self._verdicts = verdicts
        self._ways = verdicts.ways

    def until(self, as_of: dt.date) -> Iterator[Claim]:
        """Yield what traces up to a day say, in order of the records."""
        for loaded in self._buildings.values():
            for tag, trace in loaded.records.traces.items():
                if trace.date <= as_of:
                    yield from self._of(loaded, tag, trace)

    def _of(self, loaded: LoadedBuilding, tag: str, trace: Trace) -> Iterator[Claim]:
        loads = tuple(dict.fromkeys((*((trace.load,) if trace.load else ()), *trace.found)))
        listing = trace.purpose == "list what is downstream"
        reference = trace.concluded_circuit or (trace.circuit if listing else None)
        there = self._buildings.get(reference.building or loaded.id) if reference else None
        circuit = named_thing(there, reference) if there and reference else None
        if circuit is None:
            return
        verdict = self._verdicts.of(f"{loaded.id}:{tag}")
        for name in loads:
            load = f"{loaded.id}:{name}"
            recorded = self._network.loads[load].circuits
            feeds = tuple(f for f in recorded if circuit in self._ways.up_to_circuits(f))
            opened = bool(trace.confirmed_by_opening)
            yield Claim(
                loaded.id,
                tag,
                trace.date,
                load,
                circuit,
                recorded,
                feeds,
                () if feeds else tuple(self._below(circuit, recorded, listing=listing)),
                opened,
                "" if opened else _not_borne(loaded, tag, trace, verdict, name),
                self._remark(circuit, tag, verdict) if name == trace.load else "",
                trace.resolved is not None,
            )

    def _below(self, circuit: str, recorded: Iterable[str], *, listing: bool) -> Iterator[str]:
        """Yield the feeds that a circuit feeds in turn.

        Who looks for a breaker looks for the load's own: one before its panel is another.
        """
        for feed in recorded:
            above = self._ways.all_above(feed) if listing else self._equipment_above(feed)
            if circuit in above:
                yield feed

    def _equipment_above(self, feed: str) -> set[str]:
        """Return a feed and what feeds it through equipment alone, up to the nearest circuits."""
        found, rest = {feed}, [feed]
        while rest:
            here = rest.pop()
            if "/" not in here:
                new = [t for t in self._ways.feeders.get(here, ()) if t not in found]
                found.update(new)
                rest += new
        return found

    def _remark(self, circuit: str, tag: str, verdict: TraceVerdict) -> str:
        shown = verdict.shows
        pointed = shown.by_readings if isinstance(shown, BreakerShown) else None
        if pointed is None or self._verdicts.reader.leads_back(circuit, pointed):
            return ""
        return f"the readings of trace {tag} point at {pointed.partition(':')[2]} all the same"


def _not_borne(
    loaded: LoadedBuilding, tag: str, trace: Trace, verdict: TraceVerdict, load: str
) -> str:
    """Return why the readings do not bear that a load is on the circuit; empty where they do."""
    if not trace.readings:
        return f"no readings recorded in trace {tag}, and the circuit was not opened"
    shown = verdict.shows
    if isinstance(shown, LoadsShown):
        found = {one.load: one.shown for one in shown.found}
        if found.get(f"{loaded.id}:{load}"):
            return ""
        return f"the readings of trace {tag} do not show it on the circuit"
    if not isinstance(shown, BreakerShown):
        return f"trace {tag} was made to {trace.purpose}, and the circuit was not opened"
    if load != trace.load:
        return f"no reading was taken at it in trace {tag}, and the circuit was not opened"
    if verdict.bears == "bears":
        return ""
    if shown.breaker is not None:
        pointed = shown.breaker.removeprefix(f"{loaded.id}:")
        return f"the readings of trace {tag} point at {pointed}"
    word = "are ambiguous" if verdict.word == "ambiguous" else "are not enough"
    return f"the readings of trace {tag} {word}: {verdict.reasons[0]}"
