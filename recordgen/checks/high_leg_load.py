"""A load between neutral and the high leg of a delta, where the voltage is far too high for it.

Passing: `5: {device: 20 A, loads: {RC-1: {kind: receptacle}}}`
Failing: `3: {device: 20 A, loads: {RC-1: {kind: receptacle}}}`

A one-pole device on the high leg makes about 208 V to neutral out of 120 V. Either the load stands
somewhere else than recorded, or the high leg does, or the load gets that voltage. NEC 110.15 and
408.3(E) (from memory) want the high leg marked and on phase B; B is assumed where the panel records
nothing, and odd numbers on the left. A load recorded with a voltage near that of the high leg is
meant to be there.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import isclose, sqrt
from typing import Final

from recordgen.calc.study.distribution import LoadAt
from recordgen.checks.facts import Facts
from recordgen.network.model import Device
from recordgen.problems import Problem
from recordgen.records.supply import Circuit
from recordgen.records.system import NominalSystem

_NOMINAL: Final = 0.06
"""How far a written voltage may lie from the nominal one: 200 V to 220 V mean the 208 V leg."""


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a STOP for each such circuit; a warning where high leg or numbering are assumed."""
    for building, loaded in facts.buildings.items():
        for tag, panel in loaded.records.panels.items():
            system = panel.system
            if system is None or not system.high_leg or system.neutral_v is None:
                continue
            high = panel.high_leg or "B"
            assumed = panel.high_leg is None or panel.numbering is None
            for position, circuit in panel.circuits.items():
                full = f"{building}:{tag}/{position}"
                device = facts.network.devices.get(full)
                if device is None or not _stands_on(device, high):
                    continue
                loads = facts.study.distribution.loads_at.get(full, [])
                below = facts.study.distribution.below[full]
                if not _in_use(circuit, loads, below) or _meant(loads, below, system):
                    continue
                lean = " (assumed: the panel does not say all of it)" if assumed else ""
                yield Problem(
                    "warning" if assumed else "stop",
                    "high-leg-load",
                    f"{tag}/{position} is one pole on phase {high}, the high leg{lean}: "
                    f"{sqrt(3) * system.neutral_v:.0f} V to neutral, not {system.neutral_v:.0f} V",
                    loaded.where_key("panels", tag, "circuits", str(position)),
                    "measure it; correct the position, `numbering` or `high_leg`, or move the load",
                    subjects=(full, *(load.tag for load in loads)),
                )


def _stands_on(device: Device, leg: str) -> bool:
    return device.legs == 1 << "ABC".index(leg)


def _in_use(circuit: Circuit, loads: list[LoadAt], below: list[str]) -> bool:
    """Say whether something hangs on it, or may: what is not recorded may."""
    if circuit.spare or circuit.normal == "open":
        return False
    return bool(loads or below) or circuit.loads is None or circuit.loads_unknown


def _meant(loads: list[LoadAt], below: list[str], system: NominalSystem) -> bool:
    """Say whether everything on it is recorded with the voltage that the high leg has."""
    nominal = sqrt(3) * (system.neutral_v or 0)
    volts = [one.load.voltage_v for one in loads]
    return bool(volts) and not below and all(_near(each, nominal) for each in volts)


def _near(volts: float | None, nominal: float) -> bool:
    return volts is not None and isclose(volts, nominal, rel_tol=_NOMINAL)
