"""The conductors between an element and its feed, as impedances."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from recordgen.calc.answer import Input, Need, NoValue
from recordgen.calc.conductor_impedance import impedance_per_km
from recordgen.calc.raceway_material import RacewayMaterial, raceway_material
from recordgen.calc.study.distribution import Element
from recordgen.records.conductor_size import ConductorSize
from recordgen.records.parts import Conductors
from recordgen.records.quantities import Quantity

WARM_C: Final = 75.0
"""Conductor temperature of the tables: warm, as for voltage drop."""


@dataclass(frozen=True)
class Segment:
    """A set of conductors.

    Attributes
    ----------
    phase_ohm : complex
        Of one ungrounded conductor, all in parallel, from end to end [ohm].
    neutral_ohm : complex or None
        Of the neutral; None where there is none recorded.
    ground_ohm : complex or None
        Of the equipment grounding conductor; None where there is none recorded.
    length_m : float
    inputs : tuple of Input
    """

    phase_ohm: complex
    neutral_ohm: complex | None
    ground_ohm: complex | None
    length_m: float
    inputs: tuple[Input, ...]


def segment(element: Element, temperature_c: float = WARM_C) -> Segment | NoValue:
    """Return the impedances between an element's feed and the element.

    Parameters
    ----------
    element : Element
        With or without conductors recorded.
    temperature_c : float
        Of the conductors [°C].

    Returns
    -------
    Segment or NoValue
        NoValue names size, metal, raceway or length where one is not recorded or not in the tables.

    Notes
    -----
    NEC chapter 9 table 9, see `conductor_impedance`. A single-pole branch circuit that records no
    neutral has one all the same, as large as its ungrounded conductor (240.4, 215.2: common
    practice for two-wire circuits); for all others a neutral counts as recorded only.
    """
    conductors, tag = element.conductors, element.conductors_of
    if conductors is None:
        return NoValue((Need(tag, _key(element)),))
    needs = _needs(conductors, tag)
    if needs:
        return NoValue(needs)
    assert conductors.size is not None  # noqa: S101  # for mypy: `_needs` has asked
    assert isinstance(conductors.length_m, Quantity)  # noqa: S101
    raceway = raceway_material(conductors.raceway or "")
    assert raceway is not None  # noqa: S101
    parallel = conductors.parallel or 1
    try:
        phase = _ohm(conductors.size, raceway, conductors.length_m, temperature_c) / parallel
        neutral, ground = (
            _ohm(size, raceway, conductors.length_m, temperature_c) / parallel if size else None
            for size in (conductors.neutral, conductors.ground)
        )
    except ValueError as error:
        return NoValue((Need(tag, "conductors", str(error)),))
    if neutral is None and element.poles == 1:
        neutral = phase
    return Segment(phase, neutral, ground, conductors.length_m, _inputs(conductors, tag, raceway))


def _key(element: Element) -> str:
    return "feeder" if element.kind == "panel" else "conductors"


def _needs(conductors: Conductors, tag: str) -> tuple[Need, ...]:
    found = []
    if conductors.size is None:
        found.append(Need(tag, "size of the conductors"))
    elif conductors.size.metal is None:
        found.append(Need(tag, "metal of the conductors"))
    if conductors.length_m is None:
        found.append(Need(tag, "length of the conductors"))
    if conductors.raceway is None:
        found.append(Need(tag, "raceway"))
    elif raceway_material(conductors.raceway) is None:
        found.append(Need(tag, "raceway", f'"{conductors.raceway}" does not name its material'))
    return tuple(found)


def _ohm(
    size: ConductorSize, raceway: RacewayMaterial, length_m: float, temperature_c: float
) -> complex:
    return impedance_per_km(size, raceway, temperature_c) * length_m / 1000


def _inputs(conductors: Conductors, tag: str, raceway: str) -> tuple[Input, ...]:
    found = [Input("conductors", _written(conductors), "recorded", tag)]
    found.append(Input("length", str(conductors.length_m), "recorded", tag))
    found.append(Input("raceway", f"{conductors.raceway} ({raceway})", "recorded", tag))
    return tuple(found)


def _written(conductors: Conductors) -> str:
    many = f"{conductors.parallel} × " if (conductors.parallel or 1) > 1 else ""
    return f"{many}{conductors.size}"
