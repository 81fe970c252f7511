"""Directory entries that do not tell what a circuit feeds, or only who sits there.

Passing: `14: {description: Class room lights, device: 20 A, loads: none}`
Failing: `14: {description: lights, device: 20 A, loads: none}`

NEC 408.4(A) (from memory) wants the clear, evident and specific purpose of every circuit, told
apart from the others, and nothing that depends on who happens to occupy the place. An entry counts
as vague where it has no word but those of the list below, or ends in doubt. The list is common
practice: a judgement of words, no standard's. Where nothing is recorded, the door card may still
say it, so that is a note.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from recordgen.checks.facts import Facts
from recordgen.problems import Location, Problem
from recordgen.records.loader import LoadedBuilding
from recordgen.records.positions import Position
from recordgen.records.supply import Circuit

_SAY_NOTHING: Final = frozenset(
    re.findall(
        "[a-z]+",
        "a all and appliance appliances area breaker circuit circuits device devices do equipment "
        "etc existing feed general in is it label labelled light lighting lights load loads "
        "location machine machines misc miscellaneous motor motors new no not off old on or other "
        "others outlet outlets panel plug plugs power receptacle receptacles room rooms socket "
        "sockets some spare spares stuff switch tbd the turn unidentified unit units unknown "
        "unlabelled used various with",
    )
)
"""Words that do not tell one circuit of a panel from the next."""

_POSSESSIVE: Final = re.compile(r"\b([A-Za-z]+)['\u2019]s\b\s*(\w*)")


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning a panel for vague entries, a note for occupants and for what is missing."""
    for loaded in facts.buildings.values():
        names = [(room.name or "").casefold() for room in loaded.records.rooms.values()]
        for tag, panel in loaded.records.panels.items():
            used = {p: c for p, c in panel.circuits.items() if not c.spare and not c.space}
            vague = [position for position, circuit in used.items() if is_vague(circuit)]
            if vague:
                said = ", ".join(_shown(position, used[position]) for position in vague)
                yield _problem(
                    loaded,
                    tag,
                    vague,
                    "vague-entry",
                    f"{tag}: these entries do not say what the circuit feeds: {said}; NEC 408.4(A) "
                    "wants its specific purpose",
                    "say what it feeds and where",
                )
            missing = [position for position, circuit in used.items() if not circuit.description]
            if missing:
                yield _problem(
                    loaded,
                    tag,
                    missing,
                    "entry-not-recorded",
                    f"{tag}: for {_counted(missing)} it is not recorded what the directory says; "
                    "NEC 408.4(A) wants an entry for each",
                    "add `description:`",
                )
            passing = [p for p, c in used.items() if _of_an_occupant(c.description or "", names)]
            if passing:
                said = ", ".join(_shown(position, used[position]) for position in passing)
                yield _problem(
                    loaded,
                    tag,
                    passing,
                    "entry-names-occupant",
                    f"{tag}: these entries may depend on who occupies the place: {said}; "
                    "NEC 408.4(A) wants none that do",
                    "name the room; where it bears that name for good, record it under `rooms`",
                )


def is_vague(circuit: Circuit) -> bool:
    """Say whether the description of a circuit in use leaves open what it feeds."""
    if circuit.description is None:
        return False
    words = re.findall(r"[a-z]+", circuit.description.casefold())
    return set(words) <= _SAY_NOTHING or circuit.description.rstrip(" !").endswith("?")


def _of_an_occupant(description: str, rooms: list[str]) -> bool:
    """Say whether a possessive stands there that is not part of the name of a room."""
    for found in _POSSESSIVE.finditer(description):
        phrase = found[0].replace("\u2019", "'").casefold().strip()
        if not any(phrase in name.replace("\u2019", "'") for name in rooms):
            return True
    return False


def _shown(position: Position, circuit: Circuit) -> str:
    return f'{position} "{circuit.description}"'


def _counted(positions: list[Position]) -> str:
    return "1 circuit" if len(positions) == 1 else f"{len(positions)} circuits"


def _problem(
    loaded: LoadedBuilding,
    tag: str,
    positions: list[Position],
    code: str,
    message: str,
    hint: str,
) -> Problem:
    places = [_place(loaded, tag, position) for position in positions]
    return Problem(
        "warning" if code == "vague-entry" else "note",
        code,
        message,
        places[0],
        hint,
        # All that lack an entry would be a long list that says nothing more.
        related=tuple(places[1:]) if code != "entry-not-recorded" else (),
        subjects=tuple(f"{loaded.id}:{tag}/{position}" for position in positions),
    )


def _place(loaded: LoadedBuilding, tag: str, position: Position) -> Location:
    path = ("panels", tag, "circuits", str(position))
    written = loaded.records.panels[tag].circuits[position].description is not None
    return loaded.where(*path, "description") if written else loaded.where_key(*path)
