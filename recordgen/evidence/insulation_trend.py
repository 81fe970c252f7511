"""How an insulation resistance changes from test to test, brought to one temperature.

Only like is held against like: the same circuit, measured between the same two things (in the words
of the record) at the same test voltage. Rule of our own: a change by less than a factor of two says
nothing, for a temperature misjudged by 10 °C makes as much. The temperature recorded is taken for
that of the insulation.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final, Literal

from recordgen.calc.insulation_resistance import (
    InsulationMinimum,
    corrected_megohm,
    insulation_minimum,
)
from recordgen.evidence.concerned import full_tag
from recordgen.network.model import building_of, local
from recordgen.records.field import Measurement
from recordgen.records.loader import LoadedBuilding

TrendVerdict = Literal["falling", "rising", "no clear change", "not enough"]
BASES_C: Final = (20.0, 40.0)
"""Temperatures that published minimums are stated at [°C]: apparatus, and windings."""
CLEAR_CHANGE: Final = 2.0
"""Ratio from which a change counts as one; see the module."""
_OHM_PER_MEGOHM: Final = 1e6


@dataclass(frozen=True)
class InsulationPoint:
    """One measured insulation resistance.

    Attributes
    ----------
    date : date
    fault : str
        Full tag of the fault in whose steps it stands, `building:TAG`.
    step : str
    measured_megohm : float
    temperature_c : float or None
    corrected_megohm : float or None
        At the base temperature [MΩ]; None where it cannot be brought there.
    written : Measurement
        As recorded.
    """

    date: dt.date
    fault: str
    step: str
    measured_megohm: float
    temperature_c: float | None
    corrected_megohm: float | None
    written: Measurement


@dataclass(frozen=True)
class InsulationTrend:
    """The tests of one circuit that may be held against each other.

    Attributes
    ----------
    circuit : str
        Full tag.
    between, test_v : str
        As recorded; empty where not recorded.
    base_c : float
        What the points are corrected to [°C].
    points : tuple of InsulationPoint
        In order of date; at least one.
    verdict : TrendVerdict
    ratio : float or None
        Last point over the highest before it, both corrected; None where not enough, or over zero.
    minimum : InsulationMinimum or None
        A published one (NETA, from memory) for the voltage of the system; None where that is not
        recorded, or where the minimum is stated at another temperature.
    below_minimum : bool or None
        Whether the last point, corrected, lies below it; None where that cannot be said.
    reasons : tuple of str
    next : str
        What to measure or record next; empty where nothing is open.
    """

    circuit: str
    between: str
    test_v: str
    base_c: float
    points: tuple[InsulationPoint, ...]
    verdict: TrendVerdict
    ratio: float | None
    minimum: InsulationMinimum | None
    below_minimum: bool | None
    reasons: tuple[str, ...]
    next: str


def megohms(measured: Measurement) -> float | None:
    """Return a measured insulation resistance [MΩ]; None for other units and quantities."""
    if measured.quantity != "insulation resistance" or not _in_ohms(str(measured.value)):
        return None
    return float(measured.value) / _OHM_PER_MEGOHM if measured.value >= 0 else None


def at_base(measured: Measurement, base_c: float) -> float | None:
    """Return a measured insulation resistance at another temperature [MΩ].

    Parameters
    ----------
    measured : Measurement
    base_c : float
        Temperature to bring it to [°C].

    Returns
    -------
    float or None
        None where the value or its temperature is not recorded, or the rule does not hold there.

    Examples
    --------
    >>> at_base(
    ...     Measurement(quantity="insulation resistance", value="12 Mohm", temperature="30 C"), 20
    ... )
    24.0
    """
    value = megohms(measured)
    if value == 0:  # at any temperature
        return 0.0
    if value is None or measured.temperature_c is None:
        return None
    try:
        return corrected_megohm(value, measured.temperature_c, base_c)
    except ValueError:
        return None


def same_test(one: Measurement, other: Measurement) -> bool:
    """Return whether two tests may be held against each other: between the same, at one voltage."""
    return _test_of(one) == _test_of(other) and "" not in _test_of(one)


def insulation_trends(
    buildings: Mapping[str, LoadedBuilding], base_c: float = BASES_C[0]
) -> tuple[InsulationTrend, ...]:
    """Return the trend of every circuit whose insulation was measured in the life of a fault.

    Parameters
    ----------
    buildings : mapping of str to LoadedBuilding
        Building id → its records.
    base_c : float
        20 for conductors and apparatus, 40 for windings [°C].

    Returns
    -------
    tuple of InsulationTrend
        In the order of the records; those of one circuit and test are one.

    Raises
    ------
    ValueError
        Another base temperature.
    """
    if base_c not in BASES_C:
        raise ValueError(f"{base_c:g} °C: minimums are published at 20 and 40 °C")
    series: dict[tuple[str, str, str], list[tuple[InsulationPoint, Measurement]]] = {}
    for circuit, point, measured in _measured(buildings, base_c):
        series.setdefault((circuit, *_test_of(measured)), []).append((point, measured))
    found = []
    for (circuit, _, _), tests in series.items():
        tests.sort(key=lambda test: test[0].date)
        rated_v = _line_voltage(buildings, circuit)
        found.append(_trend(circuit, tests[0][1], [p for p, _ in tests], base_c, rated_v))
    return tuple(found)


def _measured(
    buildings: Mapping[str, LoadedBuilding], base_c: float
) -> Iterator[tuple[str, InsulationPoint, Measurement]]:
    for loaded in buildings.values():
        for tag, fault in loaded.records.faults.items():
            circuit = full_tag(buildings, loaded, fault.circuit) if fault.circuit else None
            if circuit is None:
                continue
            for step in fault.steps:
                for measured in step.measured:
                    value = megohms(measured)
                    if value is not None:
                        point = InsulationPoint(
                            step.date,
                            f"{loaded.id}:{tag}",
                            step.step,
                            value,
                            measured.temperature_c,
                            at_base(measured, base_c),
                            measured,
                        )
                        yield circuit, point, measured


def _trend(
    circuit: str,
    first: Measurement,
    points: list[InsulationPoint],
    base_c: float,
    rated_v: float | None,
) -> InsulationTrend:
    verdict, ratio, reasons, following = _judged(first, points, base_c)
    minimum = _minimum(rated_v, base_c)
    last = points[-1].corrected_megohm
    below = None if minimum is None or last is None else last < minimum.minimum_megohm
    if minimum is not None and below:
        text = (
            f"the last, {last:.3g} MΩ at {base_c:g} °C, lies below {minimum.minimum_megohm:g} MΩ, "
            "a published minimum for apparatus of that voltage (NETA, from memory)"
        )
        reasons += (text,)
    return InsulationTrend(
        circuit,
        first.between or "",
        first.test_v or "",
        base_c,
        tuple(points),
        verdict,
        ratio,
        minimum,
        below,
        reasons,
        following,
    )


def _judged(
    first: Measurement, points: list[InsulationPoint], base_c: float
) -> tuple[TrendVerdict, float | None, tuple[str, ...], str]:
    """Return verdict, ratio, reasons and what to do next."""
    if not (first.between and first.test_v):
        reason = "between what, or at which test voltage, is not recorded"
        return "not enough", None, (reason,), "record both with the next test"
    known = [point for point in points if point.corrected_megohm is not None]
    left_out = len(points) - len(known)
    reasons: tuple[str, ...] = ()
    if left_out:
        reasons = (f"{left_out} left out: no temperature that it could be corrected from",)
    if len(known) < 2 or points[-1].corrected_megohm is None:
        return "not enough", None, reasons, "test it again, and record the temperature"
    *before, last = _corrected(known)
    highest, lowest = max(before), min(before)
    text = (
        f"{last:.3g} MΩ on {known[-1].date}, {highest:.3g} MΩ at best before, both at {base_c:g} °C"
    )
    reasons = (text, *_turned_by_correction(known), *reasons)
    ratio = last / highest if highest else None
    if last <= highest / CLEAR_CHANGE and highest:
        return "falling", ratio, reasons, "find out what wets or damages it; test again soon"
    if last >= max(highest, lowest * CLEAR_CHANGE) and last > 0:
        return "rising", ratio, reasons, ""
    return "no clear change", ratio, reasons, ""


def _turned_by_correction(known: list[InsulationPoint]) -> tuple[str, ...]:
    """Return a caution where only the correction says which way the last two went."""
    before, last = known[-2:]
    was, now = _corrected((before, last))
    if (now > was) == (last.measured_megohm > before.measured_megohm):
        return ()
    text = (
        f"the correction decides which way it went: as measured it was {before.measured_megohm:g} "
        f"and then {last.measured_megohm:g} MΩ; it is made for thermoplastic insulation"
    )
    return (text,)


def _corrected(points: Iterable[InsulationPoint]) -> list[float]:
    return [p.corrected_megohm for p in points if p.corrected_megohm is not None]


def _minimum(rated_v: float | None, base_c: float) -> InsulationMinimum | None:
    if rated_v is None:
        return None
    try:
        found = insulation_minimum(rated_v, "NETA")
    except ValueError:
        return None
    return found if found.base_c == base_c else None


def _line_voltage(buildings: Mapping[str, LoadedBuilding], circuit: str) -> float | None:
    """Return the voltage between conductors of the panel that a circuit is in [V], if recorded."""
    loaded = buildings[building_of(circuit)]
    panel = loaded.records.panels.get(local(circuit).partition("/")[0])
    return panel.system.line_v if panel is not None and panel.system is not None else None


def _test_of(measured: Measurement) -> tuple[str, str]:
    """Return what makes tests comparable, in small letters and without spaces of the unit."""
    between = " ".join((measured.between or "").casefold().split())
    return between, "".join((measured.test_v or "").casefold().split())


def _in_ohms(written: str) -> bool:
    return written.casefold().endswith(("ohm", "ω"))
