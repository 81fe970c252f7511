"""Inverter bus: whether a bus may take an inverter beside its main supply."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import Literal

from recordgen.calc.load_rules import Edition, rule_of


@dataclass(frozen=True)
class InverterBus:
    """Whether a bus may take an inverter.

    Attributes
    ----------
    answer : {"yes", "no", "not shown"}
        `not shown`: it may if the inverter feeds the far end of the bus, which is not recorded.
    sum_a : float
        Main device and 125 % of the inverter's output current [A].
    bus_a, opposite_a : float
        What the sum may be with the inverter anywhere, and at the far end only [A].
    left_a : float
        What is left at the far end for 125 % of inverter current beside the main device [A]; zero
        where the main device alone takes it all.
    """

    answer: Literal["yes", "no", "not shown"]
    sum_a: float
    bus_a: float
    opposite_a: float
    left_a: float


def inverter_bus_ok(
    bus_a: float,
    main_a: float,
    inverter_a: float,
    opposite_end: bool | None,
    edition: Edition,
) -> InverterBus:
    """Return whether a bus may take an inverter beside its main supply.

    Parameters
    ----------
    bus_a : float
        Rating of the bus [A].
    main_a : float
        Rating of the device that protects the bus [A].
    inverter_a : float
        Highest continuous output current of all inverters on the bus [A].
    opposite_end : bool or None
        Whether they feed the end of the bus that is opposite to the main supply; None where that is
        not recorded.
    edition : int
        Edition of the NEC in force [year], 2014 to 2023.

    Returns
    -------
    InverterBus
        The answer and the figures it rests on.

    Raises
    ------
    ValueError
        A rating is not above zero, or the edition counts in another way.

    Notes
    -----
    NEC 705.12, load-side connection to a bus (from memory): 125 % of the inverter's output current
    and the main device are no more than the bus, or than 120 % of it with the sources at opposite
    ends. Editions before 2014 add up the ratings of devices instead. The other ways of 705.12 (all
    devices but the main no more than the bus, centre-fed dwellings, engineering supervision) are
    not judged: "no" means not in these two ways.

    Examples
    --------
    A 200 A bus with a 200 A main leaves 40 A, an inverter of 32 A:

    >>> inverter_bus_ok(200, 200, 32, True, 2020)
    InverterBus(answer='yes', sum_a=240.0, bus_a=200, opposite_a=240.0, left_a=40.0)
    >>> inverter_bus_ok(200, 200, 32, None, 2020).answer
    'not shown'
    """
    for what, value in (("bus", bus_a), ("main device", main_a), ("inverter", inverter_a)):
        if not isfinite(value) or value <= 0:
            raise ValueError(f"{what} of {value} A: it has to be above zero")
    # Multiplied before it is divided: 120 % of a whole number of amperes is then not a hair less.
    opposite_a = rule_of("bus with inverter opposite", edition).value * bus_a / 100
    sum_a = main_a + rule_of("inverter output current", edition).value * inverter_a / 100
    answer: Literal["yes", "no", "not shown"] = "no"
    if sum_a <= bus_a:
        answer = "yes"
    elif sum_a <= opposite_a and opposite_end is not False:
        answer = "yes" if opposite_end else "not shown"
    return InverterBus(answer, sum_a, bus_a, opposite_a, max(0.0, opposite_a - main_a))
