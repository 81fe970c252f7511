"""Two circuits of one panel that the directory describes in the same words.

Passing: `14: {description: Class room lights, device: 20 A, loads: none}`
Failing: `14: {description: Hall lights, device: 20 A, loads: none}`

NEC 408.4(A) (from memory) wants every circuit told apart from all others. With two alike, the wrong
one of them is opened.
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.checks.facts import Facts
from recordgen.problems import Problem
from recordgen.records.positions import Position
from recordgen.records.supply import Panel


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for each description that a panel uses more than once."""
    for building, loaded in facts.buildings.items():
        for tag, panel in loaded.records.panels.items():
            for alike in _alike(panel):
                places = [
                    loaded.where("panels", tag, "circuits", str(position), "description")
                    for position in alike
                ]
                yield Problem(
                    "warning",
                    "duplicate-entry",
                    f'{tag}: {_and(alike)} are described alike, "{_words(panel, alike[0])}"; '
                    "NEC 408.4(A) wants each told apart from the others",
                    places[0],
                    "say where each one goes",
                    related=tuple(places[1:]),
                    subjects=tuple(f"{building}:{tag}/{position}" for position in alike),
                )


def _alike(panel: Panel) -> Iterator[list[Position]]:
    """Yield the positions that share a description, upper and lower case alike."""
    found: dict[str, list[Position]] = {}
    for position, circuit in panel.circuits.items():
        if circuit.description and not circuit.spare and not circuit.space:
            found.setdefault(circuit.description.casefold().strip(" .!?"), []).append(position)
    yield from (positions for positions in found.values() if len(positions) > 1)


def _words(panel: Panel, position: Position) -> str:
    return panel.circuits[position].description or ""


def _and(positions: list[Position]) -> str:
    *first, last = map(str, positions)
    return f"{', '.join(first)} and {last}"
