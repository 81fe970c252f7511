"""Voltage at every element with all recorded loads on: currents up the tree, voltages down."""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Final

from recordgen.calc.answer import Input, Need, NoValue
from recordgen.calc.study.distribution import Distribution, Element
from recordgen.calc.study.feed_ways import INVERTERS
from recordgen.calc.study.load_power import Power, power_of, share_here, stands_open
from recordgen.calc.study.loading import LoadingStudy
from recordgen.calc.study.stretch import Stretch, has_stretch
from recordgen.calc.transformer_impedance import impedance_at_angle_ohm
from recordgen.records.equipment import Transformer
from recordgen.records.supply import Source
from recordgen.records.system import NominalSystem

_ROUNDS: Final = 200
_SETTLED: Final = 1e-12  # of the nominal voltage
_COLLAPSED: Final = 0.3  # of the nominal voltage: nothing is supplied below that


@dataclass(frozen=True)
class _Node:
    """A place of one tree.

    `per_va` is None where something on the way to it is not recorded; what hangs there is then
    taken to hang on the place before it, since its voltage cannot be told.
    """

    tag: str
    feed: int | None
    ratio: float
    per_va: complex | None
    load: complex


@dataclass(frozen=True)
class Arriving:
    """What arrives at an element.

    Attributes
    ----------
    of_nominal : complex
        Voltage over the nominal one, against the source's.
    nominal_v : float
        Between lines, or to neutral at the end of a circuit of one pole [V].
    inputs : tuple of Input
    """

    of_nominal: complex
    nominal_v: float
    inputs: tuple[Input, ...]

    @property
    def volts(self) -> float:
        """Between lines, or to neutral at the end of a circuit of one pole [V]."""
        return abs(self.of_nominal) * self.nominal_v


@dataclass
class VoltageFlow:
    """A load flow of every tree of elements: balanced, loads of constant power, all of them on.

    Attributes
    ----------
    distribution : Distribution
    loading : LoadingStudy
    stretches : dict
        Element → the conductors into it, or what is missing of them; of those that have any.
    angle : float or None
        Of what has no power factor recorded [rad, lagging]; None takes the worst.

    Notes
    -----
    Backward and forward sweep (textbook method for radial networks). Each load counts as balanced
    on the phases of its system; what that leaves out, `worst_phase_percent` shows for one stretch.
    A source stands at its nominal voltage behind the impedance of its recorded fault current; a
    generator's regulator holds its terminals. A load with two feeds is on the first that is live;
    one that needs all is shared alike. UPS and drives pass voltage on as in bypass. A load without
    a power factor has the angle of all that lies between it and the source: the largest drop. No
    loss is counted in conductors that are not recorded.
    """

    distribution: Distribution
    loading: LoadingStudy
    stretches: Mapping[str, Stretch | NoValue]
    angle: float | None = None
    _trees: dict[str, dict[str, Arriving | NoValue]] = field(default_factory=dict)

    def at(self, tag: str) -> Arriving | NoValue:
        """Return what arrives at an element, by its full tag."""
        root = self._root_of[tag]
        if root not in self._trees:
            self._trees[root] = self._solved(root)
        return self._trees[root][tag]

    def loads_at(self, tag: str) -> Power:
        """Return the power that is taken at an element itself."""
        found = Power()
        for one in self.distribution.loads_at.get(tag, ()):
            size = self.loading.sizes[tag][one.tag]
            found += power_of(size).times(share_here(one, tag, self._live))
        return found

    @cached_property
    def _live(self) -> Mapping[str, bool]:
        return {tag: element.live for tag, element in self.distribution.elements.items()}

    @cached_property
    def _root_of(self) -> Mapping[str, str]:
        found: dict[str, str] = {}
        for tag, element in self.distribution.elements.items():
            found[tag] = tag if element.feed is None else found[element.feed]
        return found

    @cached_property
    def _members(self) -> Mapping[str, list[Element]]:
        """Root → the elements of its tree, feeds first."""
        found: dict[str, list[Element]] = {}
        for tag, element in self.distribution.elements.items():
            found.setdefault(self._root_of[tag], []).append(element)
        return found

    def _solved(self, root: str) -> dict[str, Arriving | NoValue]:
        members = self._members[root]
        source = _source_per_va(members[0])
        if isinstance(source, NoValue):
            return dict.fromkeys((each.tag for each in members), source)
        tree = _Tree(self, members, source)
        settled = tree.settled()
        if settled is None:
            why = "the recorded loads cannot be supplied: the voltage collapses"
            return dict.fromkeys(
                (each.tag for each in members), NoValue((Need(root, "loads", why),))
            )
        return tree.answers(settled)


def _source_per_va(element: Element) -> complex | NoValue:
    """Return a source's own drop, as a part of nominal for each volt-ampere [1/VA]."""
    record, tag = element.record, element.tag
    if not isinstance(record, Source):
        return NoValue((Need(tag, "fed_from"),))
    system = record.system
    if system is None or system.phases not in (1, 3):
        why = "direct current is not calculated" if system else ""
        return NoValue((Need(tag, "system", why),))
    if record.kind in INVERTERS:
        return NoValue((Need(tag, "kind", "an inverter's voltage is not calculated"),))
    if record.kind != "utility":
        return 0j
    given = (("available_fault_current", record.available_fault_a), ("x_over_r", record.x_over_r))
    if not record.available_fault_a or record.x_over_r is None:
        return NoValue(tuple(Need(tag, key) for key, value in given if not value))
    root = math.sqrt(3) if system.phases == 3 else 1.0
    fault_va = root * system.line_v * record.available_fault_a
    return impedance_at_angle_ohm(1 / fault_va, record.x_over_r)


class _Tree:
    """The places of one tree, feeds first, and what is missing of the way to them."""

    def __init__(self, flow: VoltageFlow, members: list[Element], source: complex) -> None:
        self._flow = flow
        self._members = members
        self._missing: dict[str, tuple[Need, ...]] = {members[0].tag: ()}
        self._nodes: list[_Node] = []
        number = {each.tag: index for index, each in enumerate(members)}
        between: list[complex] = []
        for element in members:
            feed = number[element.feed] if element.feed is not None else None
            per_va = source if feed is None else self._step(element)
            before = between[feed] if feed is not None else 0j
            between.append(before + (per_va or 0j))
            angle = cmath.phase(between[-1]) if flow.angle is None else flow.angle
            load = flow.loads_at(element.tag).at(angle)
            ratio = 1.0 if feed is None else _ratio(element, members[feed])
            self._nodes.append(_Node(element.tag, feed, ratio, per_va, load))

    def _step(self, element: Element) -> complex | None:
        """Return what lies between an element and its feed; None where that is not recorded."""
        tag = element.tag
        per_va, needs = 0j, list(self._missing[element.feed or ""])
        if stands_open(element.record):
            needs.append(Need(tag, "normal", "open: nothing arrives"))
        if has_stretch(self._flow.distribution, tag):
            stretch = self._flow.stretches[tag]
            if isinstance(stretch, NoValue):
                needs += stretch.needs
            else:
                per_va += stretch.per_va
        if isinstance(element.record, Transformer):
            record = element.record
            keys = ("rating", record.rating_va), ("impedance", record.impedance_percent)
            if record.rating_va and record.impedance_percent and record.x_over_r is not None:
                own = record.impedance_percent / 100 / record.rating_va
                per_va += impedance_at_angle_ohm(own, record.x_over_r)
            else:
                needs += [Need(tag, key) for key, value in keys if not value]
                needs += [Need(tag, "x_over_r")] if record.x_over_r is None else []
        self._missing[tag] = tuple(needs)
        return None if needs else per_va

    def settled(self) -> list[complex] | None:
        """Return the voltage of every place over its nominal one; None if there is none."""
        nodes = self._nodes
        volts = [1 + 0j] * len(nodes)
        for _ in range(_ROUNDS):
            flows = [
                (node.load / volt).conjugate() for node, volt in zip(nodes, volts, strict=True)
            ]
            for index in range(len(nodes) - 1, 0, -1):
                feed = nodes[index].feed
                if feed is not None and not stands_open(self._members[index].record):
                    flows[feed] += flows[index] * nodes[index].ratio
            moved = 0.0
            for index, node in enumerate(nodes):
                above = 1 + 0j if node.feed is None else volts[node.feed] * node.ratio
                new = above - (node.per_va or 0j) * flows[index]
                moved = max(moved, abs(new - volts[index]))
                volts[index] = new
                if abs(new) < _COLLAPSED:
                    return None
            if moved < _SETTLED:
                return volts
        return None

    def answers(self, volts: list[complex]) -> dict[str, Arriving | NoValue]:
        unrecorded = sum(node.per_va is None for node in self._nodes)
        angle = self._flow.angle
        worst = "those of the impedance up to there, the worst"
        factor = worst if angle is None else f"{math.cos(angle):.2f}"
        inputs: tuple[Input, ...] = (
            Input("loads", "all that are recorded, at once, balanced", "assumed"),
            Input("source", "at its nominal voltage without load", "assumed"),
            Input("UPS and drives", "pass the voltage on, as in bypass", "assumed"),
            Input("power factors not recorded", factor, "assumed"),
        )
        if unrecorded:
            what = f"none, at {unrecorded} places"
            inputs += (Input("losses in conductors not recorded", what, "assumed"),)
        found: dict[str, Arriving | NoValue] = {}
        for element, volt in zip(self._members, volts, strict=True):
            nominal_v = handed_v(element)
            needs = self._missing[element.tag]
            if not needs and nominal_v is None:
                needs = (Need(element.tag, "system"),)
            if needs or nominal_v is None:
                found[element.tag] = NoValue(tuple(dict.fromkeys(needs)))
            else:
                found[element.tag] = Arriving(volt, nominal_v, inputs)
        return found


def handed_v(element: Element) -> float | None:
    """Return the nominal voltage that an element hands on [V]; None where not recorded.

    To neutral where it hands on one pole.
    """
    system: NominalSystem | None = element.system
    if system is None or element.poles is None:
        return None
    return system.neutral_v if element.poles == 1 else system.line_v


def _ratio(element: Element, feed: Element) -> float:
    """Return nominal volts of the feed over those of what stands on it; 1 where they are one.

    A panel or transformer may be recorded for other volts than those that feed it.
    """
    record = element.record
    before = handed_v(feed)
    if isinstance(record, Transformer):
        own = record.primary.line_v if record.primary else None
    else:
        own = handed_v(element) if element.kind == "panel" else None
    return before / own if before and own else 1.0
