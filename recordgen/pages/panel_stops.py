"""The STOP notices of a panel, counted, and the positions that they stand on."""

from __future__ import annotations

from dataclasses import dataclass

from recordgen.pages.view import View
from recordgen.records.supply import Panel


@dataclass(frozen=True)
class PanelStops:
    """How many STOP notices stand on a panel, and on which of its positions."""

    count: int
    positions: tuple[str, ...]


def panel_stops(view: View, full: str, panel: Panel) -> PanelStops:
    """Return the STOP notices of a panel (full tag), of its circuits and of their loads."""
    found = dict.fromkeys(view.answers.stops((full, f"{full}/main")))
    positions = []
    building = full.partition(":")[0]
    for position, circuit in panel.circuits.items():
        tags = (f"{full}/{position}", *(f"{building}:{load}" for load in circuit.loads or ()))
        here = view.answers.stops(tags)
        found.update(dict.fromkeys(here))
        if here:
            positions.append(str(position))
    return PanelStops(len(found), tuple(positions))
