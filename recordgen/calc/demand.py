"""Demand: what a panel or feeder is reckoned to carry, from the totals of its load categories."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, get_args

from recordgen.calc.category_total import Category, CategoryTotal, totals_together
from recordgen.calc.demand_factors import (
    Factored,
    Occupancy,
    demand_by_count,
    demand_by_steps,
    range_demand,
)
from recordgen.calc.load_rules import Edition, load_rule, rule_of

_DRIVEN: Final = frozenset({"motor", "cooling"})
"""Sized by the largest motor's quarter (430.24) and not by the continuous load's."""

_LEAST: Final = {"dryer": "least dryer", "vehicle charging": "least vehicle charger"}

_EITHER: Final[tuple[Category, ...]] = ("heating", "cooling")


@dataclass(frozen=True)
class DemandLine:
    """One line of a demand calculation.

    Attributes
    ----------
    categories : tuple of Category
        What it counts: one category, or lighting and receptacles of dwellings together.
    connected_va, counted_va : float
        As recorded, and after the least that the code counts for a piece [VA].
    demand_va : float
        After the demand factor [VA].
    continuous_va : float
        How much of the demand is sized at 125 % [VA].
    largest_motor_va : float
        The largest piece that a motor drives [VA]; 0 without one.
    rule, clause : str
        The factor in words, and where it stands.
    """

    categories: tuple[Category, ...]
    connected_va: float
    counted_va: float
    demand_va: float
    continuous_va: float
    largest_motor_va: float
    rule: str
    clause: str


@dataclass(frozen=True)
class Demand:
    """A demand calculation.

    Attributes
    ----------
    lines : tuple of DemandLine
        In order of the categories; only those with pieces.
    connected_va : float
        Sum of all connected loads [VA].
    demand_va : float
        Sum of the demands [VA], without the lines in `left_out`.
    continuous_addition_va, motor_addition_va : float
        A quarter of the continuous demand, and of the largest motor [VA].
    sizing_va : float
        What conductors and devices are sized for [VA]: the demands and both additions, without the
        lines in `sizing_left_out`.
    left_out, sizing_left_out : tuple of Category
        Which of heating and cooling is left out because the two never run together.
    not_recorded : int
        How many pieces have no load recorded; if any, every figure is "at least".
    """

    lines: tuple[DemandLine, ...]
    connected_va: float
    demand_va: float
    continuous_addition_va: float
    motor_addition_va: float
    sizing_va: float
    left_out: tuple[Category, ...]
    sizing_left_out: tuple[Category, ...]
    not_recorded: int


def demand_va(
    totals: Iterable[CategoryTotal],
    occupancy: Occupancy,
    edition: Edition,
    noncoincident: bool = False,
) -> Demand:
    """Return the demand of all loads of a panel or feeder together.

    Parameters
    ----------
    totals : iterable of CategoryTotal
        The loads [VA]. Totals of the same category are put together first, so the demand of a
        feeder comes from the totals of its panels and never from their demands.
    occupancy : {"dwelling", "hotel", "warehouse", "hospital", "other"}
        What the building is used for.
    edition : int
        Edition of the NEC in force [year], 2005 to 2023.
    noncoincident : bool
        Whether it is recorded that heating and cooling never run together.

    Returns
    -------
    Demand
        One line a category, the sums, and what conductors and devices are sized for.

    Raises
    ------
    ValueError
        The occupancy is unknown, or no table covers the edition.

    Notes
    -----
    NEC Article 220, part III, with 215.2(A)(1) and 430.24: continuous load at 125 %, the largest
    motor at 125 %, each once; motors and cooling get the second only. The examples of Annex D count
    the motor's quarter as load already; here it stands apart. A cooling unit counts as one motor, a
    little more than its compressor. Heating counts in full (220.51), vehicle charging as continuous
    (625.42), both from memory. Of heating and cooling that never run together the one that asks
    more is counted (220.60, from memory), for demand and for sizing each. Receptacles of dwellings
    are reckoned with the lighting (220.14(J), 220.52, from memory).

    Factors that would only lower the figure and could not be sourced are not used: those for
    elevators, welders and X-ray equipment, and the optional methods of part IV. Adding a load never
    lowers a figure, and none exceeds 125 % of what is counted. A screening value.

    Examples
    --------
    The store of NEC 2005, Annex D, example D3: 9,000 VA of lighting, 6,000 VA of show window and
    1,200 VA of sign, all continuous, and 80 receptacles at 180 VA; 28,400 VA:

    >>> store = demand_va(
    ...     [
    ...         CategoryTotal("lighting", (9000, 6000, 1200), 16_200, 0),
    ...         CategoryTotal("receptacle", (180,) * 80, 0, 0),
    ...     ],
    ...     "other",
    ...     2005,
    ... )
    >>> store.demand_va, store.continuous_addition_va, store.sizing_va
    (28400.0, 4050.0, 32450.0)
    """
    if occupancy not in get_args(Occupancy):
        raise ValueError(f'"{occupancy}" is no occupancy: {", ".join(get_args(Occupancy))}')
    merged = totals_together(totals)
    lines = tuple(_lines(merged, occupancy, edition))
    present = {category for line in lines for category in line.categories}
    # Each choice is what is left out; of two loads that never run together one always is.
    choices: list[tuple[Category, ...]] = [()]
    if noncoincident and present.issuperset(_EITHER):
        choices = [(category,) for category in _EITHER]
    reckoned = {left_out: _sums(lines, left_out, edition) for left_out in choices}
    left_out = max(choices, key=lambda choice: reckoned[choice][0])
    sizing_left_out = max(choices, key=lambda choice: sum(reckoned[choice]))
    _, continuous, motor = reckoned[sizing_left_out]
    return Demand(
        lines,
        sum(line.connected_va for line in lines),
        reckoned[left_out][0],
        continuous,
        motor,
        sum(reckoned[sizing_left_out]),
        left_out,
        sizing_left_out,
        sum(total.not_recorded for total in merged.values()),
    )


def _lines(
    merged: dict[Category, CategoryTotal], occupancy: Occupancy, edition: Edition
) -> Iterable[DemandLine]:
    """Yield one line a category that has pieces."""
    together: tuple[Category, ...] = ("lighting", "receptacle")
    dwelling_lighting = [merged[category] for category in together if category in merged]
    if occupancy == "dwelling" and any(total.pieces_va for total in dwelling_lighting):
        yield _line(dwelling_lighting, occupancy, edition)
    for category, total in merged.items():
        if total.pieces_va and not (occupancy == "dwelling" and category in together):
            yield _line([total], occupancy, edition)


def _line(totals: list[CategoryTotal], occupancy: Occupancy, edition: Edition) -> DemandLine:
    category = totals[0].category if len(totals) == 1 else "lighting"
    if occupancy == "dwelling" and category == "receptacle":
        category = "lighting"
    pieces = tuple(va for total in totals for va in total.pieces_va)
    counted = pieces
    if category in _LEAST and (least := load_rule(_LEAST[category], edition)):
        applies = category != "dryer" or occupancy == "dwelling"
        counted = tuple(max(va, least.value) for va in pieces) if applies else pieces
    factored = _factored(category, counted, occupancy, edition)
    continuous = sum(total.continuous_va for total in totals)
    if category == "vehicle charging":
        continuous = factored.va
    if category in _DRIVEN:
        continuous = 0.0
    return DemandLine(
        tuple(total.category for total in totals),
        sum(pieces),
        sum(counted),
        factored.va,
        min(continuous, factored.va),
        max(pieces) if category in _DRIVEN else 0.0,
        factored.rule,
        factored.clause,
    )


_IN_FULL: Final = {
    "motor": "430.24",
    "cooling": "440.33",
    "heating": "220.51",
    "vehicle charging": "220.40, 625.42",
}


def _factored(
    category: Category, counted: tuple[float, ...], occupancy: Occupancy, edition: Edition
) -> Factored:
    """Return the demand of one category; in full where the code has no factor for it."""
    dwelling = occupancy == "dwelling"
    if stepped := demand_by_steps(sum(counted), category, occupancy, edition):
        return stepped
    if category == "range" and dwelling:
        return range_demand(counted, edition)
    if category == "kitchen" and not dwelling:
        return demand_by_count(counted, category)
    if category in ("dryer", "appliance") and dwelling:
        return demand_by_count(counted, category)
    return Factored(sum(counted), "100 %", _IN_FULL.get(category, "220.40"))


def _sums(
    lines: tuple[DemandLine, ...], left_out: tuple[Category, ...], edition: Edition
) -> tuple[float, float, float]:
    """Return demand, the continuous load's quarter and the largest motor's, without some lines."""
    kept = [line for line in lines if not set(line.categories) & set(left_out)]
    continuous = rule_of("continuous load", edition).share - 1
    motor = rule_of("largest motor", edition).share - 1
    return (
        sum(line.demand_va for line in kept),
        continuous * sum(line.continuous_va for line in kept),
        motor * max((line.largest_motor_va for line in kept), default=0.0),
    )
