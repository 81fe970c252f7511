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
from recordgen.evidence.interrupter import has_interrupter
from recordgen.problems import Problem
from recordgen.records.loader import LoadedBuilding

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


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning where somebody could rely on what was not done, a note for other gaps."""
    for loaded in facts.buildings.values():
        for tag, fault in loaded.records.faults.items():
            subjects = concerned(facts.buildings, loaded, fault)
            interrupter = has_interrupter(facts.buildings, loaded, fault)
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
