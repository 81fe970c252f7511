"""What running motors add to a fault near them."""

from __future__ import annotations

import math
from typing import Literal

from recordgen.calc.published import Row, rows

ShipFault = Literal["ship asymmetrical", "ship average", "ship direct current"]


def motor_contribution_a(full_load_a: float) -> float:
    """Return what the running motors on a bus add to its fault current in the first cycle [A].

    Parameters
    ----------
    full_load_a : float
        Full-load current of all motors that can run at once, added up, at the bus's voltage [A].

    Returns
    -------
    float
        To be shown as an addend of its own, never inside the source's fault current.

    Raises
    ------
    ValueError
        A current below zero.

    Notes
    -----
    Factor × full-load current (table `motor_contribution`, "first cycle"). For groups of
    three-phase induction motors below 600 V, first cycle, added without regard to angle (so on the
    high side); about 3.6 to 6 times is what single motors give. Motors behind drives that cannot
    feed back, and single-phase motors, add next to nothing: whoever asks leaves them out. It fades
    within a few cycles. Source: common practice, as in IEEE 141-1993, chapter 4 (from memory).

    Examples
    --------
    >>> motor_contribution_a(120)
    480.0
    """
    return float(_practice("first cycle")["motor_factor"]) * _current_a(full_load_a)


def ship_fault_a(generators_a: float, motors_a: float, practice: ShipFault) -> float:
    """Return the highest fault current of a ship's plant by 46 CFR 111.52-3 [A].

    Parameters
    ----------
    generators_a, motors_a : float
        Full-load current of all generators, and of all motors that can run at once [A].
    practice : {"ship asymmetrical", "ship average", "ship direct current"}
        The most one pole carries, the mean of the three, or a direct-current plant.

    Raises
    ------
    ValueError
        A current below zero, or another practice.

    Notes
    -----
    Here as a published rule that sets motors beside sources the way `motor_contribution_a` does.
    For systems below 1,500 kW (from memory). Source: 46 CFR 111.52-3.

    Examples
    --------
    >>> ship_fault_a(800, 600, "ship asymmetrical")
    10400.0
    """
    row = _practice(practice)
    if not row["generator_factor"]:
        raise ValueError(f"{practice} says nothing about generators")
    return float(row["generator_factor"]) * _current_a(generators_a) + float(
        row["motor_factor"]
    ) * _current_a(motors_a)


def _practice(name: str) -> Row:
    for row in rows("motor_contribution"):
        if row["practice"] == name:
            return row
    raise ValueError(f"no practice called {name} for what motors add to a fault")


def _current_a(current_a: float) -> float:
    if not (current_a >= 0 and math.isfinite(current_a)):
        raise ValueError(f"a full-load current is a finite number from 0 A on, not {current_a:g} A")
    return current_a
