"""What hangs on every element: connected load, demand, current, and how full it is.

Sums go from the loads up. A load with several feeds counts once in what feeds it in common. Where
one feed is enough, it counts in full on each: each must be able to carry it alone. Where it needs
all, legs of one panel share it evenly, and what other feeds carry of it is not known.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Final, Literal

from recordgen.calc.answer import Need, NoValue
from recordgen.calc.category_total import Category, CategoryTotal, totals_together
from recordgen.calc.connected_load import LoadPart
from recordgen.calc.demand import Demand, demand_va
from recordgen.calc.study.distribution import Distribution, Element, LoadAt
from recordgen.calc.study.edition import edition_of
from recordgen.calc.study.load_size import LoadSize, load_size
from recordgen.network.model import building_of
from recordgen.records.supply import Circuit
from recordgen.records.system import NominalSystem

_ALL: Final = "ABC"


@dataclass(frozen=True)
class SharedLoad:
    """A load with several feeds, below an element.

    Attributes
    ----------
    size : LoadSize
        Of the whole load.
    below, feeds : int
        How many of its feeds hang below the element, and how many it has.
    divides : {"not", "evenly", "unknown"}
        Whether each feed carries all of it (one is enough), its part of legs that meet in the load,
        or a part that nobody has recorded.
    """

    size: LoadSize
    below: int
    feeds: int
    divides: Literal["not", "evenly", "unknown"]

    @property
    def share(self) -> float | None:
        """How much of the load the element carries; None where that is not recorded."""
        if self.divides == "not" or self.below == self.feeds:
            return 1.0
        return self.below / self.feeds if self.divides == "evenly" else None


@dataclass(frozen=True)
class Carried:
    """The loads below an element.

    Attributes
    ----------
    totals : dict
        Category → its total, of loads with one feed.
    shared : dict
        Full tag → a load with several feeds.
    watts_only_w : float
        How much of it is counted by watts, since no power factor is recorded [W].
    missing : tuple of Need
        What is not recorded of the loads below.
    """

    totals: dict[Category, CategoryTotal] = field(default_factory=dict)
    shared: dict[str, SharedLoad] = field(default_factory=dict)
    watts_only_w: float = 0.0
    missing: tuple[Need, ...] = ()

    @cached_property
    def needs(self) -> tuple[Need, ...]:
        """What is not recorded and therefore not in it."""
        why = "how much of it each of its feeds carries is not recorded"
        parts = [tag for tag, one in self.shared.items() if one.share is None]
        return (*self.missing, *(Need(tag, "power", why) for tag in parts))

    @cached_property
    def together(self) -> dict[Category, CategoryTotal]:
        """Category → its total, of all loads."""
        shared = [_total(one.size.of_which(one.share)) for one in self.shared.values() if one.share]
        return totals_together([*self.totals.values(), *shared])

    @property
    def connected_va(self) -> float:
        """The sum of what is recorded [VA]."""
        return sum(total.connected_va for total in self.together.values())

    @property
    def pieces(self) -> int:
        """How many pieces are counted."""
        return sum(len(total.pieces_va) for total in self.together.values())


@dataclass(frozen=True)
class Loading:
    """How much an element carries.

    Attributes
    ----------
    carried : Carried
    demand : Demand or None
        None where the edition of the code is not recorded.
    demand_a, sizing_a : float or None
        Of the demand, and of what conductors and devices are sized for [A]; balanced. None where
        the system is not recorded.
    needs : tuple of Need
        What is not recorded: with any, every figure is "at least".
    """

    carried: Carried
    demand: Demand | None
    demand_a: float | None
    sizing_a: float | None
    needs: tuple[Need, ...]


class LoadingStudy:
    """The loads below every element of a portfolio."""

    def __init__(self, distribution: Distribution) -> None:
        self.distribution = distribution
        self._loading: dict[str, Loading] = {}

    @cached_property
    def sizes(self) -> Mapping[str, Mapping[str, LoadSize]]:
        """Element → load there → its size as seen from that feed."""
        return {
            feed: {one.tag: self._size(self.distribution.elements[feed], one) for one in loads}
            for feed, loads in self.distribution.loads_at.items()
        }

    def _size(self, feed: Element, one: LoadAt) -> LoadSize:
        return load_size(one.tag, one.load, feed.system, self._poles(feed, one))

    def _poles(self, feed: Element, one: LoadAt) -> int | None:
        """Return the ungrounded conductors that a load stands on, all its legs together."""
        if one.load.needs == "all" and len(one.feeds) > 1:
            legs = {leg for each in one.feeds for leg in self.distribution.elements[each].legs}
            return len(legs) or None
        return feed.poles

    @cached_property
    def carried(self) -> Mapping[str, Carried]:
        """Element → the loads below it, in the normal state."""
        found: dict[str, Carried] = {}
        below = self.distribution.below
        for element in self.distribution.from_loads_up():
            parts = [found[tag] for tag in below[element.tag] if self._stands(tag)]
            found[element.tag] = self._sum(element, parts)
        return found

    def _stands(self, tag: str) -> bool:
        """Say whether an element hangs on its feed through a closed device."""
        record = self.distribution.elements[tag].record
        return not (isinstance(record, Circuit) and record.normal == "open")

    def _sum(self, element: Element, parts: list[Carried]) -> Carried:
        own = self.sizes.get(element.tag, {})
        several = {one.tag: one for one in self._at(element) if len(one.feeds) > 1}
        alone = [_total(size) for tag, size in own.items() if tag not in several]
        needs = [need for size in own.values() for need in size.needs]
        needs += self._unknown(element)
        shared = {
            tag: SharedLoad(own[tag], 1, len(one.feeds), self._divides(one))
            for tag, one in several.items()
        }
        for part in parts:
            for tag, one in part.shared.items():
                below = one.below + (shared[tag].below if tag in shared else 0)
                shared[tag] = replace(one, below=below)
        return Carried(
            totals=totals_together([*alone, *(t for part in parts for t in part.totals.values())]),
            shared=shared,
            watts_only_w=sum(size.va or 0.0 for size in own.values() if size.watts_only)
            + sum(part.watts_only_w for part in parts),
            missing=tuple(dict.fromkeys([*needs, *(n for part in parts for n in part.missing)])),
        )

    def _divides(self, one: LoadAt) -> Literal["not", "evenly", "unknown"]:
        if one.load.needs != "all":
            return "not"
        together = self.distribution.network.loads[one.tag].legs_together
        return "evenly" if together else "unknown"

    def _at(self, element: Element) -> Iterable[LoadAt]:
        return self.distribution.loads_at.get(element.tag, ())

    def _unknown(self, element: Element) -> list[Need]:
        unknown = self.distribution.network.unknown_load_circuits
        return [Need(element.tag, "loads")] if element.tag in unknown else []

    def of(self, tag: str) -> Loading:
        """Return how much an element carries.

        Parameters
        ----------
        tag : str
            Full tag of an element.

        Returns
        -------
        Loading

        Raises
        ------
        KeyError
            There is no such element.

        Notes
        -----
        Demand of NEC Article 220 on the category totals of everything below. Currents are those of
        a balanced load at nominal voltage. Where the building's occupancy is not recorded, the
        factors for other than dwellings are used: they are not the lower ones. Heating and cooling
        count as running together unless it is recorded that they never do (NEC 220.60).
        """
        if tag not in self._loading:
            self._loading[tag] = self.with_more(tag, ())
        return self._loading[tag]

    def with_more(self, tag: str, more: Iterable[CategoryTotal]) -> Loading:
        """Return how much an element would carry with some loads more."""
        element = self.distribution.elements[tag]
        carried = self.carried[tag]
        totals = [*carried.together.values(), *more]
        needs = list(carried.needs)
        reckoned = self.demand(building_of(tag), totals)
        demand = reckoned if isinstance(reckoned, Demand) else None
        needs += reckoned.needs if isinstance(reckoned, NoValue) else ()
        if element.system is None:
            needs.append(Need(tag, "system"))
        per_ampere = volts_a_phase(element)
        return Loading(
            carried=carried,
            demand=demand,
            demand_a=demand.demand_va / per_ampere if demand and per_ampere else None,
            sizing_a=demand.sizing_va / per_ampere if demand and per_ampere else None,
            needs=tuple(dict.fromkeys(needs)),
        )

    def demand(self, building: str, totals: Iterable[CategoryTotal]) -> Demand | NoValue:
        """Return the demand of some loads by the code that a building's record names.

        NoValue where it names none.
        """
        record = self.distribution.buildings[building].records.building
        edition = edition_of(record, building)
        if isinstance(edition, NoValue):
            return edition
        apart = record.heating_with_cooling is False
        return demand_va(totals, record.occupancy or "other", edition, apart)

    # By phase.

    def parts(self, tag: str) -> list[LoadPart] | None:
        """Return the loads of a panel by phase, at its own voltage.

        What hangs behind a transformer or on another system counts as one balanced load on the
        phases of its circuit.

        Returns
        -------
        list of LoadPart or None
            None where the panel's system, or the phases of a loaded circuit, are not recorded.
        """
        element = self.distribution.elements[tag]
        if element.system is None or element.system.phases not in (1, 3):
            return None
        found: list[LoadPart] = []
        for circuit in self.distribution.below[tag]:
            if not self._stands(circuit) or not self.carried[circuit].pieces:
                continue
            parts = self._of_circuit(self.distribution.elements[circuit], element.system)
            if parts is None:
                return None
            found += parts
        return found

    def _of_circuit(self, circuit: Element, system: NominalSystem) -> list[LoadPart] | None:
        if not circuit.legs:
            return None
        panels = [
            each
            for each in self.distribution.below[circuit.tag]
            if self.distribution.elements[each].kind == "panel"
            and self.distribution.elements[each].system == system
            and circuit.legs == _ALL
        ]
        found: list[LoadPart] = []
        for panel in panels:
            parts = self.parts(panel)
            if parts is None:
                return None
            found += parts
        rest = [tag for tag in self.distribution.below[circuit.tag] if tag not in panels]
        va = sum(self.carried[tag].connected_va for tag in rest)
        if va:
            found.append(LoadPart(va, circuit.legs, None))
        for size in self.sizes.get(circuit.tag, {}).values():
            if size.va:
                found.append(self._part(size, circuit))
        return found

    def _part(self, size: LoadSize, circuit: Element) -> LoadPart:
        feeds = self.distribution.buildings[building_of(size.tag)].loads
        load = feeds[size.tag.partition(":")[2]].load
        system = circuit.system
        to_neutral = (
            len(circuit.legs) == 2
            and system is not None
            and system.neutral_v is not None
            and load.voltage_v == system.neutral_v
        )
        va = size.va or 0.0
        if load.needs == "all":
            va /= max(1, len(self.distribution.network.loads[size.tag].circuits))
        return LoadPart(va, circuit.legs, size.power_factor, to_neutral=to_neutral)


def volts_a_phase(element: Element) -> float | None:
    """Return the volt-amperes that one balanced ampere makes [V]; None where not recorded.

    √3 times the line voltage for three conductors, the line voltage for two, the voltage to neutral
    for one: by definition.
    """
    system = element.system
    if system is None or element.poles is None:
        return None
    if element.poles == 3:
        return math.sqrt(3) * system.line_v
    return system.line_v if element.poles == 2 else system.neutral_v


def _total(size: LoadSize) -> CategoryTotal:
    if size.piece_va is None:
        return CategoryTotal(size.category, (), 0.0, size.quantity)
    pieces = (size.piece_va,) * size.quantity
    continuous = sum(pieces) if size.counts_continuous else 0.0
    return CategoryTotal(size.category, pieces, continuous, 0)
