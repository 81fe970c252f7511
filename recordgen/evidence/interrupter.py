"""Whether a ground-fault circuit-interrupter stands before what a fault is about."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from recordgen.evidence.concerned import concerned
from recordgen.network.model import building_of, local
from recordgen.records.field import Fault
from recordgen.records.loader import LoadedBuilding
from recordgen.records.positions import read_position

INTERRUPTERS: Final = frozenset({"GFCI breaker", "dual-function breaker"})


def has_interrupter(
    buildings: Mapping[str, LoadedBuilding], loaded: LoadedBuilding, fault: Fault
) -> bool:
    """Return whether one is recorded on the circuit or the outlet of a fault.

    Parameters
    ----------
    buildings : mapping of str to LoadedBuilding
        Building id → its records.
    loaded : LoadedBuilding
        The building that the fault is recorded in.
    fault : Fault

    Returns
    -------
    bool
        False also where nothing is recorded of the device.
    """
    if fault.load is not None and loaded.loads[fault.load].load.gfci:
        return True
    for subject in concerned(buildings, loaded, fault):
        panel, _, position = local(subject).partition("/")
        record = buildings[building_of(subject)].records.panels.get(panel)
        if record is not None and position and position != "main":
            device = record.circuits[read_position(position)].device
            if device is not None and device.kind in INTERRUPTERS:
                return True
    return False
