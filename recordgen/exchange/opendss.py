"""The records of one source and all that hangs on it, as a script for the solver OpenDSS."""

from __future__ import annotations

import cmath
import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Final

from recordgen.calc.answer import Need, NoValue
from recordgen.calc.study.distribution import Distribution, Element, LoadAt
from recordgen.calc.study.feed_ways import Way, feed_ways
from recordgen.calc.study.load_size import load_size
from recordgen.calc.study.reach_steps import source_reach
from recordgen.calc.study.segments import WARM_C, Segment, segment
from recordgen.exchange import opendss_commands as dss
from recordgen.exchange.opendss_bus import GROUND, NEUTRAL_NODE, Bus, across, of_load
from recordgen.records.equipment import Drive, Transformer, Ups
from recordgen.records.supply import Circuit
from recordgen.records.system import NominalSystem

_CONNECTIONS: Final = frozenset({"delta-wye", "wye-wye"})


@dataclass(frozen=True)
class CircuitScript:
    """A script and what is not in it.

    Attributes
    ----------
    text : str
        One command a line; `solve` is left to whoever runs it.
    buses : dict
        Full tag → its bus: of a transformer the secondary, of a circuit the end of its conductors.
    left_out : tuple of Need
        What could not be expressed, and all that hangs on it; the script says it as comments too.
    """

    text: str
    buses: Mapping[str, Bus]
    left_out: tuple[Need, ...]


def circuit_script(
    distribution: Distribution,
    source: str,
    *,
    temperature_c: float = WARM_C,
    power_factor: float | None = None,
    loads: bool = True,
) -> CircuitScript:
    """Return what a source supplies in the normal state, as a script for OpenDSS.

    Parameters
    ----------
    distribution : Distribution
    source : str
        Full tag of a source.
    temperature_c : float
        Of the conductors [°C].
    power_factor : float or None
        Of loads that record none; None leaves those out.
    loads : bool
        Whether loads are written at all: a fault study has none.

    Raises
    ------
    KeyError
        There is no such element.
    ValueError
        The element is no source.

    Notes
    -----
    Conductors are not coupled. A neutral is grounded at the source and at each transformer with a
    neutral, and nowhere else. Loads of several feeds stand on the first that is live. Where a
    circuit's conductors are not recorded its loads stand on the panel, and that is listed.
    """
    if distribution.elements[source].kind != "source":
        raise ValueError(f"{source} is no source")
    writer = _Writer(distribution, temperature_c, power_factor)
    writer.source(distribution.elements[source])
    for element in distribution.elements.values():
        if element.feed is not None and distribution.path(element.tag)[0].tag == source:
            writer.element(element)
    if loads:
        for tag, found in distribution.loads_at.items():
            if distribution.path(tag)[0].tag == source:
                writer.loads(distribution.elements[tag], found)
    return writer.script(source)


@dataclass
class _Writer:
    distribution: Distribution
    temperature_c: float
    power_factor: float | None
    commands: list[str] = field(default_factory=list)
    buses: dict[str, Bus] = field(default_factory=dict)
    left_out: dict[Need, None] = field(default_factory=dict)
    names: dict[str, str] = field(default_factory=dict)
    taken_names: set[str] = field(default_factory=set)
    written: set[str] = field(default_factory=set)

    def script(self, source: str) -> CircuitScript:
        head = [
            f"! What {source} supplies in the normal state, from the records.",
            f"! Conductors at {self.temperature_c:g} degrees Celsius, not coupled.",
            "! A neutral is grounded at the source and at transformers only.",
            *(f"! Left out: {need}" for need in self.left_out),
            "clear",
        ]
        return CircuitScript(
            "\n".join((*head, *self.commands)) + "\n", dict(self.buses), tuple(self.left_out)
        )

    def source(self, element: Element) -> None:
        reach = source_reach(element)
        if isinstance(reach, NoValue) or reach.needs or element.system is None:
            needs = reach.needs or (Need(element.tag, "system"),)
            self.left_out.update(dict.fromkeys(needs))
            return
        if element.system.high_leg:
            self.leave(element.tag, "system", "a high-leg delta is not written")
            return
        neutral = None if element.system.neutral_v is None else GROUND
        name = self.name(element.tag)
        self.commands.extend(
            dss.source_commands(name, name, reach.line_v, reach.phases, reach.line_ohm.known)
        )
        legs = "ABC" if reach.phases == 3 else "AB"
        self.buses[element.tag] = Bus(name, legs, neutral, element.system)

    def element(self, element: Element) -> None:
        """Write what leads to an element, where all of it is recorded."""
        if isinstance(element.record, Circuit):
            self.circuit(element)
            return
        way = self.normal_way(element.tag)
        start = self.start_of(way) if way is not None else None
        if way is None or start is None:
            return
        run = self.run(way, element, start)
        if isinstance(run, NoValue):
            self.left_out.update(dict.fromkeys(run.needs))
        elif isinstance(element.record, Transformer):
            self.transformer(element, start, run)
        else:
            legs = element.legs
            if len(legs) != len(start.legs):
                self.leave(element.tag, "system", "its conductors do not fit those that feed it")
                return
            system = element.system or start.system
            self.line(element.tag, start, run, legs, system)

    def circuit(self, element: Element) -> None:
        """Write a circuit's own conductors."""
        panel = self.buses.get(element.tag.rpartition("/")[0])
        if panel is None or element.conductors is None:
            return
        start = self.taken(element, panel)
        if start is None:
            return
        run = segment(element, self.temperature_c)
        if isinstance(run, NoValue):
            self.left_out.update(dict.fromkeys(run.needs))
        else:
            self.line(element.tag, start, run, start.legs, panel.system)

    def line(self, tag: str, start: Bus, run: Segment, legs: str, system: NominalSystem) -> None:
        carries = run.neutral_ohm is not None and start.neutral is not None
        ohms = [run.phase_ohm] * len(legs)
        if carries:
            assert run.neutral_ohm is not None  # noqa: S101  # for mypy
            ohms.append(run.neutral_ohm)
        end = Bus(self.name(tag), legs, NEUTRAL_NODE if carries else None, system)
        self.commands.append(
            dss.line(
                end.name,
                start.nodes(start.legs, neutral=carries),
                end.nodes(legs, neutral=carries),
                ohms,
            )
        )
        self.buses[tag] = end

    def transformer(self, element: Element, start: Bus, run: Segment) -> None:
        record, tag = element.record, element.tag
        assert isinstance(record, Transformer)  # noqa: S101  # for mypy: whoever asks has looked
        primary, secondary = record.primary, record.secondary
        plate = (record.rating_va, record.impedance_percent, record.x_over_r)
        keys = ("rating", "impedance", "x_over_r")
        missing = [key for key, value in zip(keys, plate, strict=True) if value is None]
        if primary is None or secondary is None or missing:
            missing += [k for k in ("primary", "secondary") if getattr(record, k) is None]
            for key in missing:
                self.leave(tag, key, "")
            return
        connection = (record.connection or "").lower()
        three = primary.phases == secondary.phases == 3 and len(start.legs) == 3
        single = primary.phases == secondary.phases == 1
        if secondary.high_leg or not (single or (three and connection in _CONNECTIONS)):
            self.leave(tag, "connection", "written are delta-wye, wye-wye and single-phase only")
            return
        self.line(f"{tag}/primary", start, run, start.legs, start.system)
        before = self.buses.pop(f"{tag}/primary")
        name, rating = self.name(tag), float(record.rating_va or 0)
        turn = math.atan(record.x_over_r or 0.0)
        percent = cmath.rect(float(record.impedance_percent or 0), turn)
        volts = (primary.line_v, secondary.line_v)
        neutral = None if secondary.neutral_v is None else GROUND
        if single:
            nodes = across(before, primary)
            if nodes is None:
                self.leave(tag, "primary", f"{primary} does not fit what feeds it")
                return
            if neutral is None:
                pair = (nodes, f"{name}.1.2")
                text = dss.transformer(name, pair, ("wye", "wye"), volts, rating, percent, 1)
            else:
                text = dss.tapped_transformer(name, nodes, name, *volts, rating, percent)
        else:
            primary_wye = connection == "wye-wye"
            if primary_wye and before.neutral is None:
                self.leave(tag, "neutral of the conductors", "")
                return
            pair = (before.nodes("ABC", neutral=primary_wye), f"{name}.1.2.3.{GROUND}")
            kinds = ("wye" if primary_wye else "delta", "wye")
            text = dss.transformer(name, pair, kinds, volts, rating, percent, 3)
        self.commands.append(text)
        self.buses[tag] = Bus(name, "AB" if single else "ABC", neutral, secondary)

    def loads(self, element: Element, found: Iterable[LoadAt]) -> None:
        """Write the loads of an element."""
        for at in found:
            if at.tag in self.written or not element.live:
                continue
            self.written.add(at.tag)
            size = load_size(at.tag, at.load, element.system, element.poles)
            power_factor = size.power_factor or self.power_factor
            if size.va is None or power_factor is None:
                self.left_out.update(dict.fromkeys(size.needs))
                if power_factor is None:
                    self.leave(at.tag, "power_factor", "")
                continue
            bus = self.bus_for_loads(element, at.tag)
            if bus is None:
                continue
            between = of_load(bus, at)
            if between is None:
                one = len(bus.legs) == 1
                why = "no neutral comes this far" if one else "not that between its lines"
                self.leave(at.tag, "neutral" if one else "voltage", why)
                continue
            nodes, volts = between
            phases = 3 if len(bus.legs) == 3 else 1
            name = self.name(at.tag)
            self.commands.append(dss.load(name, nodes, volts, size.va, power_factor, phases))

    def bus_for_loads(self, element: Element, load: str) -> Bus | None:
        if element.tag in self.buses:
            return self.buses[element.tag]
        panel = self.buses.get(element.tag.rpartition("/")[0])
        if panel is None or not isinstance(element.record, Circuit):
            self.leave(load, "fed_from", "what feeds it is left out")
            return None
        why = "not recorded in full: its loads stand on the panel"
        self.leave(element.tag, "conductors", why)
        return self.taken(element, panel)

    def taken(self, element: Element, panel: Bus) -> Bus | None:
        """Return a panel's bus with no more legs than a circuit takes off it."""
        if not element.legs or not set(element.legs) <= set(panel.legs):
            self.leave(element.tag, "position", "its legs do not follow")
            return None
        return replace(panel, legs=element.legs)

    def normal_way(self, tag: str) -> Way | None:
        return next((way for way in self.ways[tag] if way.normal), None)

    def start_of(self, way: Way) -> Bus | None:
        """Return the bus a way begins at, with the legs it has; None where that is left out."""
        feed = self.distribution.elements[way.feed]
        if isinstance(feed.record, Circuit):
            panel = self.buses.get(feed.tag.rpartition("/")[0])
            return self.taken(feed, panel) if panel is not None else None
        if isinstance(feed.record, Ups | Drive) and not any(
            "bypass" in one.what for one in self.ways[feed.tag]
        ):
            self.leave(feed.tag, "output", "no impedance stands for an inverter")
            return None
        return self.buses.get(way.feed)

    def run(self, way: Way, element: Element, start: Bus) -> Segment | NoValue:
        there = replace(
            element,
            poles=len(start.legs),
            conductors=way.conductors,
            conductors_of=way.conductors_of,
        )
        return segment(there, self.temperature_c)

    @cached_property
    def ways(self) -> Mapping[str, tuple[Way, ...]]:
        return feed_ways(self.distribution)

    def leave(self, tag: str, key: str, why: str) -> None:
        self.left_out[Need(tag, key, why)] = None

    def name(self, tag: str) -> str:
        """Return a name for OpenDSS, which knows no case and few signs; each tag has its own."""
        if tag not in self.names:
            plain = re.sub(r"[^a-z0-9_-]", "_", tag.lower())
            found, number = plain, 2
            while found in self.taken_names:
                found, number = f"{plain}_{number}", number + 1
            self.names[tag] = found
            self.taken_names.add(found)
        return self.names[tag]
