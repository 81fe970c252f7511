"""Line current: what connected loads draw through each conductor, as phasors."""

from __future__ import annotations

from cmath import phase, rect
from collections.abc import Iterable
from dataclasses import dataclass
from math import acos, pi, sqrt
from typing import Final

from recordgen.calc.connected_load import Leg, LoadPart, legs_in, legs_of

_ROUNDED: Final = 0.02
"""Nominal voltages are round numbers: 400/230 is 0.4 % off the square root of three."""


@dataclass(frozen=True)
class PhasorCurrents:
    """Currents from the source towards the loads, and back through the neutral.

    Attributes
    ----------
    a, b, c, neutral : complex
        Amperes [A, rms]; the angle counts from the voltage of leg A, or of the leg before the high
        leg. `c` is 0 in a single-phase system. a + b + c = neutral.
    """

    a: complex
    b: complex
    c: complex
    neutral: complex


@dataclass(frozen=True)
class AmpereLimits:
    """What the currents cannot exceed, whatever the power factors; amperes [A, rms]."""

    a: float
    b: float
    c: float
    neutral: float


def leg_voltages(
    line_v: float, neutral_v: float | None, phases: int, high_leg: str | None = None
) -> dict[Leg, complex]:
    """Return the voltage of each leg to the neutral, or to the middle of a delta without one.

    Parameters
    ----------
    line_v : float
        Nominal voltage between ungrounded conductors [V].
    neutral_v : float or None
        Nominal voltage from ungrounded conductor to neutral [V]; None without a neutral. For a
        delta with a high leg, that of the two other legs.
    phases : int
        3, or 1 for single-phase with two ungrounded conductors.
    high_leg : {"A", "B", "C"} or None
        The leg that stands higher above the neutral, where the system has one.

    Returns
    -------
    dict
        Leg → voltage [V, rms], complex.

    Raises
    ------
    ValueError
        There is no such system.

    Notes
    -----
    Closed-form geometry of a balanced source with phase order A, B, C: wye legs 120° apart,
    single-phase legs 180° apart; in a delta with a grounded midpoint the two legs beside it stand
    180° apart, and the high leg at a right angle to them at √3/2 of the line voltage.

    Examples
    --------
    >>> voltages = leg_voltages(240, 120, 3, high_leg="B")
    >>> {leg: round(abs(volts), 2) for leg, volts in voltages.items()}
    {'A': 120.0, 'B': 207.85, 'C': 120.0}
    """
    legs = legs_of(phases)
    if not line_v > 0 or (neutral_v is not None and not neutral_v > 0):
        raise ValueError("the voltages of a system are above zero")
    if high_leg is not None and (phases != 3 or high_leg not in legs or neutral_v is None):
        raise ValueError("a high leg is one of A, B and C of a three-phase delta with a neutral")
    ratio = 2.0 if phases == 1 or high_leg else sqrt(3)
    to_neutral = line_v / ratio if neutral_v is None else neutral_v
    if abs(line_v / to_neutral / ratio - 1) > _ROUNDED:
        kind = "single-phase" if phases == 1 else "high-leg delta" if high_leg else "wye"
        raise ValueError(f"{line_v:g} V and {neutral_v:g} V to neutral: no {kind} system is so")
    if phases == 1:
        return {"A": complex(to_neutral), "B": complex(-to_neutral)}
    if high_leg is None:
        return {leg: rect(to_neutral, -2 * pi * step / 3) for step, leg in enumerate(legs)}
    high = "ABC".index(high_leg)
    around = [rect(line_v * sqrt(3) / 2, -pi / 2), complex(-to_neutral), complex(to_neutral)]
    return {leg: around[(step - high) % 3] for step, leg in enumerate(legs)}


def phasor_amperes(
    parts: Iterable[LoadPart],
    line_v: float,
    neutral_v: float | None,
    phases: int,
    high_leg: str | None = None,
) -> PhasorCurrents:
    """Return the current in each conductor at nominal voltage.

    Parameters
    ----------
    parts : iterable of LoadPart
        The loads, each with its power factor.
    line_v, neutral_v, phases, high_leg
        The system, as in `leg_voltages`.

    Returns
    -------
    PhasorCurrents
        Line and neutral currents [A, rms].

    Raises
    ------
    ValueError
        A power factor is not recorded, a part needs a neutral that the system does not have, or
        there is no such system.

    Notes
    -----
    Each part draws |S| / |V| at its own voltage, turned by its own angle: I = (S / V)* (textbook
    definition of complex power). Currents are added as phasors; phase-to-phase loads are not
    halved. Valid at nominal voltage and at the fundamental frequency: harmonics of electronic
    loads add up in the neutral and are not in this figure.

    Examples
    --------
    A neutral shared by 20 A and 12 A on the two legs of 120/240 V carries 8 A:

    >>> parts = LoadPart(2400, "A", 1), LoadPart(1440, "B", 1)
    >>> round(abs(phasor_amperes(parts, 240, 120, 1).neutral), 6)
    8.0
    """
    volts = leg_voltages(line_v, neutral_v, phases, high_leg)
    totals: dict[str, complex] = dict.fromkeys("ABC", 0j)
    for number, part in enumerate(parts, 1):
        if part.power_factor is None:
            raise ValueError(f"the power factor of part {number} ({part.legs}) is not recorded")
        turn = acos(part.power_factor) * (1 if part.leading else -1)
        for leg, amperes, angle in _flows(part, volts, line_v, neutral_v, phases):
            totals[leg] += rect(amperes, angle + turn)
    return PhasorCurrents(totals["A"], totals["B"], totals["C"], sum(totals.values()))


def ampere_limits(
    parts: Iterable[LoadPart],
    line_v: float,
    neutral_v: float | None,
    phases: int,
    high_leg: str | None = None,
) -> AmpereLimits:
    """Return what each conductor's current cannot exceed, whatever the power factors.

    Parameters
    ----------
    parts : iterable of LoadPart
        The loads; their power factors are not used.
    line_v, neutral_v, phases, high_leg
        The system, as in `leg_voltages`.

    Returns
    -------
    AmpereLimits
        The sums of the magnitudes [A, rms].

    Raises
    ------
    ValueError
        A part needs a neutral that the system does not have, or there is no such system.

    Notes
    -----
    A sum of phasors is never longer than the sum of their lengths (triangle inequality): the figure
    to show where power factors are not recorded. Valid as `phasor_amperes` is.

    Examples
    --------
    >>> ampere_limits([LoadPart(4160, "AB", None), LoadPart(1200, "A", None)], 208, 120, 3)
    AmpereLimits(a=30.0, b=20.0, c=0.0, neutral=10.0)
    """
    volts = leg_voltages(line_v, neutral_v, phases, high_leg)
    totals = dict.fromkeys("ABC", 0.0)
    neutral = 0.0
    for part in parts:
        for leg, amperes, _ in _flows(part, volts, line_v, neutral_v, phases):
            totals[leg] += amperes
            if len(part.legs) == 1 or part.to_neutral:
                neutral += amperes
    return AmpereLimits(totals["A"], totals["B"], totals["C"], neutral)


def _flows(
    part: LoadPart,
    volts: dict[Leg, complex],
    line_v: float,
    neutral_v: float | None,
    phases: int,
) -> list[tuple[Leg, float, float]]:
    """Return leg, amperes and the angle of the voltage that drives them, for each leg."""
    legs = legs_in(part, phases)
    if len(legs) == 1 or part.to_neutral:
        if neutral_v is None:
            raise ValueError(f'legs "{part.legs}" to neutral: the system has no neutral')
        share = part.va / len(legs)
        return [(leg, share / abs(volts[leg]), phase(volts[leg])) for leg in legs]
    if len(legs) == 2:
        first, second = legs
        angle = phase(volts[first] - volts[second])
        amperes = part.va / line_v
        return [(first, amperes, angle), (second, amperes, angle + pi)]
    middle = sum(volts.values()) / 3
    amperes = part.va / (sqrt(3) * line_v)
    return [(leg, amperes, phase(volts[leg] - middle)) for leg in legs]
