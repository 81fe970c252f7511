"""How much of the record is verified, and what to trace next.

Counted are claims "this load is on this circuit" for panels, and loads for rooms and buildings; a
load is as good as the weakest of its feeds. Verified means traced or confirmed, not grown old.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Final, Literal

from recordgen.evidence.grades import GradeName, Grades
from recordgen.network.model import Network, building_of, local
from recordgen.records.loader import LoadedBuilding

CRITICAL: Final = frozenset({"life safety", "critical"})
"""Criticalities that count as such in the worklist."""


@dataclass(frozen=True)
class Coverage:
    """How many claims, or loads, are known how well.

    Attributes
    ----------
    confirmed, traced, unverified : int
    """

    confirmed: int = 0
    traced: int = 0
    unverified: int = 0

    @property
    def total(self) -> int:
        """All of them."""
        return self.confirmed + self.traced + self.unverified

    @property
    def verified_percent(self) -> float | None:
        """Share traced or confirmed [%]; None where there is nothing to verify.

        Examples
        --------
        >>> Coverage(confirmed=1, traced=2, unverified=5).verified_percent
        37.5
        >>> Coverage().verified_percent is None
        True
        """
        return 100 * (self.confirmed + self.traced) / self.total if self.total else None


@dataclass(frozen=True)
class TraceNext:
    """Something to trace, and what it would settle.

    Attributes
    ----------
    tag : str
        Full tag of the circuit, or other feed, to list what is downstream of; or of the load whose
        breaker is to be found.
    what : {"list what is downstream", "identify the breaker"}
        The purpose of the trace.
    lifts_stop : bool
        Whether a STOP notice waits for it: a source or load that is unknown, or a contradiction.
    critical : tuple of str
        Full tags of unverified loads recorded as critical or for life safety.
    inspected : tuple of str
        Of it and its unverified loads, what has a lockout sheet that is inspected: one in use.
    sheets : tuple of str
        Full tags of unverified loads that have a lockout sheet of their own.
    loads : tuple of str
        All unverified loads, full tags.
    reasons : tuple of str
        Sentences without a full stop: why it stands where it does.
    """

    tag: str
    what: Literal["list what is downstream", "identify the breaker"]
    lifts_stop: bool
    critical: tuple[str, ...]
    inspected: tuple[str, ...]
    sheets: tuple[str, ...]
    loads: tuple[str, ...]
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class Shares:
    """Coverage of a whole portfolio; what has nothing to verify is left out, but for buildings.

    Attributes
    ----------
    panels : mapping of str to Coverage
        Full tag of panel → the claims about its circuits.
    rooms : mapping of str to Coverage
        `building:ROOM` → the loads in it.
    buildings : mapping of str to Coverage
        Building id → its loads.
    """

    panels: Mapping[str, Coverage]
    rooms: Mapping[str, Coverage]
    buildings: Mapping[str, Coverage]


def shares(buildings: Mapping[str, LoadedBuilding], network: Network, grades: Grades) -> Shares:
    """Return how much of each panel, room and building is verified."""
    return Shares(
        by_panel(network, grades), by_room(buildings, grades), by_building(buildings, grades)
    )


def coverage_of(grades: Iterable[GradeName]) -> Coverage:
    """Return how many of some grades are which."""
    names = list(grades)
    return Coverage(names.count("confirmed"), names.count("traced"), names.count("unverified"))


def by_panel(network: Network, grades: Grades) -> Mapping[str, Coverage]:
    """Return full tag of panel → coverage of the claims about its circuits.

    A panel that feeds no load by a circuit of its own is left out. What hangs on starters and other
    equipment counts for no panel: the claim is about that equipment.
    """
    found: dict[str, list[GradeName]] = {}
    for tag, load in network.loads.items():
        for feed in load.circuits:
            panel, slash, _ = feed.partition("/")
            if slash:
                found.setdefault(panel, []).append(grades.of_claim(tag, feed).name)
    return {panel: coverage_of(names) for panel, names in found.items()}


def by_room(buildings: Mapping[str, LoadedBuilding], grades: Grades) -> Mapping[str, Coverage]:
    """Return `building:ROOM` → coverage of the loads in it; loads without a room are left out."""
    found: dict[str, list[GradeName]] = {}
    for building, loaded in buildings.items():
        for tag, recorded in loaded.loads.items():
            if recorded.load.room is not None:
                room = f"{building}:{recorded.load.room}"
                found.setdefault(room, []).append(grades.of_load(f"{building}:{tag}").name)
    return {room: coverage_of(names) for room, names in found.items()}


def by_building(buildings: Mapping[str, LoadedBuilding], grades: Grades) -> Mapping[str, Coverage]:
    """Return building id → coverage of its loads."""
    return {
        building: coverage_of(grades.of_load(f"{building}:{tag}").name for tag in loaded.loads)
        for building, loaded in buildings.items()
    }


def trace_next(
    buildings: Mapping[str, LoadedBuilding],
    network: Network,
    grades: Grades,
    with_sheet: Collection[str] = (),
    inspected: Collection[str] = (),
) -> tuple[TraceNext, ...]:
    """Return what to trace next, what would settle most first.

    Parameters
    ----------
    buildings : mapping of str to LoadedBuilding
        Building id → its records.
    network : Network
    grades : Grades
    with_sheet : collection of str
        Full tags of loads that have a lockout sheet of their own.
    inspected : collection of str
        Full tags of what has a lockout sheet that somebody inspected.

    Returns
    -------
    tuple of TraceNext
        First what lifts a STOP notice, then by number of critical loads, of lockout sheets that are
        inspected, of lockout sheets and of loads, the most first; what ties stands by tag. What is
        verified is not among it.

    Notes
    -----
    The order is a rule of our own: what people lean on most comes first. How far it is to walk, or
    whether the circuit may be switched, is not known here.
    """
    waiting: dict[str, list[str]] = {}
    for tag, load in network.loads.items():
        for feed in load.circuits:
            if grades.of_claim(tag, feed).name == "unverified":
                waiting.setdefault(feed, []).append(tag)
    stopped = {feed: "its load is unknown" for feed, said in _unknown(network).items() if said}
    for found in grades.contradictions:
        for feed in found.recorded:
            stopped[feed] = f"trace {found.trace} contradicts the record"
    items = [
        _item(buildings, feed, waiting.get(feed, []), stopped.get(feed), with_sheet, inspected)
        for feed in dict.fromkeys((*waiting, *stopped, *_unknown(network)))
    ]
    for source in network.sources.values():
        if source.kind == "unknown":
            items.append(_without_source(buildings, network, source.tag, with_sheet, inspected))
    items.sort(
        key=lambda item: (
            not item.lifts_stop,
            -len(item.critical),
            -len(item.inspected),
            -len(item.sheets),
            -len(item.loads),
            item.tag,
        )
    )
    return tuple(items)


def _unknown(network: Network) -> Mapping[str, bool]:
    """Return the closed circuits whose loads are not known; whether the record says so outright."""
    return {
        tag: said
        for tag, said in network.unknown_load_circuits.items()
        if network.devices[tag].closed
    }


def _item(
    buildings: Mapping[str, LoadedBuilding],
    feed: str,
    loads: list[str],
    stop: str | None,
    with_sheet: Collection[str],
    inspected: Collection[str],
) -> TraceNext:
    critical = tuple(tag for tag in loads if _is_critical(buildings, tag))
    sheets = tuple(tag for tag in loads if tag in with_sheet)
    used = tuple(tag for tag in (feed, *loads) if tag in inspected)
    reasons = [stop] if stop else []
    if critical:
        reasons.append(f"critical: {', '.join(local(tag) for tag in critical)}")
    if used:
        reasons.append(f"lockout sheet in use: {', '.join(local(tag) for tag in used)}")
    if sheets:
        counted = "1 lockout sheet" if len(sheets) == 1 else f"{len(sheets)} lockout sheets"
        reasons.append(f"{counted} of its loads")
    if loads:
        reasons.append(f"{'1 load' if len(loads) == 1 else f'{len(loads)} loads'} not verified")
    elif not stop:
        reasons.append("its loads are not recorded")
    return TraceNext(
        feed,
        "list what is downstream",
        stop is not None,
        critical,
        used,
        sheets,
        tuple(loads),
        tuple(reasons),
    )


def _without_source(
    buildings: Mapping[str, LoadedBuilding],
    network: Network,
    source: str,
    with_sheet: Collection[str],
    inspected: Collection[str],
) -> TraceNext:
    owner = source.removesuffix("/unknown-source")
    loads = (owner,) if owner in network.loads else ()
    return TraceNext(
        owner,
        "identify the breaker",
        lifts_stop=True,
        critical=tuple(tag for tag in loads if _is_critical(buildings, tag)),
        inspected=tuple(tag for tag in (owner,) if tag in inspected),
        sheets=tuple(tag for tag in loads if tag in with_sheet),
        loads=loads,
        reasons=("what feeds it is not recorded",),
    )


def _is_critical(buildings: Mapping[str, LoadedBuilding], load: str) -> bool:
    return buildings[building_of(load)].loads[local(load)].load.criticality in CRITICAL
