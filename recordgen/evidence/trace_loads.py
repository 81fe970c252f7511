"""What a trace of the loads on a circuit shows, held against what is recorded there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from recordgen.evidence.downstream_readings import DownstreamReadings, downstream_readings
from recordgen.evidence.trace_answer import (
    INDICATION,
    NO_SECOND_SOURCE,
    Bears,
    LoadFound,
    LoadsShown,
    OnCircuit,
    TraceVerdict,
    VerdictWord,
)
from recordgen.evidence.ways_back import WaysBack
from recordgen.network.cross_references import named_thing
from recordgen.network.model import Network, local
from recordgen.records.field import Reading, Trace
from recordgen.records.loader import LoadedBuilding
from recordgen.records.positions import read_reference


def loads_shown(
    buildings: Mapping[str, LoadedBuilding],
    network: Network,
    ways: WaysBack,
    loaded: LoadedBuilding,
    trace: Trace,
) -> TraceVerdict:
    """Return which loads a trace found on a circuit, and whether its evidence bears that.

    Parameters
    ----------
    buildings : mapping of str to LoadedBuilding
        Building id → its records.
    network : Network
    ways : WaysBack
    loaded : LoadedBuilding
        The building that the trace stands in.
    trace : Trace
        Of the purpose "list what is downstream".

    Returns
    -------
    TraceVerdict
        `confirmed` where the circuit was opened and the loads went dead; else by the readings at
        the loads. `contradicts the record` where the record has one of them elsewhere.
    """
    circuit = traced_circuit(buildings, loaded, trace)
    tags = tuple(dict.fromkeys((*((trace.load,) if trace.load else ()), *trace.found)))
    opened = bool(trace.confirmed_by_opening)
    said = downstream_readings(_at_loads(buildings, loaded, trace), tags)
    found = tuple(
        LoadFound(
            f"{loaded.id}:{tag}",
            network.loads[f"{loaded.id}:{tag}"].circuits,
            _agrees(network, ways, f"{loaded.id}:{tag}", circuit),
            opened or tag in said.shown,
        )
        for tag in tags
    )
    named = {one.load for one in found}
    on_it = ways.loads_on(circuit) if circuit else ()
    shown = LoadsShown(circuit, found, tuple(tag for tag in on_it if tag not in named))
    word, bears = _judged(shown, opened=opened)
    return TraceVerdict(
        word=word,
        bears=bears,
        shows=shown,
        by_opening=opened and circuit is not None,
        reasons=tuple(_reasons(shown, said, loaded, opened=opened)),
        measure_next=tuple(_next(shown, said, loaded, opened=opened)),
        cautions=tuple(_cautions(shown, network, opened=opened)),
    )


def traced_circuit(
    buildings: Mapping[str, LoadedBuilding], loaded: LoadedBuilding, trace: Trace
) -> str | None:
    """Return the full tag of the circuit whose loads were listed; None where none is recorded."""
    reference = trace.concluded_circuit or trace.circuit
    there = buildings.get(reference.building or loaded.id) if reference else None
    return named_thing(there, reference) if there is not None and reference else None


def _at_loads(
    buildings: Mapping[str, LoadedBuilding], loaded: LoadedBuilding, trace: Trace
) -> Iterator[Reading]:
    """Yield the readings that were not taken at a panel, where the signal of the circuit is."""
    for reading in trace.readings:
        try:
            reference = read_reference(reading.at)
        except ValueError:
            yield reading
            continue
        there = buildings.get(reference.building or loaded.id)
        if there is None or reference.tag not in there.records.panels:
            yield reading


def _agrees(network: Network, ways: WaysBack, load: str, circuit: str | None) -> OnCircuit:
    feeds = network.loads[load].circuits
    if not feeds:
        return "source not recorded"
    if circuit is None:
        return "recorded elsewhere"
    if any(circuit in ways.up_to_circuits(feed) for feed in feeds):
        return "on this circuit"
    if any(circuit in ways.all_above(feed) for feed in feeds):
        return "further down"
    return "recorded elsewhere"


def _judged(shown: LoadsShown, *, opened: bool) -> tuple[VerdictWord, Bears]:
    """Return the word for what was found, and whether it is borne."""
    if shown.circuit is None or not shown.found:
        return "not enough", "nothing concluded"
    borne = [one for one in shown.found if one.shown]
    bears: Bears = "bears" if len(borne) == len(shown.found) else "bears in part"
    if not borne:
        return "not enough", "does not bear"
    if shown.elsewhere:
        return "contradicts the record", bears
    if opened:
        return "confirmed", bears
    return ("shown" if bears == "bears" else "shown in part"), bears


def _reasons(
    shown: LoadsShown, said: DownstreamReadings, loaded: LoadedBuilding, *, opened: bool
) -> Iterator[str]:
    if shown.circuit is None:
        yield "the circuit is not recorded"
    if not shown.found:
        yield "no load is recorded as found"
        return
    if shown.circuit is not None and opened:
        loads = "the load" if len(shown.found) == 1 else f"the {len(shown.found)} loads found"
        yield f"{_short(shown.circuit, loaded)} was opened and {loads} went dead"
    if not opened:
        yield from said.reasons
    if said.shown and not opened:
        verb = "stands" if len(said.shown) == 1 else "stand"
        yield f"{_listed(said.shown)} {verb} out from what was read and is not on it"
    if shown.circuit is not None:
        for one in shown.elsewhere:
            feeds = [_short(feed, loaded) for feed in one.recorded]
            yield f"{local(one.load)} was found here, and the record has it on {_listed(feeds)}"
    if shown.not_found:
        names = [_short(tag, loaded) for tag in shown.not_found]
        yield f"recorded on it and not among those found: {_listed(names)}"


def _next(
    shown: LoadsShown, said: DownstreamReadings, loaded: LoadedBuilding, *, opened: bool
) -> Iterator[str]:
    if shown.circuit is None:
        yield "record the `circuit`"
    if not opened:
        yield from said.measure_next
    if shown.elsewhere and shown.circuit is not None:
        names = [local(one.load) for one in shown.elsewhere]
        yield f"find the breaker of {_listed(names)} again, and correct the record or the trace"
    if shown.not_found:
        names = [_short(tag, loaded) for tag in shown.not_found]
        state = "while it is open" if opened else "too"
        yield f"look at {_listed(names)} {state}: on this circuit or on another"


def _cautions(shown: LoadsShown, network: Network, *, opened: bool) -> Iterator[str]:
    yield NO_SECOND_SOURCE if opened else INDICATION
    fed = network.fed_by.get(shown.circuit or "", ())
    below = [local(tag) for tag in fed if tag not in network.loads]
    if below:
        yield f"It feeds {_listed(below)}: what hangs there is not counted as not found."


def _listed(names: tuple[str, ...] | list[str]) -> str:
    *most, last = names
    return f"{', '.join(most)} and {last}" if most else last


def _short(tag: str, loaded: LoadedBuilding) -> str:
    return tag.removeprefix(f"{loaded.id}:")
