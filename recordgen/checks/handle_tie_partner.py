"""Handles recorded as tied, with nothing that says to which.

Passing: `3: {device: {rating: 20 A, handle: handle tie}, handle_tied_with: [5]}`
Failing: `3: {device: {rating: 20 A, handle: handle tie}}`

Opening one opens the other. Where the record does not say which other, the list of what goes dark
is too short, and nobody is told.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from recordgen.checks.facts import Facts
from recordgen.problems import Problem

CODE: Final = "tie-partner-not-recorded"


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for each one-pole device of which the partner is not recorded."""
    for building, loaded in facts.buildings.items():
        for tag, panel in loaded.records.panels.items():
            for position, circuit in panel.circuits.items():
                full = f"{building}:{tag}/{position}"
                tied = circuit.device is not None and circuit.device.handle == "handle tie"
                device = facts.network.devices.get(full)
                if not tied or device is None or device.opens_with or (device.poles or 1) > 1:
                    continue
                yield Problem(
                    "warning",
                    CODE,
                    f"the handle of {tag}/{position} is tied, and to which is not recorded: "
                    "its list leaves out what opens with it",
                    loaded.where("panels", tag, "circuits", str(position), "device"),
                    "name the neighbours that its handle moves with in `handle_tied_with`",
                    subjects=(full,),
                )
