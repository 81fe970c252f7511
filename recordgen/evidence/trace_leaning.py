"""Which other records of a building lean on a trace."""

from __future__ import annotations

from dataclasses import dataclass

from recordgen.records.building import BuildingRecords


@dataclass(frozen=True)
class Leaning:
    """Tags of the records that name a trace, each once, in the order of the records.

    Attributes
    ----------
    faults : tuple of str
        Faults with a step that names it.
    located : tuple of str
        Those of them that were located by it.
    cables : tuple of str
    identified : tuple of str
        Those of them that say how they were identified, and name no other evidence than it.
    runs : tuple of str
    """

    faults: tuple[str, ...]
    located: tuple[str, ...]
    cables: tuple[str, ...]
    identified: tuple[str, ...]
    runs: tuple[str, ...]


def leanings(records: BuildingRecords) -> dict[str, Leaning]:
    """Return trace → what leans on it, of every trace of a building."""
    faults: dict[str, list[str]] = {}
    located: dict[str, list[str]] = {}
    cables: dict[str, list[str]] = {}
    identified: dict[str, list[str]] = {}
    runs: dict[str, list[str]] = {}
    for tag, fault in records.faults.items():
        for trace in dict.fromkeys(step.trace for step in fault.steps if step.trace):
            faults.setdefault(trace, []).append(tag)
            if any(step.trace == trace and step.step == "located" for step in fault.steps):
                located.setdefault(trace, []).append(tag)
    for tag, cable in records.cables.items():
        if cable.trace:
            cables.setdefault(cable.trace, []).append(tag)
            if cable.identified is not None:
                identified.setdefault(cable.trace, []).append(tag)
    for tag, run in records.runs.items():
        if run.trace:
            runs.setdefault(run.trace, []).append(tag)
    kinds = (faults, located, cables, identified, runs)
    return {
        trace: Leaning(*(tuple(kind.get(trace, ())) for kind in kinds)) for trace in records.traces
    }
