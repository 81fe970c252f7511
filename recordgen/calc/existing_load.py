"""Existing load: whether a measured feeder or service can take more."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import Literal

from recordgen.calc.load_rules import Edition, rule_of


@dataclass(frozen=True)
class MeteredDemand:
    """The highest demand of a meter that registers demand.

    Attributes
    ----------
    demand_a : float or None
        Highest demand [A]; None where it is not recorded, as for the others.
    months : float or None
        How many months the data cover.
    """

    demand_a: float | None
    months: float | None


@dataclass(frozen=True)
class MeasuredDemand:
    """The highest demand that a recording instrument showed on the feeder or service.

    Attributes
    ----------
    demand_a : float or None
        Highest average over an interval [A]; None where it is not recorded, as for the others.
    days : float or None
        How long it was recorded.
    without_gaps : bool or None
        Whether it was recorded all that time.
    interval_min : float or None
        Over how long readings were averaged [min].
    heaviest_phase : bool or None
        Whether the most heavily loaded phase was recorded.
    occupied : bool or None
        Whether the building was in use throughout.
    season_counted : bool or None
        Whether the larger of heating and cooling, and other loads that come and go with the
        seasons, are in the figure, measured or calculated.
    own_generation : bool or None
        Whether renewable sources or peak shaving work on this feeder or service.
    """

    demand_a: float | None
    days: float | None
    without_gaps: bool | None
    interval_min: float | None
    heaviest_phase: bool | None
    occupied: bool | None
    season_counted: bool | None
    own_generation: bool | None


@dataclass(frozen=True)
class ExistingLoad:
    """Whether a new load fits.

    Attributes
    ----------
    answer : {"yes", "no", "not shown"}
        `no`: the sum exceeds the capacity. `not shown`: it does not, but a condition is not met or
        something is not recorded.
    existing_a : float or None
        The existing demand at 125 % [A].
    total_a : float or None
        With the new load [A].
    left_a : float or None
        Capacity less total [A]; below zero where it does not fit.
    unmet : tuple of str
        Each condition that is not met or not recorded, in words.
    """

    answer: Literal["yes", "no", "not shown"]
    existing_a: float | None
    total_a: float | None
    left_a: float | None
    unmet: tuple[str, ...]


def existing_load(
    known: MeteredDemand | MeasuredDemand,
    new_a: float | None,
    capacity_a: float | None,
    protected: bool | None,
    edition: Edition,
) -> ExistingLoad:
    """Return whether a measured feeder or service can take a new load.

    Parameters
    ----------
    known : MeteredDemand or MeasuredDemand
        What is known of the demand so far.
    new_a : float or None
        The new load [A], calculated; None where it is not recorded.
    capacity_a : float or None
        Ampacity of the feeder, or rating of the service [A].
    protected : bool or None
        Whether the feeder has overcurrent protection, or the service overload protection.
    edition : int
        Edition of the NEC in force [year], 2005 to 2023.

    Returns
    -------
    ExistingLoad
        The answer, its figures and the conditions that are not met.

    Raises
    ------
    ValueError
        A current or a time is below zero, or no table covers the edition.

    Notes
    -----
    NEC 220.87 (from memory): 125 % of the highest demand of a year, or of 30 days of recording in
    15-minute averages on the heaviest phase where there are no data of a year, and the new load,
    are no more than the capacity; 240.4 and 230.90 for the protection. That recordings do not
    count with renewable sources or peak shaving is of 2017 and later, and here asked in every
    edition. A demand that was seen is real: where it alone is too much, the answer is "no" even
    if the recording was too short.

    Examples
    --------
    >>> existing_load(MeteredDemand(140, 12), 20, 200, True, 2020)
    ExistingLoad(answer='yes', existing_a=175.0, total_a=195.0, left_a=5.0, unmet=())
    >>> existing_load(MeteredDemand(140, 7), 20, 200, True, 2020).unmet
    ('data of 7 months, 12 are asked for',)
    """
    for value in (known.demand_a, new_a, capacity_a):
        if value is not None and (not isfinite(value) or value < 0):
            raise ValueError(f"{value} A: currents are zero or more here")
    factor = rule_of("existing demand", edition).share
    unmet = _missing(known.demand_a, new_a, capacity_a)
    if isinstance(known, MeteredDemand):
        unmet += _amount(
            known.months, "data of", rule_of("metered months", edition).value, "months"
        )
    else:
        unmet += _recording_unmet(known, edition)
    unmet += _asked(protected, "overcurrent or overload protection")
    existing = None if known.demand_a is None else factor * known.demand_a
    total = None if existing is None or new_a is None else existing + new_a
    left = None if total is None or capacity_a is None else capacity_a - total
    answer: Literal["yes", "no", "not shown"] = "not shown" if unmet else "yes"
    if left is not None and left < 0:
        answer = "no"
    return ExistingLoad(answer, existing, total, left, tuple(unmet))


def _recording_unmet(known: MeasuredDemand, edition: Edition) -> list[str]:
    longest = rule_of("averaging interval", edition).value
    unmet = _amount(known.days, "recorded for", rule_of("recording days", edition).value, "days")
    unmet += _asked(known.without_gaps, "recorded without gaps")
    if known.interval_min is None:
        unmet.append("averaging interval: not recorded")
    elif not 0 < known.interval_min <= longest:
        unmet.append(f"averaged over {known.interval_min:g} minutes, {longest:g} are asked for")
    unmet += _asked(known.heaviest_phase, "most heavily loaded phase recorded")
    unmet += _asked(known.occupied, "building in use while recorded")
    unmet += _asked(known.season_counted, "seasonal loads counted")
    if known.own_generation is None:
        unmet.append("whether a renewable source or peak shaving works behind it: not recorded")
    elif known.own_generation:
        unmet.append("recorded with a renewable source or peak shaving behind it")
    return unmet


def _missing(demand_a: float | None, new_a: float | None, capacity_a: float | None) -> list[str]:
    named = {"highest demand": demand_a, "new load": new_a, "capacity": capacity_a}
    return [f"{name}: not recorded" for name, value in named.items() if value is None]


def _asked(met: bool | None, what: str) -> list[str]:
    if met is None:
        return [f"{what}: not recorded"]
    return [] if met else [f"{what}: not so"]


def _amount(value: float | None, what: str, least: float, unit: str) -> list[str]:
    if value is None:
        return [f"how many {unit} it covers: not recorded"]
    if not isfinite(value) or value < 0:
        raise ValueError(f"{value} {unit}: it has to be zero or more")
    return [] if value >= least else [f"{what} {value:g} {unit}, {least:g} are asked for"]
