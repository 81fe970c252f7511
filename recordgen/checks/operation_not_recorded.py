"""Equipment of which nobody has recorded how it behaves when the supply is lost.

Passing: `sources: {GEN-1: {kind: generator, start: automatic}}`
Failing: `sources: {GEN-1: {kind: generator}}`

What is not recorded to act by itself counts as not acting, so the lists say "dark" where a load may
in truth come back; and how long a battery carries reads "not recorded".
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.checks.facts import Facts
from recordgen.problems import Location, Problem
from recordgen.records.equipment import TransferSwitch, Ups


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for each generator, transfer switch and UPS."""
    for building, loaded in facts.buildings.items():
        for tag, source in loaded.records.sources.items():
            if source.kind == "generator" and source.start is None:
                place = loaded.where("sources", tag)
                text = f"{tag}: whether it starts by itself is not recorded; it counts as not"
                yield _warning(f"{building}:{tag}", text, "add `start:`", place)
        for tag, equipment in loaded.records.equipment.items():
            place = loaded.where("equipment", tag)
            if isinstance(equipment, TransferSwitch) and equipment.operation is None:
                text = f"{tag}: whether it transfers by itself is not recorded; it counts as not"
                yield _warning(f"{building}:{tag}", text, "add `operation:`", place)
            elif isinstance(equipment, Ups) and equipment.ride_through_min is None:
                text = f"{tag}: how long its battery carries the load is not recorded"
                yield _warning(f"{building}:{tag}", text, "add `ride_through:`", place)


def _warning(subject: str, text: str, hint: str, place: Location) -> Problem:
    return Problem("warning", "operation-not-recorded", text, place, hint, subjects=(subject,))
