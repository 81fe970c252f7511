"""Faults whose recorded steps do not bear out where they are said to stand.

Passing: `quantity: insulation resistance, value: 220 Mohm`
Failing: `quantity: voltage, value: 277 V`

Both are what the retest of a ground fault measured. Steps that are missing, that come in an order
that cannot be, a retest that would not show the fault, and a fault that nobody has made safe.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Final

from recordgen.checks.facts import Facts
from recordgen.evidence.concerned import concerned
from recordgen.evidence.fault_steps import FlawKind, StepFlaw, step_flaws
from recordgen.network.model import building_of, local
from recordgen.problems import Problem
from recordgen.records.field import Fault
from recordgen.records.loader import LoadedBuilding
from recordgen.records.positions import read_position

CODES: Final[Mapping[FlawKind, str]] = MappingProxyType(
    {
        "missing step": "fault-step-missing",
        "not made safe": "fault-not-made-safe",
        "out of order": "fault-step-order",
        "not measured": "fault-not-measured",
        "not better": "fault-not-better",
        "instrument not recorded": "fault-instrument-not-recorded",
    }
)
INTERRUPTERS: Final = frozenset({"GFCI breaker", "dual-function breaker"})


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning where somebody could rely on what was not done, a note for other gaps."""
    for loaded in facts.buildings.values():
        for tag, fault in loaded.records.faults.items():
            subjects = concerned(facts.buildings, loaded, fault)
            interrupter = _has_interrupter(facts, loaded, fault, subjects)
            for flaw in step_flaws(fault, facts.as_of, interrupter=interrupter):
                yield _problem(loaded, tag, flaw, subjects)


def _problem(
    loaded: LoadedBuilding, tag: str, flaw: StepFlaw, subjects: tuple[str, ...]
) -> Problem:
    path: tuple[str | int, ...] = ()
    if flaw.index is not None:
        path = ("steps", flaw.index, "date" if flaw.kind == "out of order" else "step")
    return Problem(
        "warning" if flaw.grave else "note",
        CODES[flaw.kind],
        f"{tag}: {flaw.reason}",
        loaded.where("faults", tag, *path),
        flaw.next,
        subjects=subjects,
    )


def _has_interrupter(
    facts: Facts, loaded: LoadedBuilding, fault: Fault, subjects: tuple[str, ...]
) -> bool:
    """Say whether a ground-fault circuit-interrupter is recorded on the circuit or the outlet."""
    if fault.load is not None and loaded.loads[fault.load].load.gfci:
        return True
    for subject in subjects:
        panel, _, position = local(subject).partition("/")
        record = facts.buildings[building_of(subject)].records.panels.get(panel)
        if record is not None and position and position != "main":
            device = record.circuits[read_position(position)].device
            if device is not None and device.kind in INTERRUPTERS:
                return True
    return False
