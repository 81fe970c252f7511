"""A trace that was to identify a breaker, read against the records: the breaker, and what it bears.

Places of readings become breakers and covers as the records name them; the answer is held against
the circuit that the load is recorded on. Opening the breaker confirms what readings only indicate.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from recordgen.evidence.breaker_readings import BreakerReading, Panels, breaker_reading
from recordgen.evidence.signals import Comparable, comparable
from recordgen.evidence.ways_back import WaysBack
from recordgen.network.cross_references import named_thing
from recordgen.network.model import Network
from recordgen.network.references import circuit_at
from recordgen.records.field import Reading, Trace
from recordgen.records.loader import LoadedBuilding
from recordgen.records.positions import Position, Reference, read_position, read_reference
from recordgen.records.supply import Panel


@dataclass(frozen=True)
class TraceReader:
    """Reads traces of a portfolio; `buildings` is building id → its records."""

    buildings: Mapping[str, LoadedBuilding]
    network: Network
    ways: WaysBack

    def readings_say(self, loaded: LoadedBuilding, trace: Trace) -> BreakerReading:
        """Return what the readings of a trace say alone, whatever was concluded or opened.

        Parameters
        ----------
        loaded : LoadedBuilding
            The building that the trace stands in.
        trace : Trace
            Of the purpose "identify the breaker".

        Returns
        -------
        BreakerReading
            Breakers by their full tags, `building:PANEL/POSITION`; in sentences as the record of
            this building names them. Never confirmed. `contradicts the record` where the load has
            recorded feeds and none of them leads back to the breaker.
        """
        places = _Places(self.buildings, loaded)
        named = [places.named(reading) for reading in trace.readings]
        usable = comparable(reading for reading in named if isinstance(reading, Reading))
        left_out = (*usable.left_out, *(said for said in named if isinstance(said, str)))
        found = breaker_reading(Comparable(usable.signals, left_out), places.panels())
        if found.breaker is None:
            return found
        breaker = places.full[found.breaker]
        below = self._panel_below(breaker)
        if below is not None:
            reason = f"{found.breaker} feeds {below}, whose breakers carry the same signal"
            following = f"read the breakers of {below}"
            reasons = (reason, *found.reasons)
            return BreakerReading("ambiguous", None, found.margin, reasons, following)
        found = replace(found, breaker=breaker)
        recorded = self._recorded(loaded, trace)
        if recorded and not any(self.leads_back(feed, breaker) for feed in recorded):
            names = " and ".join(_short(feed, loaded) for feed in recorded)
            reasons = (*found.reasons, f"the record says {names}")
            return replace(found, verdict="contradicts the record", reasons=reasons)
        return found

    def breaker(self, loaded: LoadedBuilding, trace: Trace) -> BreakerReading:
        """Return the breaker that a trace shows: by opening if it was opened, else by its readings.

        Parameters
        ----------
        loaded, trace
            As `readings_say`.

        Returns
        -------
        BreakerReading
            Confirmed where the concluded circuit was opened and the load went dead: then it is the
            answer, and a reason says so where the readings point elsewhere.
        """
        found = self.readings_say(loaded, trace)
        concluded = self.concluded(loaded, trace)
        if concluded is None or not trace.confirmed_by_opening:
            return found
        reasons = [f"{_short(concluded, loaded)} was opened and the load went dead", *found.reasons]
        if found.breaker is not None and not self.leads_back(concluded, found.breaker):
            reasons.append(f"the readings point at {_short(found.breaker, loaded)} all the same")
        recorded = self._recorded(loaded, trace)
        borne = not recorded or any(self.leads_back(feed, concluded) for feed in recorded)
        return BreakerReading(
            "identified" if borne else "contradicts the record",
            concluded,
            found.margin,
            tuple(reasons),
            None,
            confirmed=True,
        )

    def concluded(self, loaded: LoadedBuilding, trace: Trace) -> str | None:
        """Return the full tag of the concluded circuit; None where none is recorded."""
        reference = trace.concluded_circuit
        if reference is None:
            return None
        there = self.buildings.get(reference.building or loaded.id)
        return named_thing(there, reference) if there is not None else None

    def leads_back(self, feed: str, breaker: str) -> bool:
        """Say whether a feed is a breaker, or leads back to it through what a signal passes."""
        return breaker in self.ways.up_to_circuits(feed)

    def _recorded(self, loaded: LoadedBuilding, trace: Trace) -> tuple[str, ...]:
        load = self.network.loads.get(f"{loaded.id}:{trace.load}")
        return load.circuits if load is not None else ()

    def _panel_below(self, breaker: str) -> str | None:
        """Return a panel that a breaker feeds, the nearest one by the way of the records."""
        seen, rest = {breaker}, [breaker]
        for here in rest:
            for fed in self.network.fed_by.get(here, ()):
                building, _, tag = fed.partition(":")
                if building in self.buildings and tag in self.buildings[building].records.panels:
                    return tag
                if fed not in seen:
                    seen.add(fed)
                    rest.append(fed)
        return None


class _Places:
    """Places of readings by the names that a building gives them; `full` is name → full tag."""

    def __init__(self, buildings: Mapping[str, LoadedBuilding], loaded: LoadedBuilding) -> None:
        self._buildings = buildings
        self._loaded = loaded
        self.full: dict[str, str] = {}
        self._panel_of: dict[str, str] = {}

    def named(self, reading: Reading) -> Reading | str:
        """Return a reading with the one name of its place, or why it does not count."""
        try:
            reference = read_reference(reading.at)
        except ValueError:
            return f"{reading.at} does not count: it is no panel or breaker"
        there = self._buildings.get(reference.building or self._loaded.id)
        panel = there.records.panels.get(reference.tag) if there is not None else None
        if there is None or panel is None:
            return f"{reading.at} does not count: it is no panel or breaker of the records"
        if reference.port is None:
            cover = _short(f"{there.id}:{reference.tag}", self._loaded)
            return reading.model_copy(update={"at": cover})
        position = _position(panel, reference)
        if position is None:
            return f"{reading.at} does not count: the signal of every breaker passes there"
        full = f"{there.id}:{reference.tag}/{position}"
        name = _short(full, self._loaded)
        self.full[name] = full
        self._panel_of[name] = _short(f"{there.id}:{reference.tag}", self._loaded)
        return reading.model_copy(update={"at": name})

    def panels(self) -> Panels:
        """Return which of the places named so far are breakers, and what stands beside them."""
        return Panels(
            dict(self._panel_of), {name: self._beside(full) for name, full in self.full.items()}
        )

    def _beside(self, breaker: str) -> tuple[str, ...]:
        building, _, rest = breaker.partition(":")
        tag, _, written = rest.partition("/")
        panel = self._buildings[building].records.panels[tag]
        numbers = read_position(written).numbers
        # Odd left and even right is what panels have unless they say otherwise: common practice.
        step = 2 if panel.numbering in (None, "odd left") else 1
        beside = {min(numbers) - step, max(numbers) + step}
        return tuple(
            _short(f"{building}:{tag}/{position}", self._loaded)
            for position, circuit in panel.circuits.items()
            if not circuit.space and beside & set(position.numbers)
        )


def _position(panel: Panel, reference: Reference) -> Position | None:
    """Return the position that a reading was taken at; None for a main or a tap.

    A breaker that nobody has recorded yet may be read all the same.
    """
    port = reference.port or ""
    recorded = circuit_at(panel, port)
    if recorded is not None:
        return recorded
    try:
        return read_position(port)
    except ValueError:
        return None


def _short(tag: str, loaded: LoadedBuilding) -> str:
    """Return a full tag as records of a building write it."""
    return tag.removeprefix(f"{loaded.id}:")
