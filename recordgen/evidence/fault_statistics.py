"""What comes back, and how long repairs take, over all faults of a portfolio."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from recordgen.evidence.concerned import full_tag
from recordgen.evidence.fault_life import found_on
from recordgen.records.field import Fault, FaultKind
from recordgen.records.loader import LoadedBuilding


@dataclass(frozen=True)
class Recurrence:
    """Faults of one kind on one circuit, two or more.

    Attributes
    ----------
    circuit : str
        Full tag.
    kind : FaultKind
    faults : tuple of str
        Full tags, `building:TAG`, in order of the day they were found; those without one last.
    shortest_d : int or None
        Least number of days [d] from one to the next; None where fewer than two days are recorded.
    """

    circuit: str
    kind: FaultKind
    faults: tuple[str, ...]
    shortest_d: int | None


@dataclass(frozen=True)
class RepairTime:
    """How long it takes from finding a fault to its repair.

    Attributes
    ----------
    mean_d : float or None
        Mean days [d] of those repaired; None where none can be counted.
    longest_d : int or None
        Of those repaired [d].
    counted : int
        Faults that the mean is made of.
    waiting : int
        Faults found and not repaired yet. They are not in the mean, and would make it longer.
    longest_wait_d : int or None
        Days [d] that the oldest of them has waited.
    left_out : int
        Faults whose days do not tell: not recorded, in the future, or repaired before found.
    """

    mean_d: float | None
    longest_d: int | None
    counted: int
    waiting: int
    longest_wait_d: int | None
    left_out: int


def recurrences(buildings: Mapping[str, LoadedBuilding]) -> tuple[Recurrence, ...]:
    """Return what has come back: two faults or more of one kind on one circuit.

    Parameters
    ----------
    buildings : mapping of str to LoadedBuilding
        Building id → its records.

    Returns
    -------
    tuple of Recurrence
        Those with most faults first, then by circuit and kind. A fault that names no circuit cannot
        be counted.
    """
    together: dict[tuple[str, FaultKind], list[tuple[dt.date, str]]] = {}
    for loaded, tag, fault in _faults(buildings):
        circuit = full_tag(buildings, loaded, fault.circuit) if fault.circuit else None
        if circuit is not None:
            found = found_on(fault) or dt.date.max
            together.setdefault((circuit, fault.kind), []).append((found, f"{loaded.id}:{tag}"))
    result = []
    for (circuit, kind), faults in together.items():
        if len(faults) > 1:
            faults.sort()
            days = [day for day, _ in faults if day != dt.date.max]
            gaps = [(after - day).days for day, after in pairwise(days)]
            result.append(
                Recurrence(circuit, kind, tuple(tag for _, tag in faults), min(gaps, default=None))
            )
    return tuple(sorted(result, key=lambda r: (-len(r.faults), r.circuit, r.kind)))


def repair_time(
    buildings: Mapping[str, LoadedBuilding], as_of: dt.date, kind: FaultKind | None = None
) -> RepairTime:
    """Return how long it takes from finding a fault to its last repair.

    Parameters
    ----------
    buildings : mapping of str to LoadedBuilding
        Building id → its records; give one building to ask for it alone.
    as_of : date
        The day to judge for: what was found or repaired later has not happened yet.
    kind : FaultKind or None
        Only faults of this kind.

    Returns
    -------
    RepairTime
    """
    repaired: list[int] = []
    waiting: list[int] = []
    left_out = 0
    for _, _, fault in _faults(buildings):
        if kind is not None and fault.kind != kind:
            continue
        found = found_on(fault)
        repairs = [s.date for s in fault.steps if s.step == "repaired" and s.date <= as_of]
        if found is None or found > as_of or (repairs and max(repairs) < found):
            left_out += 1
        elif repairs:
            repaired.append((max(repairs) - found).days)
        elif any(step.step == "closed" for step in fault.steps):
            left_out += 1  # closed, and nobody recorded a repair
        else:
            waiting.append((as_of - found).days)
    return RepairTime(
        sum(repaired) / len(repaired) if repaired else None,
        max(repaired, default=None),
        len(repaired),
        len(waiting),
        max(waiting, default=None),
        left_out,
    )


def _faults(
    buildings: Mapping[str, LoadedBuilding],
) -> Iterator[tuple[LoadedBuilding, str, Fault]]:
    for loaded in buildings.values():
        for tag, fault in loaded.records.faults.items():
            yield loaded, tag, fault
