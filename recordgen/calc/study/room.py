"""How much more a panel could take: the largest load of one, two or three poles, and where."""

from __future__ import annotations

from dataclasses import dataclass

from recordgen.calc.answer import Need
from recordgen.calc.study.capacity import Capacity, CapacityStudy, Limit
from recordgen.calc.study.distribution import Element
from recordgen.calc.study.fit import FitStudy, Place
from recordgen.calc.study.fit_question import CannotAsk, FitQuestion
from recordgen.calc.study.load_size import POWER_FACTOR
from recordgen.calc.study.other_states import Carrier
from recordgen.calc.study.phase_share import left_on, shares_phases, sizing_by_leg
from recordgen.calc.study.upstream import filled, limits_in, volts_of_poles

_SMALL_VA = 1.0
"""A load that changes no balance: it asks for places only."""


@dataclass(frozen=True)
class Room:
    """How much more a panel could take on some poles.

    Attributes
    ----------
    poles : int
    places : tuple of Place
        The best first; balanced as if the load were small.
    largest_va : float or None
        The largest load that is not continuous and has no demand factor [VA]; zero where something
        is full; None where a rating on the way is not recorded.
    largest_a : float or None
        The same at the panel's voltage [A].
    limited_by : str
        Full tag of what is full first, or of what has no rating recorded.
    limit : Limit or None
        Its rating.
    needs : tuple of Need
        What is not recorded on the way: with any, it may be less.
    normal : bool
        Whether it is full first in the normal state, or in another position of the switches.
    """

    poles: int
    places: tuple[Place, ...]
    largest_va: float | None
    largest_a: float | None
    limited_by: str
    limit: Limit | None
    needs: tuple[Need, ...]
    normal: bool = True


class RoomStudy:
    """Answers how much more a panel could take."""

    def __init__(self, capacity: CapacityStudy, fits: FitStudy) -> None:
        self.capacity = capacity
        self.fits = fits

    def of(self, panel: str) -> tuple[Room, ...]:
        """Return how much more a panel could take on one, two and three poles.

        Parameters
        ----------
        panel : str
            Full tag.

        Returns
        -------
        tuple of Room
            For the numbers of poles that the panel has a use for; empty where its system or the
            edition of the code is not recorded.

        Notes
        -----
        What hangs on everything upstream counts as if balanced, the new load on the conductors it
        stands on; a recorded demand at 125 % counts where it is larger than what is calculated
        (NEC 220.87). So does what carries the panel in another position of a transfer switch, with
        all that may be transferred to it. A screening value: it says where to look, `fit` answers
        for one load.
        """
        element = self.fits.panel(panel)
        found = []
        for poles in (1, 2, 3):
            try:
                places = self.fits.places(panel, FitQuestion(_SMALL_VA, poles))
                volts = self.fits.volts(element, poles)
            except CannotAsk:
                continue
            found.append(self._room(element, poles, places, volts))
        return tuple(found)

    def _room(self, panel: Element, poles: int, places: tuple[Place, ...], volts: float) -> Room:
        least: tuple[float, Carrier, Limit] | None = None
        needs: dict[Need, None] = {}
        for carrier in self.fits.ways(panel.tag):
            if not limits_in(carrier):
                continue
            element, capacity = carrier.element, filled(self.capacity, carrier)
            needs |= dict.fromkeys(n for n in capacity.needs if n.field != POWER_FACTOR)
            own = volts_of_poles(element, poles)
            limit = capacity.governing
            if limit is None or own is None:
                normal = carrier.normal
                return Room(poles, places, None, None, element.tag, None, tuple(needs), normal)
            left = max(0.0, self._left_a(panel, carrier, capacity, limit, poles, places)) * own
            if least is None or left < least[0]:
                least = (left, carrier, limit)
        if least is None:
            return Room(poles, places, None, None, panel.tag, None, tuple(needs))
        va, fullest, limit = least
        tag, normal = fullest.element.tag, fullest.normal
        return Room(poles, places, va, va / volts, tag, limit, tuple(needs), normal)

    def _left_a(
        self,
        panel: Element,
        carrier: Carrier,
        capacity: Capacity,
        limit: Limit,
        poles: int,
        places: tuple[Place, ...],
    ) -> float:
        """Return what a rating leaves [A]: by a recorded demand too, and by phase on the panel."""
        left, measured = limit.left_a, capacity.measured
        if measured is not None and measured.left_a is not None:
            left = min(left, measured.left_a)
        if not carrier.normal or not shares_phases(panel, carrier.element):
            return left
        by_demand = carrier.element.tag != panel.tag
        by_leg = sizing_by_leg(self.fits.loading, panel, by_demand=by_demand)
        if by_leg is None:
            return left
        return min(left, left_on(by_leg, limit.rating_a, poles, [place.legs for place in places]))
