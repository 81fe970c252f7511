"""Recorded conductors against the device that protects them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from recordgen.calc.answer import Answer, Need, NoValue
from recordgen.calc.conductor_area import circular_mils
from recordgen.calc.study.conductor_set import Described, conductor_set
from recordgen.calc.study.device_verdict import Judgement, Verdict
from recordgen.calc.study.distribution import Distribution, Element
from recordgen.calc.study.edition import edition_of
from recordgen.calc.study.grounds import GroundAnswer, ground_answer
from recordgen.calc.study.protecting_device import Protection, protecting_device
from recordgen.calc.study.served_loads import also_fed, served_loads
from recordgen.network.model import building_of
from recordgen.records.parts import Conductors
from recordgen.records.supply import Circuit


@dataclass(frozen=True)
class ConductorAnswer:
    """A set of recorded conductors and the device that protects them.

    Attributes
    ----------
    tag : str
        Full tag of the record that holds the conductors.
    conductors : Conductors
    device : Protection or NoValue
    ampacity : Value or NoValue
        Allowable ampacity of all in parallel [A].
    largest_device : Value or NoValue
        Rating [A].
    verdict : Verdict
    ground : GroundAnswer
    neutral_smaller : bool or None
        Whether the neutral is smaller than the ungrounded conductors; None without both recorded.
    """

    tag: str
    conductors: Conductors
    device: Protection | NoValue
    ampacity: Answer
    largest_device: Answer
    verdict: Verdict
    ground: GroundAnswer
    neutral_smaller: bool | None


class ConductorStudy:
    """The recorded conductors of a portfolio against their devices."""

    def __init__(self, distribution: Distribution) -> None:
        self.distribution = distribution

    @cached_property
    def answers(self) -> Mapping[str, ConductorAnswer]:
        """Full tag of the record that holds conductors → its answer, feeds first."""
        return {
            element.tag: self._answer(element, element.conductors)
            for element in self.distribution.elements.values()
            if element.conductors is not None and element.conductors_of == element.tag
        }

    @cached_property
    def _also_fed(self) -> Mapping[str, tuple[str, ...]]:
        return also_fed(self.distribution)

    def of(self, tag: str) -> ConductorAnswer | NoValue:
        """Return the conductors that lead to an element, against their device.

        Parameters
        ----------
        tag : str
            Full tag of an element; of a circuit, the conductors are those that leave it.

        Returns
        -------
        ConductorAnswer or NoValue
            Those of the circuit it hangs on where it records none; NoValue where neither does.

        Raises
        ------
        KeyError
            There is no such element.

        Notes
        -----
        What is not recorded is tried in every way it may be: a verdict that holds in all of them
        stands. Assumed throughout, and listed among the inputs: 30 °C ambient where none is
        recorded, each set of conductors alone in its raceway, a neutral without harmonics.
        """
        element = self.distribution.elements[tag]
        if element.conductors is None:
            key = "feeder" if element.kind == "panel" else "conductors"
            return NoValue((Need(tag, key),))
        return self.answers[element.conductors_of]

    def _answer(self, element: Element, conductors: Conductors) -> ConductorAnswer:
        key = "feeder" if element.kind == "panel" else "conductors"
        device = protecting_device(self.distribution, element.tag)
        served = served_loads(self.distribution, self._also_fed, element.tag)
        rating_a = device.rating_a if isinstance(device, Protection) else None
        described = conductor_set(element, self._above(element), conductors, key, rating_a)
        building = building_of(element.tag)
        edition = edition_of(self.distribution.buildings[building].records.building, building)
        judged = Judgement(element, key, device, served, described, edition)
        own = bool(served.own_clauses)
        known = described.set if isinstance(described, Described) and not own else None
        return ConductorAnswer(
            tag=element.tag,
            conductors=conductors,
            device=device,
            ampacity=judged.ampacity,
            largest_device=judged.largest_device,
            verdict=judged.verdict,
            ground=ground_answer(conductors, element.tag, key, device, known),
            neutral_smaller=_neutral_smaller(conductors),
        )

    def _above(self, element: Element) -> Element:
        """Return the element whose conductors these are: a circuit's own, or the feed's."""
        if isinstance(element.record, Circuit) or element.feed is None:
            return element
        return self.distribution.elements[element.feed]


def _neutral_smaller(conductors: Conductors) -> bool | None:
    size, neutral = conductors.size, conductors.neutral
    if size is None or neutral is None:
        return None
    return circular_mils(neutral) < circular_mils(size)
