"""One way from any recorded trace to what it shows, and whether it bears its conclusion.

Each purpose has its own rule in a module of its own; here they are asked, and their answers brought
into one form. Pages, checks and grades all ask the same reader, so that they cannot disagree.
"""

from __future__ import annotations

from collections.abc import Mapping

from recordgen.evidence.bundle_readings import bundle_reading
from recordgen.evidence.trace_answer import (
    IN_THE_BUNDLE,
    INDICATION,
    NO_SECOND_SOURCE,
    Bears,
    BreakerShown,
    CableShown,
    TraceVerdict,
    VerdictWord,
)
from recordgen.evidence.trace_breaker import TraceReader
from recordgen.evidence.trace_leaning import Leaning, leanings
from recordgen.evidence.trace_loads import loads_shown
from recordgen.evidence.trace_run import followed, located
from recordgen.evidence.ways_back import WaysBack
from recordgen.network.model import Network, building_of, local
from recordgen.records.field import Trace
from recordgen.records.loader import LoadedBuilding


class TraceVerdicts:
    """Reads every trace of a portfolio, each once.

    Parameters
    ----------
    buildings : mapping of str to LoadedBuilding
        Building id → its records.
    network : Network
    """

    def __init__(self, buildings: Mapping[str, LoadedBuilding], network: Network) -> None:
        self._buildings = buildings
        self.ways = WaysBack(network)
        self.reader = TraceReader(buildings, network, self.ways)
        self._network = network
        self._found: dict[str, TraceVerdict] = {}
        self._leaning: dict[str, Mapping[str, Leaning]] = {}

    def of(self, tag: str) -> TraceVerdict:
        """Return what a trace shows; `tag` is its full tag, `building:TRACE`.

        Raises
        ------
        KeyError
            There is no such trace.
        """
        if tag not in self._found:
            loaded = self._buildings[building_of(tag)]
            self._found[tag] = self._read(loaded, local(tag))
        return self._found[tag]

    def leaning(self, tag: str) -> Leaning:
        """Return which other records of its building lean on a trace (full tag).

        Raises
        ------
        KeyError
            There is no such trace.
        """
        building = building_of(tag)
        if building not in self._leaning:
            self._leaning[building] = leanings(self._buildings[building].records)
        return self._leaning[building][local(tag)]

    def _read(self, loaded: LoadedBuilding, tag: str) -> TraceVerdict:
        trace = loaded.records.traces[tag]
        leaning = self.leaning(f"{loaded.id}:{tag}")
        run = loaded.records.runs.get(trace.run) if trace.run else None
        match trace.purpose:
            case "identify the breaker":
                return self._breaker(loaded, trace)
            case "list what is downstream":
                return loads_shown(self._buildings, self._network, self.ways, loaded, trace)
            case "sort a bundle":
                return _cable(trace, leaning)
            case "follow a run" | "follow an underground cable":
                return followed(trace, run, leaning)
            case "locate an open" | "locate a ground fault" | "locate a short":
                return located(trace, run, leaning)

    def _breaker(self, loaded: LoadedBuilding, trace: Trace) -> TraceVerdict:
        found = self.reader.breaker(loaded, trace)
        alone = self.reader.readings_say(loaded, trace)
        concluded = self.reader.concluded(loaded, trace)
        bears: Bears = "nothing concluded"
        if concluded is not None:
            borne = found.breaker is not None and self.reader.leads_back(concluded, found.breaker)
            bears = "bears" if borne else "does not bear"
        word: VerdictWord = found.verdict
        if found.confirmed and found.verdict == "identified":
            word = "confirmed"
        return TraceVerdict(
            word,
            bears,
            BreakerShown(found.breaker, alone.breaker, found.margin),
            found.confirmed,
            found.reasons,
            _each(found.measure_next),
            (NO_SECOND_SOURCE if found.confirmed else INDICATION,),
        )


def _cable(trace: Trace, leaning: Leaning) -> TraceVerdict:
    found = bundle_reading(trace.readings)
    concluded = {*leaning.identified, *_each(trace.concluded_cable)}
    bears: Bears = "nothing concluded"
    if concluded:
        bears = "bears" if concluded == {found.cable} else "does not bear"
    shown = CableShown(found.cable, found.margin)
    following = _each(found.measure_next)
    return TraceVerdict(
        found.verdict, bears, shown, False, found.reasons, following, (IN_THE_BUNDLE,)
    )


def _each(value: str | None) -> tuple[str, ...]:
    return () if value is None else (value,)
