"""A bus of a script for OpenDSS, and what can stand between its nodes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from recordgen.calc.study.distribution import LoadAt
from recordgen.records.system import NominalSystem

_NODE: Final = {"A": 1, "B": 2, "C": 3}
NEUTRAL_NODE: Final = 4
GROUND: Final = 0


@dataclass(frozen=True)
class Bus:
    """A bus of the script.

    Attributes
    ----------
    name : str
    legs : str
        The ungrounded conductors there: "ABC", "AB", "B".
    neutral : int or None
        Node of the neutral, 0 where it is grounded; None where there is none.
    system : NominalSystem
    """

    name: str
    legs: str
    neutral: int | None
    system: NominalSystem

    def nodes(self, legs: str, *, neutral: bool = False) -> str:
        """Return the bus with nodes, as OpenDSS writes it: `clinic_MSB.1.2.3.4`."""
        found = [_NODE[leg] for leg in legs]
        if neutral and self.neutral is not None:
            found.append(self.neutral)
        return ".".join((self.name, *map(str, found)))


def across(bus: Bus, primary: NominalSystem) -> str | None:
    """Return the nodes a single-phase primary stands between."""
    if len(bus.legs) >= 2 and math.isclose(primary.line_v, bus.system.line_v, rel_tol=0.1):
        return bus.nodes(bus.legs[:2])
    neutral_v = bus.system.neutral_v
    if not neutral_v or bus.neutral is None:
        return None
    fits = math.isclose(primary.line_v, neutral_v, rel_tol=0.1)
    return bus.nodes(bus.legs[:1], neutral=True) if fits else None


def of_load(bus: Bus, at: LoadAt) -> tuple[str, float] | None:
    """Return the nodes of a load and the nominal volts between them."""
    system, legs = bus.system, bus.legs
    if len(legs) == 1:
        if bus.neutral is None or system.neutral_v is None:
            return None
        return bus.nodes(legs, neutral=True), system.neutral_v
    volts = at.load.voltage_v
    if volts is not None and not math.isclose(volts, system.line_v, rel_tol=0.1):
        return None
    return bus.nodes(legs), system.line_v
