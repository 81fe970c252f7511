"""Demand factors: what a category's connected load counts, by steps of VA or by pieces."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from math import floor, inf
from typing import Final, Literal

from recordgen.calc.load_rules import rule_of
from recordgen.calc.published import rows

Occupancy = Literal["dwelling", "hotel", "warehouse", "hospital", "other"]

_VA_IN_KVA: Final = 1000.0


@dataclass(frozen=True)
class Factored:
    """A load after its demand factor.

    Attributes
    ----------
    va : float
        Demand [VA].
    rule : str
        The factor in words.
    clause : str
        Where it stands in the NEC.
    """

    va: float
    rule: str
    clause: str


def demand_by_steps(
    connected_va: float, category: str, occupancy: str, edition: int
) -> Factored | None:
    """Return the demand of lighting or receptacles; None where no table is for that occupancy.

    Parameters
    ----------
    connected_va : float
        Connected load of the whole category [VA].
    category : {"lighting", "receptacle"}
        What the load is.
    occupancy : {"dwelling", "hotel", "warehouse", "hospital", "other"}
        What the building is used for.
    edition : int
        Edition of the NEC [year], 2005 to 2023.

    Notes
    -----
    NEC Table 220.42 (2023: 220.45) and 220.44 (2023: 220.47). Dwelling, warehouse, all others and
    hotel to 2017 were read on public pages, the hotel factors from 2020 are from memory. For
    hospitals the pages and memory disagree on the factors of 2017 and before, and later editions
    have none: they count in full, the safe side. The hotel factors are not meant for rooms where
    all lighting is likely used at once, such as ballrooms: such lighting is an "other" load.

    Examples
    --------
    Receptacles of a store, 14,400 VA (NEC 2005, Annex D, example D3: 12,200 VA):

    >>> demand_by_steps(14_400, "receptacle", "other", 2005)
    Factored(va=12200.0, rule='10,000 VA at 100 %, the rest at 50 %', clause='220.44')
    """
    steps = _steps(category, occupancy, edition)
    if not steps:
        return None
    total, below, words = 0.0, 0.0, []
    for up_to, percent, _ in steps:
        total += max(0.0, min(connected_va, up_to) - below) * percent / 100
        width = "the rest" if up_to == inf else f"{up_to - below:,.0f} VA"
        words.append(f"{width} at {percent:g} %")
        below = up_to
    rule = ", ".join(words) if len(steps) > 1 else f"{steps[0][1]:g} %"
    return Factored(total, rule, steps[0][2])


@cache
def _steps(category: str, occupancy: str, edition: int) -> tuple[tuple[float, float, str], ...]:
    """Return up to which VA, at how many percent, by which clause; in ascending order."""
    return tuple(
        (float(row["up_to_va"] or inf), float(row["factor_percent"]), row["clause"])
        for row in rows("demand_steps")
        if (row["category"], row["occupancy"]) == (category, occupancy)
        and int(row["edition_from"]) <= edition <= int(row["edition_to"])
    )


def demand_by_count(pieces_va: Sequence[float], category: str) -> Factored:
    """Return the demand of pieces whose factor falls with their number.

    Parameters
    ----------
    pieces_va : sequence of float
        The load of each piece [VA].
    category : {"kitchen", "dryer", "appliance"}
        Kitchen equipment other than in dwellings; clothes dryers and fastened appliances of
        dwellings.

    Notes
    -----
    NEC Table 220.56, Table 220.54 and 220.53, alike from 2005 to 2023; dryers were read, the other
    two are from memory. The factor applies to the sum of all pieces, but the demand is never less
    than what the largest of them would need without the others. For kitchens the two largest are
    the floor of 220.56 itself. The tables alone would let the demand fall when a small piece is
    added at the edge of a step; this way it never does, and it is never below the table's. Where
    it is above, the rule gives both. 220.56 means equipment with thermostats or in use now and
    then, and no heating or ventilation of the room.

    Examples
    --------
    Six pieces, of which two are large (220.56: 65 % of 60 kVA, not less than the two largest):

    >>> demand_by_count([25_000, 20_000, 5_000, 4_000, 3_000, 3_000], "kitchen").va
    45000.0
    """
    factors = _factors(category)
    clause = factors[0][1]

    def percent(count: int) -> float:
        return factors[min(count, len(factors)) - 1][0]

    def of_largest(largest: Sequence[float]) -> float:
        return sum(largest) * percent(len(largest)) / 100

    va, count = _governing(pieces_va, of_largest)
    rule = f"{percent(len(pieces_va)):g} % of {len(pieces_va)}" if pieces_va else "none"
    if count < len(pieces_va):
        plain = of_largest(pieces_va)
        rule += f" is {plain:,.0f} VA; the {count} largest alone, at {percent(count):g} %, ask more"
    return Factored(va, rule, clause)


@cache
def _factors(category: str) -> tuple[tuple[float, str], ...]:
    """Return percent and clause for one piece, two pieces and so on; the last holds for more."""
    found = tuple(
        (float(row["factor_percent"]), row["clause"])
        for row in rows("demand_by_count")
        if row["category"] == category
    )
    if not found:
        raise ValueError(f'"{category}" has no factors by number of pieces')
    return found


def range_demand(pieces_va: Sequence[float], edition: int) -> Factored:
    """Return the demand of household ranges and other cooking appliances of dwellings.

    Parameters
    ----------
    pieces_va : sequence of float
        The rating of each [VA], of which more than 1,750 VA are meant by the table.
    edition : int
        Edition of the NEC [year], 2005 to 2023.

    Notes
    -----
    NEC Table 220.55, column C with notes 1 and 2: the kilowatts for so many, raised by 5 % for each
    kilowatt or major fraction by which the average rating (ratings under 12 kW as 12) exceeds
    12 kW. Columns A and B, which may ask less for small ones, are not used; instead the demand is
    never more than the ratings. Pieces above 27 kW are outside the table and count in full. As in
    `demand_by_count` the largest of them alone are a floor. Column C for 1, 5, 26 and 45 and note 1
    were read, the rest is from memory.

    Examples
    --------
    One of 15.5 kW (9.6 kW on a page that was read):

    >>> round(range_demand([15_500], 2014).va)
    9600
    """
    full_to = rule_of("range counted in full up to", edition).value
    table_to = rule_of("range tabulated up to", edition).value
    increase = rule_of("range increase for a kW", edition).share

    def of_largest(largest: Sequence[float]) -> float:
        count = len(largest)
        average_kw = sum(max(full_to, va / _VA_IN_KVA) for va in largest) / count
        raised = 1 + increase * floor(average_kw - full_to + 0.5)
        return min(_column_c_kw(count) * raised * _VA_IN_KVA, sum(largest))

    inside = [va for va in pieces_va if va <= table_to * _VA_IN_KVA]
    outside = sum(va for va in pieces_va if va > table_to * _VA_IN_KVA)
    va, count = _governing(inside, of_largest)
    rule = f"column C for {len(inside)}"
    if count < len(inside):
        rule += f" is {of_largest(inside):,.0f} VA; the {count} largest alone ask more"
    if outside:
        rule += f"; above {table_to:g} kW in full"
    return Factored(va + outside, rule, "Table 220.55")


def _column_c_kw(count: int) -> float:
    row = [row for row in rows("range_demand") if int(row["count_from"]) <= count][-1]
    return float(row["base_kw"]) + float(row["per_range_kw"]) * count


def _governing(
    pieces_va: Sequence[float], of_largest: Callable[[Sequence[float]], float]
) -> tuple[float, int]:
    """Return the largest demand of the one, two, … largest pieces, and how many ask it."""
    largest = sorted(pieces_va, reverse=True)
    found = [(of_largest(largest[:count]), count) for count in range(1, len(largest) + 1)]
    # Where several ask the same, all of them is the table's own answer, else the fewest.
    full = len(largest)
    return max(found, key=lambda one: (one[0], one[1] == full, -one[1]), default=(0.0, 0))
