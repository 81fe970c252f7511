"""What stands otherwise than in its normal state: positions, temporary feeds, locks in force.

Passing: a circuit with no `present`
Failing: `14: {device: 20 A, present: {position: open, since: 2026-11-02}}`

Lists and sheets start from the normal state unless they say otherwise, so what differs is said.
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.checks.facts import Facts
from recordgen.problems import Location, Problem
from recordgen.records.loader import LoadedBuilding


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for each temporary feed, a note for each position and lock."""
    for building, loaded in facts.buildings.items():
        for tag, panel in loaded.records.panels.items():
            own = f"{building}:{tag}"
            if panel.main_present:
                place = loaded.where("panels", tag, "main_present")
                yield _note(own, f"main of {tag}", panel.main_present.position, place)
            for position, circuit in panel.circuits.items():
                path = ("panels", tag, "circuits", str(position))
                if circuit.present:
                    place = loaded.where(*path, "present")
                    name = f"{tag}/{position}"
                    yield _note(f"{own}/{position}", name, circuit.present.position, place)
                if circuit.lock_in_force:
                    place = loaded.where(*path, "lock_in_force")
                    yield _lock(f"{own}/{position}", f"{tag}/{position}", place)
            yield from _temporary(loaded, "panels", tag, len(panel.temporary_feeds))
        for tag, equipment in loaded.records.equipment.items():
            if equipment.present:
                place = loaded.where("equipment", tag, "present")
                yield _note(f"{building}:{tag}", tag, equipment.present.position, place)
            if equipment.lock_in_force:
                place = loaded.where("equipment", tag, "lock_in_force")
                yield _lock(f"{building}:{tag}", tag, place)
            yield from _temporary(loaded, "equipment", tag, len(equipment.temporary_feeds))


def _note(subject: str, name: str, position: str, place: Location) -> Problem:
    return Problem(
        "note",
        "not-normal",
        f"{name} stands {position} now",
        place,
        "take `present` off when it is back to normal",
        subjects=(subject,),
    )


def _lock(subject: str, name: str, place: Location) -> Problem:
    return Problem(
        "note",
        "lock-in-force",
        f"a lock hangs on {name}",
        place,
        "only its owner takes it off",
        subjects=(subject,),
    )


def _temporary(loaded: LoadedBuilding, section: str, tag: str, count: int) -> Iterator[Problem]:
    for index in range(count):
        yield Problem(
            "warning",
            "temporary-feed",
            f"{tag} has a temporary feed; it counts as a source path",
            loaded.where(section, tag, "temporary_feeds", index),
            "take it off the record when it is gone",
            subjects=(f"{loaded.id}:{tag}",),
        )
