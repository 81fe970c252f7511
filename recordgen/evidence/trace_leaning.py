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


def leaning_on(records: BuildingRecords, trace: str) -> Leaning:
    """Return what leans on a trace, by its tag in the same building."""
    steps = {
        tag: {step.step for step in fault.steps if step.trace == trace}
        for tag, fault in records.faults.items()
    }
    cables = {tag: cable for tag, cable in records.cables.items() if cable.trace == trace}
    return Leaning(
        faults=tuple(tag for tag, named in steps.items() if named),
        located=tuple(tag for tag, named in steps.items() if "located" in named),
        cables=tuple(cables),
        identified=tuple(tag for tag, cable in cables.items() if cable.identified is not None),
        runs=tuple(tag for tag, run in records.runs.items() if run.trace == trace),
    )
