"""What a fault history amounts to: open now, the oldest, how long repairs take, what came back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from recordgen.evidence.fault_statistics import RepairTime, repair_time
from recordgen.pages.calculated import rounded
from recordgen.pages.fault_values import FaultBook, FaultFacts
from recordgen.records.loader import LoadedBuilding


@dataclass(frozen=True)
class CameBack:
    """Faults of one kind on one circuit; `shortest` is in days, or empty."""

    kind: str
    circuit: str
    faults: tuple[FaultFacts, ...]
    shortest: str


@dataclass(frozen=True)
class FaultFigures:
    """Figures over some faults, ready to show.

    Attributes
    ----------
    count, open : int
    oldest : tuple of FaultFacts
        The open one or ones found first; empty where the day of none is known.
    oldest_days : str
    undated : int
        Open faults of which it is not known how long they have been open.
    mean : str
        Mean days from found to repaired; empty where none can be counted.
    counted : str
        What the mean is made of, as a sentence.
    left_out : tuple of str
        What is not in it, sentences.
    came_back : tuple of CameBack
    without_circuit : int
        Faults that name no circuit, so that what came back of them is not seen.
    """

    count: int
    open: int
    oldest: tuple[FaultFacts, ...]
    oldest_days: str
    undated: int
    mean: str
    counted: str
    left_out: tuple[str, ...]
    came_back: tuple[CameBack, ...]
    without_circuit: int


def fault_figures(
    book: FaultBook, buildings: Mapping[str, LoadedBuilding], as_of: dt.date
) -> FaultFigures:
    """Return the figures of some buildings.

    Parameters
    ----------
    book : FaultBook
    buildings : mapping of str to LoadedBuilding
        Building id → its records: one, or all.
    as_of : date
        The day to judge for.

    Returns
    -------
    FaultFigures
    """
    faults = [facts for facts in book.all.values() if facts.building in buildings]
    still = [facts for facts in faults if facts.is_open]
    longest = max((facts.days for facts in still if facts.days is not None), default=None)
    time = repair_time(buildings, as_of)
    own = {facts.tag for facts in faults}
    return FaultFigures(
        count=len(faults),
        open=len(still),
        oldest=tuple(f for f in still if longest is not None and f.days == longest),
        oldest_days=_days(longest) if longest is not None else "",
        undated=sum(facts.days is None for facts in still),
        mean=f"{rounded(time.mean_d)} days" if time.mean_d is not None else "",
        counted=_counted(time),
        left_out=tuple(_left_out(time)),
        came_back=tuple(
            CameBack(
                kind=each.kind,
                circuit=each.circuit,
                faults=tuple(book.all[tag] for tag in each.faults),
                shortest=_days(each.shortest_d) if each.shortest_d is not None else "",
            )
            for each in book.recurrences
            if not own.isdisjoint(each.faults)
        ),
        without_circuit=sum(not facts.circuit for facts in faults),
    )


def _days(count: int) -> str:
    return f"{count} day{'' if count == 1 else 's'}"


def _faults(count: int) -> str:
    return f"{count} fault{'' if count == 1 else 's'}"


def _counted(time: RepairTime) -> str:
    if time.mean_d is None or time.longest_d is None:
        return "No fault has both the day it was found and the day it was repaired."
    return (
        f"Mean of {_faults(time.counted)}, from the day found to the last repair; the longest took "
        f"{_days(time.longest_d)}."
    )


def _left_out(time: RepairTime) -> Sequence[str]:
    found = []
    if time.waiting and time.longest_wait_d is not None:
        found.append(
            f"{_faults(time.waiting)} found and not recorded as repaired; the oldest has waited "
            f"{_days(time.longest_wait_d)}. With them the mean would be longer."
        )
    if time.left_out:
        found.append(
            f"{_faults(time.left_out)} whose days do not tell: not recorded as found, closed "
            "without a repair, or days that cannot be."
        )
    return found
