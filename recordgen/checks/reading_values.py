"""Readings that the scale of a receiver cannot show, and orientations that do not fit.

Passing: `values: [86, 79, 74]`
Failing: `values: [86, 79, 100]`

The scale goes from 0 to 99 and has no unit; tenths are read as they stand. A place is read flat, or
in three orientations. A reading that does not fit counts for nothing, so a slip of the pen can take
away the one that mattered.
"""

from __future__ import annotations

from collections.abc import Iterator, Set

from recordgen.checks.facts import Facts
from recordgen.evidence.concerned import concerned
from recordgen.evidence.signals import ORIENTATIONS, TOP_OF_SCALE
from recordgen.problems import Problem
from recordgen.records.field import Reading, Trace
from recordgen.records.loader import LoadedBuilding

_OF_A_NUMBER = "+-.,0123456789"


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for each reading that does not count, a note for what is left unread."""
    every = {f"{each.id}:{tag}" for each in facts.buildings.values() for tag in each.records.panels}
    for loaded in facts.buildings.values():
        panels = every | set(loaded.records.panels)
        for tag, trace in loaded.records.traces.items():
            subjects = concerned(facts.buildings, loaded, trace)
            for index, reading in enumerate(trace.readings):
                yield from _of_reading(loaded, tag, index, reading, subjects)
            yield from _of_covers(loaded, panels, tag, trace, subjects)


def _of_reading(
    loaded: LoadedBuilding, tag: str, index: int, reading: Reading, subjects: tuple[str, ...]
) -> Iterator[Problem]:
    unit = next((value for value in reading.values if value.written.strip(_OF_A_NUMBER)), None)
    off = next((value for value in reading.values if not 0 <= value <= TOP_OF_SCALE), None)
    scale = f"the scale of a receiver goes from 0 to {TOP_OF_SCALE:g}"
    if unit is not None:
        code, said = "reading-with-unit", f"reads {unit.written}, and {scale} without a unit"
        hint = "write what the scale showed; a measured quantity goes into `note` or into a fault"
    elif off is not None:
        code, said = "reading-off-scale", f"reads {off.written}, and {scale}"
        hint = f"correct it; a scale that was full is written {TOP_OF_SCALE:g}"
    elif len(reading.values) not in (1, ORIENTATIONS):
        code = "reading-orientations"
        said = f"has {len(reading.values)} values, where one or three orientations count"
        hint = "write one value, or all three: flat, turned a quarter, on edge"
    else:
        return
    yield Problem(
        "warning",
        code,
        f"{tag}: {reading.at} {said}",
        loaded.where("traces", tag, "readings", index, "values"),
        hint,
        subjects=subjects,
    )


def _of_covers(
    loaded: LoadedBuilding, panels: Set[str], tag: str, trace: Trace, subjects: tuple[str, ...]
) -> Iterator[Problem]:
    """Yield a note where the cover of one of the panels was read in three orientations."""
    turned = [
        index
        for index, reading in enumerate(trace.readings)
        if trace.purpose == "identify the breaker"
        and len(reading.values) == ORIENTATIONS
        and reading.at in panels
    ]
    if turned:
        covers = ", ".join(trace.readings[index].at for index in turned)
        places = [loaded.where("traces", tag, "readings", index, "values") for index in turned]
        yield Problem(
            "note",
            "cover-orientations",
            f"{tag}: three orientations at the cover of {covers}, where only the first is compared",
            places[0],
            "if it was a breaker, write it as PANEL/POSITION",
            related=tuple(places[1:]),
            subjects=subjects,
        )
