"""The faults of one circuit, as the card of the circuit lists them."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from recordgen.network.model import building_of, local
from recordgen.pages import paths
from recordgen.pages.fault_values import FaultFacts
from recordgen.pages.view import View


@dataclass(frozen=True)
class CircuitFaults:
    """The faults that name a circuit, or no circuit and a load of it, the latest first.

    Attributes
    ----------
    faults : tuple of FaultFacts
    open : int
        How many of them are open.
    circuit : str
        Tag of the circuit in its building.
    path, anchor : str
        Of the fault history that holds all of them, with its filter preset to the circuit.
    """

    faults: tuple[FaultFacts, ...]
    open: int
    circuit: str
    path: str
    anchor: str


def circuit_faults(view: View, circuit: str) -> CircuitFaults:
    """Return the faults of a circuit (full tag)."""
    own = sorted(
        view.faults.on_circuit(circuit),
        # Of unknown day, it may be the latest.
        key=lambda facts: facts.found or dt.date.max,
        reverse=True,
    )
    building = building_of(circuit)
    alone = all(facts.building == building for facts in own)
    return CircuitFaults(
        faults=tuple(own),
        open=sum(facts.is_open for facts in own),
        circuit=local(circuit),
        path=paths.index(building, "faults") if alone else paths.ALL_FAULTS,
        anchor=paths.faults_at(circuit),
    )
