"""How full an element is: what it carries against each rating that limits it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from recordgen.calc.answer import Need
from recordgen.calc.category_total import CategoryTotal
from recordgen.calc.existing_load import ExistingLoad, MeasuredDemand, existing_load
from recordgen.calc.spare_capacity import percent_used
from recordgen.calc.study.distribution import Distribution, Element
from recordgen.calc.study.edition import edition_of
from recordgen.calc.study.loading import Loading, LoadingStudy, volts_a_phase
from recordgen.network.model import building_of
from recordgen.records.equipment import Disconnect, TransferSwitch, Transformer, Ups
from recordgen.records.quantities import Quantity
from recordgen.records.supply import Circuit, Panel, Source

RATED: Final = frozenset(
    {"panel", "circuit", "transformer", "transfer switch", "disconnect", "UPS"}
)
"""What has a rating that limits it; a gutter, a starter or a drive is sized with its load."""


@dataclass(frozen=True)
class Limit:
    """A rating that limits an element, and how much of it is used.

    Attributes
    ----------
    what : str
        "main device", "bus", "device", "transformer" and so on.
    rating_a : float
        [A]; of transformer and UPS at their output voltage.
    written : str
        The rating as recorded.
    used_a : float
        What counts against it [A]: what conductors and devices are sized for; for transformer and
        UPS the demand.
    percent : float
        Used of the rating [%].
    """

    what: str
    rating_a: float
    written: str
    used_a: float
    percent: float

    @property
    def left_a(self) -> float:
        """What is left of the rating [A]; below zero where it is exceeded."""
        return self.rating_a - self.used_a


@dataclass(frozen=True)
class Capacity:
    """How full an element is.

    Attributes
    ----------
    tag : str
    loading : Loading
    limits : tuple of Limit
        The fullest first.
    measured : ExistingLoad or None
        By the demand that was recorded there (NEC 220.87), against the lowest of the limits; None
        where none is recorded. A measured demand says more than a calculated one.
    needs : tuple of Need
        What is not recorded: with any, more may be used than is said.
    """

    tag: str
    loading: Loading
    limits: tuple[Limit, ...]
    measured: ExistingLoad | None
    needs: tuple[Need, ...]

    @property
    def governing(self) -> Limit | None:
        """The fullest limit."""
        return self.limits[0] if self.limits else None


class CapacityStudy:
    """How full every element is."""

    def __init__(self, distribution: Distribution, loading: LoadingStudy) -> None:
        self.distribution = distribution
        self.loading = loading
        self._found: dict[str, Capacity] = {}

    def of(self, tag: str) -> Capacity:
        """Return how full an element is.

        Raises
        ------
        KeyError
            There is no such element.
        """
        if tag not in self._found:
            self._found[tag] = self._capacity(tag, self.loading.of(tag), 0.0)
        return self._found[tag]

    def with_more(self, tag: str, more: Iterable[CategoryTotal], uneven_a: float = 0.0) -> Capacity:
        """Return how full an element would be with some loads more.

        `uneven_a` is what they draw on some conductors beyond their share of a balanced load [A].
        """
        totals = list(more)
        loading = self.loading.with_more(tag, totals)
        before = self.loading.of(tag)
        added = 0.0
        if loading.sizing_a is not None and before.sizing_a is not None:
            added = loading.sizing_a - before.sizing_a + uneven_a
        return self._capacity(tag, loading, added, uneven_a)

    def _capacity(
        self, tag: str, loading: Loading, added_a: float, uneven_a: float = 0.0
    ) -> Capacity:
        element = self.distribution.elements[tag]
        limits, needs = [], list(loading.needs)
        for what, rating_a, written, by_demand in ratings(element):
            used = loading.demand_a if by_demand else loading.sizing_a
            if used is not None:
                used += uneven_a
                percent = percent_used(used, rating_a)
                limits.append(Limit(what, rating_a, written, used, percent))
        if not ratings(element) and (element.kind in RATED or generates(element)):
            needs.append(Need(tag, _rating_key(element)))
        limits.sort(key=lambda limit: -limit.percent)
        return Capacity(
            tag=tag,
            loading=loading,
            limits=tuple(limits),
            measured=self._measured(element, limits, added_a),
            needs=tuple(dict.fromkeys(needs)),
        )

    def _measured(
        self, element: Element, limits: list[Limit], added_a: float
    ) -> ExistingLoad | None:
        """Return what a recorded demand says of an element, with a load more."""
        record = element.record
        per_ampere = volts_a_phase(element)
        if not isinstance(record, Panel) or record.recorded_demand is None or per_ampere is None:
            return None
        building = building_of(element.tag)
        edition = edition_of(self.distribution.buildings[building].records.building, building)
        if not isinstance(edition, int):
            return None
        demand = record.recorded_demand
        known = MeasuredDemand(
            demand_a=demand.demand_va / per_ampere,
            days=(demand.last_day - demand.first_day).days + 1,
            without_gaps=demand.without_gaps,
            interval_min=demand.interval_min,
            heaviest_phase=demand.heaviest_phase,
            occupied=demand.occupied,
            season_counted=demand.season_counted,
            own_generation=demand.own_generation,
        )
        capacity = min((limit.rating_a for limit in limits), default=None)
        return existing_load(known, added_a, capacity, True if limits else None, edition)


def generates(element: Element) -> bool:
    """Say whether an element is a source whose rating limits what it carries.

    The rating of the utility's transformer is the utility's matter, and inverters feed beside it.
    """
    record = element.record
    return isinstance(record, Source) and record.kind in ("generator", "generator inlet")


def ratings(element: Element) -> list[tuple[str, float, str, bool]]:
    """Return what limits an element: what, rating [A], as written, whether demand counts.

    Demand counts for what is rated in volt-amperes; for devices, buses and conductors what they are
    sized for, with continuous load and largest motor at 125 %.
    """
    record = element.record
    found: list[tuple[str, Quantity | None]] = []
    if isinstance(record, Panel):
        main = record.main_device
        found = [("main device", main.rating_a if main else None), ("bus", record.bus_rating_a)]
    elif isinstance(record, Circuit):
        found = [("device", record.device.rating_a if record.device else None)]
    elif isinstance(record, TransferSwitch):
        found = [("transfer switch", record.rating_a)]
    elif isinstance(record, Disconnect):
        found = [("switch", record.rating_a), ("fuses", record.fuse_a)]
    elif isinstance(record, Transformer | Ups) or (
        isinstance(record, Source) and generates(element)
    ):
        per_ampere = volts_a_phase(element)
        if record.rating_va is None or per_ampere is None:
            return []
        amperes = record.rating_va / per_ampere
        what = record.kind if isinstance(record, Source) else element.kind
        return [(what, amperes, f"{record.rating_va}, {amperes:.0f} A", True)]
    return [(what, float(each), str(each), False) for what, each in found if each is not None]


def _rating_key(element: Element) -> str:
    return {"panel": "main, or bus_rating", "circuit": "device: rating"}.get(element.kind, "rating")
