"""Connected load: what is recorded on each phase, in volt-amperes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import isfinite
from typing import Final, Literal

Leg = Literal["A", "B", "C"]

_LEGS: Final[dict[int, tuple[Leg, ...]]] = {3: ("A", "B", "C"), 1: ("A", "B")}


@dataclass(frozen=True)
class LoadPart:
    """A load as its panel sees it.

    Attributes
    ----------
    va : float
        Apparent power [VA].
    legs : str
        The phases it is connected to: `A` is one phase and the neutral, `AB` phase to phase,
        `ABC` balanced three-phase. The order says nothing.
    power_factor : float or None
        From above 0 to 1; None where it is not recorded. It has no default: whoever assumes one
        says so.
    to_neutral : bool
        For two legs: whether the load stands between each of them and the neutral, half its VA on
        each. Where the halves are recorded, they are two parts of one leg.
    leading : bool
        Whether the current leads the voltage; most loads lag.

    Raises
    ------
    ValueError
        Load, legs or power factor are impossible.
    """

    va: float
    legs: str
    power_factor: float | None
    to_neutral: bool = False
    leading: bool = False

    def __post_init__(self) -> None:
        if not isfinite(self.va) or self.va < 0:
            raise ValueError(f"a load of {self.va} VA: it has to be zero or more")
        if not self.legs or set(self.legs) - set("ABC") or len(set(self.legs)) < len(self.legs):
            raise ValueError(f'legs "{self.legs}": write one, two or three of A, B and C')
        if self.power_factor is not None and not 0 < self.power_factor <= 1:
            raise ValueError(f"power factor {self.power_factor}: it lies above 0 and up to 1")
        if self.to_neutral and len(self.legs) != 2:
            raise ValueError(f'legs "{self.legs}" to neutral: this is said of two legs only')


def legs_of(phases: int) -> tuple[Leg, ...]:
    """Return the legs of a system: A, B and C for three phases, A and B for one.

    Parameters
    ----------
    phases : int
        3, or 1 for single-phase with two ungrounded conductors.

    Raises
    ------
    ValueError
        Direct current, or a number of phases that is not in use.

    Notes
    -----
    Single-phase three-wire has two legs 180° apart: common practice. Valid for alternating
    current.

    Examples
    --------
    >>> legs_of(1)
    ('A', 'B')
    """
    if phases not in _LEGS:
        raise ValueError(f"{phases} phases: loads are told apart for 1 and 3 phases only")
    return _LEGS[phases]


def phase_va(parts: Iterable[LoadPart], phases: int) -> dict[Leg, float]:
    """Return the connected load booked on each phase.

    Parameters
    ----------
    parts : iterable of LoadPart
        The loads.
    phases : int
        3, or 1 for single-phase with two ungrounded conductors.

    Returns
    -------
    dict
        Leg → VA [VA], every leg of the system in order. The sum is the sum of the parts.

    Raises
    ------
    ValueError
        A part stands on a leg that the system does not have.

    Notes
    -----
    A load on two or three phases is booked in equal shares. This is bookkeeping, common practice
    on panel schedules: it adds up, but amperes do not follow from it. A phase-to-phase load's
    current is not in step with either phase's voltage, and halves misstate the current of a
    conductor by some -13 to +6 %. For amperes use `line_current`.

    Examples
    --------
    9,000 VA three-phase, 2,000 VA from A to B and 500 VA from C to neutral:

    >>> parts = LoadPart(9000, "ABC", 0.8), LoadPart(2000, "AB", 1), LoadPart(500, "C", 1)
    >>> phase_va(parts, 3)
    {'A': 4000.0, 'B': 4000.0, 'C': 3500.0}
    """
    booked = dict.fromkeys(legs_of(phases), 0.0)
    for part in parts:
        for leg in legs_in(part, phases):
            booked[leg] += part.va / len(part.legs)
    return booked


def legs_in(part: LoadPart, phases: int) -> tuple[Leg, ...]:
    """Return the legs of a part in order of the alphabet.

    Parameters
    ----------
    part : LoadPart
        The load.
    phases : int
        3, or 1 for single-phase with two ungrounded conductors.

    Raises
    ------
    ValueError
        The system does not have one of them.

    Notes
    -----
    Common practice: legs are lettered A, B, C. Valid for the systems of `legs_of`.

    Examples
    --------
    >>> legs_in(LoadPart(5000, "CA", 0.9), 3)
    ('A', 'C')
    """
    found = tuple(leg for leg in legs_of(phases) if leg in part.legs)
    if len(found) < len(part.legs):
        raise ValueError(f'legs "{part.legs}": a single-phase system has the legs A and B only')
    return found
