"""Whether one more load fits a panel: where, on which phases, and what everything upstream carries.

Three answers, as with all that people act on: it fits, it does not, or it is not shown, because
something that would have to be known is not recorded.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from recordgen.calc.answer import Need
from recordgen.calc.connected_load import LoadPart, phase_va
from recordgen.calc.load_rules import Edition, rule_of
from recordgen.calc.overcurrent_ratings import next_standard_a
from recordgen.calc.study.capacity import CapacityStudy
from recordgen.calc.study.distribution import Distribution, Element
from recordgen.calc.study.edition import edition_of
from recordgen.calc.study.fit_drop import FitDrop, fit_drop
from recordgen.calc.study.fit_question import CannotAsk, FitQuestion
from recordgen.calc.study.free_positions import State, free_positions, state_at
from recordgen.calc.study.loading import LoadingStudy
from recordgen.calc.study.other_states import Carrier, carriers, in_other_states
from recordgen.calc.study.phase_share import fullest_with, shares_phases, sizing_by_leg
from recordgen.calc.study.upstream import Answer, Upstream, upstream_of
from recordgen.calc.study.voltages import VoltageStudy
from recordgen.calc.unbalance import unbalance_percent
from recordgen.network.assemblies import legs_at
from recordgen.network.model import building_of
from recordgen.records.parts import Conductors
from recordgen.records.positions import Position
from recordgen.records.supply import Panel

_LETTERS: Final = ((1, "A"), (2, "B"), (4, "C"))


@dataclass(frozen=True)
class Place:
    """Positions that a device could take.

    Attributes
    ----------
    positions : str
        As people write them: "14-16-18".
    state : {"spare", "space", "not recorded"}
        What is recorded there: a device that feeds nothing, no device, or nothing at all.
    device : str
        The spare device's rating, as written; empty without one.
    device_suits : bool or None
        Whether the spare device is as large as the load asks; None without one.
    legs : str
        The phases; empty where they do not follow.
    unbalance_percent : float or None
        Of the panel's connected volt-amperes once the load hangs there [%].
    """

    positions: str
    state: State
    device: str
    device_suits: bool | None
    legs: str
    unbalance_percent: float | None


@dataclass(frozen=True)
class Fit:
    """Whether a load fits.

    Attributes
    ----------
    panel : str
        Full tag.
    load_va, poles, continuous
        As asked.
    load_a : float
        At the panel's voltage [A].
    device_a : float
        The standard rating that the load asks for at least [A].
    answer : {"fits", "does not fit", "not shown"}
    reasons : tuple of str
        Why it does not fit, or why it is not shown.
    places : tuple of Place
        The best first.
    upstream : tuple of Upstream
        From the panel to the source; then what carries it in another position of the switches.
    drop : FitDrop
        What it does to the voltage.
    """

    panel: str
    load_va: float
    poles: int
    continuous: bool
    load_a: float
    device_a: float
    answer: Answer
    reasons: tuple[str, ...]
    places: tuple[Place, ...]
    upstream: tuple[Upstream, ...]
    drop: FitDrop


class FitStudy:
    """Answers whether one more load fits."""

    def __init__(
        self,
        distribution: Distribution,
        loading: LoadingStudy,
        capacity: CapacityStudy,
        voltages: VoltageStudy,
    ) -> None:
        self.distribution = distribution
        self.loading = loading
        self.capacity = capacity
        self.voltages = voltages

    def fit(self, panel: str, question: FitQuestion, conductors: Conductors | None = None) -> Fit:
        """Return whether a load fits a panel.

        Parameters
        ----------
        panel : str
            Full tag of a panel.
        question : FitQuestion
        conductors : Conductors or None
            Of its own circuit, with their length, to know the voltage drop there too.

        Returns
        -------
        Fit

        Raises
        ------
        CannotAsk
            The panel's system is not recorded or has no such number of poles, or no edition of the
            code is recorded.

        Notes
        -----
        The load's current is that of its poles at nominal voltage; a device carries a continuous
        load at 125 % (NEC 210.20(A), 215.3). Upstream everything is reckoned anew with the load
        (NEC Article 220, category totals): what hangs there as if balanced, the new load on the
        conductors it stands on. Where the fullest phase of the panel may then be over its rating
        all the same, the answer is not shown. Where a panel has a recorded demand, NEC 220.87
        decides there and the calculated figure stands beside it. What carries the panel in another
        position of a transfer switch is asked too, with all that may be transferred to it.
        """
        element = self.panel(panel)
        edition = self._edition(panel)
        load_a = question.load_va / self.volts(element, question.poles)
        factor = rule_of("continuous load", edition).share if question.continuous else 1.0
        device_a = next_standard_a(load_a * factor, "breaker", edition)
        places = self._places(element, question, load_a * factor)
        upstream = tuple(upstream_of(self.capacity, self.ways(panel), question))
        uneven = tuple(self._uneven(element, places, upstream, question, load_a * factor))
        reasons = (*_reasons(element, question, places, upstream), *uneven)
        answer: Answer = "fits"
        if not places or any(one.answer == "does not fit" for one in upstream):
            answer = "does not fit"
        elif (
            uneven
            or any(one.answer == "not shown" for one in upstream)
            or all(place.state == "not recorded" for place in places)
        ):
            answer = "not shown"
        return Fit(
            panel=panel,
            load_va=question.load_va,
            poles=question.poles,
            continuous=question.continuous,
            load_a=load_a,
            device_a=device_a,
            answer=answer,
            reasons=reasons,
            places=places,
            upstream=upstream,
            drop=fit_drop(self.distribution, self.voltages, element, question, conductors),
        )

    @cached_property
    def elsewhere(self) -> Mapping[str, tuple[str, ...]]:
        """Element → what may hang on it in another state of the switches."""
        return in_other_states(self.distribution)

    def ways(self, panel: str) -> tuple[Carrier, ...]:
        """Return everything that carries a panel, in the normal state and in others."""
        return tuple(carriers(self.distribution, self.elsewhere, panel))

    def _uneven(
        self,
        panel: Element,
        places: tuple[Place, ...],
        upstream: tuple[Upstream, ...],
        question: FitQuestion,
        load_a: float,
    ) -> Iterator[str]:
        """Yield where the fullest phase may be too full, at the best place.

        A recorded demand that decides was one of the fullest phase. `load_a` is that of the load
        with what a device is sized for.
        """
        legs = [place.legs for place in places]
        for one in upstream:
            limit, element = one.after, self.distribution.elements[one.tag]
            if limit is None or not one.normal or not shares_phases(panel, element):
                continue
            by_demand = one.tag != panel.tag
            by_leg = sizing_by_leg(self.loading, panel, by_demand=by_demand)
            if by_leg is None or one.measured is not None:
                continue
            added = question.load_va / self.volts(panel, question.poles) if by_demand else load_a
            fullest = fullest_with(by_leg, added, legs)
            if fullest is not None and fullest > limit.rating_a:
                name = one.tag.partition(":")[2]
                yield (
                    f"{name}: up to {fullest:.0f} A on its fullest phase, "
                    f"{limit.what} {limit.written}"
                )

    def panel(self, tag: str) -> Element:
        """Return a panel by its full tag.

        Raises
        ------
        CannotAsk
            It is something else.
        """
        element = self.distribution.elements.get(tag)
        if element is None or not isinstance(element.record, Panel):
            raise CannotAsk(f"{tag.partition(':')[2]} is no panel")
        return element

    def _edition(self, panel: str) -> Edition:
        building = building_of(panel)
        edition = edition_of(self.distribution.buildings[building].records.building, building)
        if not isinstance(edition, int):
            raise CannotAsk("; ".join(map(str, edition.needs)))
        return edition

    def volts(self, panel: Element, poles: int) -> float:
        """Return the volt-amperes of one ampere on some poles of a panel [V]."""
        system = panel.system
        if system is None:
            raise CannotAsk(f"{panel.tag.partition(':')[2]}: its system is not recorded")
        most = {3: 3, 1: 2}.get(system.phases, 0)
        if not 1 <= poles <= most:
            raise CannotAsk(f"a {system} panel has no device of {poles} poles for one load")
        if poles == 3:
            return float(system.line_v * 3**0.5)
        if poles == 2:
            return system.line_v
        if system.neutral_v is None:
            raise CannotAsk(f"a {system} panel has no neutral for a load on one pole")
        return system.neutral_v

    # Where.

    def places(self, panel: str, question: FitQuestion) -> tuple[Place, ...]:
        """Return where a load could stand, the best place first.

        Raises
        ------
        CannotAsk
            As `fit`.
        """
        element = self.panel(panel)
        return self._places(
            element, question, question.load_va / self.volts(element, question.poles)
        )

    def _places(self, panel: Element, question: FitQuestion, needed_a: float) -> tuple[Place, ...]:
        record = panel.record
        assert isinstance(record, Panel)  # noqa: S101  # for mypy: `panel` has asked
        parts = self.loading.parts(panel.tag)
        found = [
            self._place(record, panel, question, position, needed_a, parts)
            for position in free_positions(record, question.poles)
        ]
        order = {"spare": 0, "space": 0, "not recorded": 1}

        def rank(place: Place) -> tuple[int, bool, float]:
            unbalance = place.unbalance_percent
            suits = place.device_suits is False
            return (order[place.state], suits, float("inf") if unbalance is None else unbalance)

        return tuple(sorted(found, key=rank))

    def _place(
        self,
        record: Panel,
        panel: Element,
        question: FitQuestion,
        position: Position,
        needed_a: float,
        parts: list[LoadPart] | None,
    ) -> Place:
        circuit = record.circuits.get(position)
        rating = circuit.device.rating_a if circuit and circuit.device else None
        legs = "".join(letter for bit, letter in _LETTERS if legs_at(record, position) & bit)
        unbalance = None
        if parts is not None and len(legs) == question.poles and panel.system is not None:
            more = LoadPart(question.load_va, legs, None)
            phases = phase_va([*parts, more], panel.system.phases)
            unbalance = unbalance_percent(list(phases.values()))
        return Place(
            positions=str(position),
            state=state_at(record, position),
            device=str(rating) if rating is not None else "",
            device_suits=None if rating is None else rating >= needed_a,
            legs=legs,
            unbalance_percent=unbalance,
        )


def _reasons(
    panel: Element, question: FitQuestion, places: tuple[Place, ...], upstream: Iterable[Upstream]
) -> Iterator[str]:
    name = panel.tag.partition(":")[2]
    if not places:
        poles = "1 pole" if question.poles == 1 else f"{question.poles} poles"
        yield f"{name} has no free place for {poles}"
    elif all(place.state == "not recorded" for place in places):
        yield f"{name}: what stands at its free positions is not recorded"
    for one in upstream:
        local = one.tag.partition(":")[2]
        if not one.normal:
            local += ", in another position of the switches"
        if one.answer == "does not fit" and one.after is not None:
            limit = one.after
            if one.measured is not None and one.measured.total_a is not None:
                yield (
                    f"{local}: {one.measured.total_a:.0f} A by its recorded demand, "
                    f"{limit.what} {limit.written}"
                )
            else:
                yield f"{local}: {limit.used_a:.0f} A of {limit.what} {limit.written}"
        elif one.answer == "not shown" and one.measured is not None:
            unmet = "; ".join(one.measured.unmet)
            yield f"{local}: its recorded demand does not decide (NEC 220.87): {unmet}"
        elif one.answer == "not shown":
            yield f"{local}: {_counted(one.needs)}"


def _counted(needs: tuple[Need, ...]) -> str:
    """Return what is missing, field by field."""
    fields: dict[str, list[Need]] = {}
    for need in needs:
        fields.setdefault(need.field, []).append(need)
    return "; ".join(
        str(found[0]) if len(found) == 1 else f"{field} of {len(found)} records not recorded"
        for field, found in fields.items()
    )
