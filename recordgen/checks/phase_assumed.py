"""Panels whose phases are assumed where something leans on them.

Passing: `panels: {HL-1: {system: 240/120 high-leg delta, numbering: odd left, high_leg: B}}`
Failing: `panels: {HL-1: {system: 240/120 high-leg delta}}`

Odd numbers on the left, phases A, B, C down the rows, and the high leg on B (NEC 408.3(E), from
memory) are what a panel is taken to have that says nothing else. On a delta with a high leg a wrong
guess is 208 V on a load for 120 V; with a shared neutral it is a neutral that carries the sum. On
other panels, and where numbers stand for whole devices, nothing is said.
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.checks.facts import Facts
from recordgen.problems import Problem
from recordgen.records.supply import Panel


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a note for each such panel that has circuits."""
    for building, loaded in facts.buildings.items():
        for tag, panel in loaded.records.panels.items():
            missing = _missing(panel)
            if missing and panel.circuits and not panel.counts_by_device:
                high = " and the high leg on B" if "high_leg" in missing else ""
                yield Problem(
                    "note",
                    "phase-assumed",
                    f"{tag}: its phases are assumed, odd numbers left, A, B, C down the rows{high}",
                    loaded.where("panels", tag),
                    f"measure it, and record {' and '.join(f'`{key}`' for key in missing)}",
                    subjects=(f"{building}:{tag}",),
                )


def _missing(panel: Panel) -> list[str]:
    """Return the keys that something leans on and that are not recorded."""
    high_leg = panel.system is not None and panel.system.high_leg
    shared = any(circuit.neutral_shared_with for circuit in panel.circuits.values())
    found = []
    if panel.numbering is None and (high_leg or shared):
        found.append("numbering")
    if high_leg and panel.high_leg is None:
        found.append("high_leg")
    return found
