"""Load of the neutral of a feeder or service to dwellings."""

from __future__ import annotations

from recordgen.calc.load_rules import rule_of


def neutral_demand_va(ranges_and_dryers_va: float, others_va: float, edition: int) -> float:
    """Return the load that the neutral of a feeder to a dwelling is sized for [VA].

    Parameters
    ----------
    ranges_and_dryers_va : float
        Demand of household ranges, ovens, counter-mounted cooking units and dryers [VA].
    others_va : float
        Demand of what else is connected from line to neutral [VA]: the larger of the two sides.
        Loads from line to line count as zero.
    edition : int
        Edition of the NEC [year].

    Returns
    -------
    float
        Load [VA]; over the line voltage it is the current of the neutral.

    Raises
    ------
    ValueError
        A demand below zero, or an edition that no table covers.

    Notes
    -----
    NEC 220.61(A) and (B)(1), factor read in example D1(a) of Annex D, 2005. Single-phase,
    three-wire. The further reduction above 200 A, 220.61(B)(2), is not taken: what is here is never
    below what the code asks. Harmonics are not in it.

    Examples
    --------
    Example D1(a): general load of 5,100 VA, a range of 8,000 VA and a dryer of 5,500 VA:

    >>> neutral_demand_va(8000 + 5500, 5100, 2005)
    14550.0
    """
    if not (ranges_and_dryers_va >= 0 and others_va >= 0):
        raise ValueError("a demand is zero or more")
    return rule_of("neutral of ranges and dryers", edition).share * ranges_and_dryers_va + others_va
