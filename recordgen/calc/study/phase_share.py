"""What a panel carries on each of its phases, sized as a whole panel is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from recordgen.calc.line_current import ampere_limits
from recordgen.calc.study.distribution import Element
from recordgen.calc.study.loading import LoadingStudy
from recordgen.records.supply import Panel


def sizing_by_leg(
    loading: LoadingStudy, element: Element, *, by_demand: bool = False
) -> Mapping[str, float] | None:
    """Return what the phases of a panel have to be sized for at most [A].

    Parameters
    ----------
    loading : LoadingStudy
    element : Element
        A panel.
    by_demand : bool
        Whether the demand alone counts, as against the rating of a transformer or UPS.

    Returns
    -------
    dict or None
        Leg → amperes; None where system, phases or edition do not follow from the records.

    Notes
    -----
    The connected load of each phase, its currents added as if in step, times what the whole panel
    is sized for over all of it: demand factors and additions count on every phase alike (common
    practice, a screening value).
    """
    system, panel, parts = element.system, element.record, loading.parts(element.tag)
    demand = loading.of(element.tag).demand
    if system is None or parts is None or demand is None or not isinstance(panel, Panel):
        return None
    high_leg = (panel.high_leg or "B") if system.high_leg else None
    try:
        most = ampere_limits(parts, system.line_v, system.neutral_v, system.phases, high_leg)
    except ValueError:  # a part stands on legs that the system does not have: another finding
        return None
    connected_va = sum(part.va for part in parts)
    whole_va = demand.demand_va if by_demand else demand.sizing_va
    share = whole_va / connected_va if connected_va else 0.0
    legs = {"A": most.a, "B": most.b} | ({"C": most.c} if system.phases == 3 else {})
    return {leg: amperes * share for leg, amperes in legs.items()}


def shares_phases(panel: Element, element: Element) -> bool:
    """Say whether an element carries a panel's loads on the panel's own phases: by its rating.

    The panel itself, and a transformer or UPS it hangs on: what they are rated for is rated for
    each phase alike.
    """
    return element.tag == panel.tag or (
        element.tag == panel.feed and element.kind in ("transformer", "UPS")
    )


def fullest_with(by_leg: Mapping[str, float], load_a: float, places: Iterable[str]) -> float | None:
    """Return the current of the fullest phase with a load at the best of some places [A].

    `places` are legs, like "AB"; None without any.
    """
    return min(
        (
            max(amperes + (load_a if leg in legs else 0.0) for leg, amperes in by_leg.items())
            for legs in places
            if legs
        ),
        default=None,
    )


def left_on(by_leg: Mapping[str, float], rating_a: float, poles: int, places: list[str]) -> float:
    """Return what a rating leaves on the legs of the best of some places [A].

    Without a place that has legs, on as many of the emptiest legs as there are poles. Zero where
    some phase is full.
    """
    left = {leg: rating_a - amperes for leg, amperes in by_leg.items()}
    if min(left.values()) < 0:
        return 0.0
    some = [min(left[leg] for leg in legs) for legs in places if legs]
    return max(some) if some else sorted(left.values(), reverse=True)[poles - 1]
