"""Fault history of a building: every fault with its steps, open ones first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from recordgen.evidence.fault_life import days_open, found_on, missing_steps, status
from recordgen.pages import paths
from recordgen.pages.describe import text_of
from recordgen.pages.page import Heading, Page
from recordgen.pages.view import View
from recordgen.records.field import Fault


@dataclass(frozen=True)
class StepLine:
    """A step, ready to show."""

    step: str
    date: str
    by: str
    what: str
    measured: tuple[str, ...]
    instrument: str
    trace: str


@dataclass(frozen=True)
class FaultLine:
    """A fault, ready to show; `circuit` and `load` are full tags or empty."""

    tag: str
    fault: Fault
    status: str
    is_open: bool
    found: str
    days: str
    circuit: str
    load: str
    steps: tuple[StepLine, ...]
    missing: tuple[str, ...]


def pages(view: View) -> Iterator[Page]:
    """Yield the fault history of every building."""
    for building, loaded in view.portfolio.buildings.items():
        lines = [_line(view, building, tag, f) for tag, f in loaded.records.faults.items()]
        lines.sort(key=lambda line: (not line.is_open, _reversed(line.found)))
        title = f"Fault history: {loaded.records.building.name}"
        yield view.page(
            paths.index(building, "faults"),
            title,
            "faults.html",
            building=building,
            nav="Faults",
            searched=True,
            contents=[
                Heading(1, "top", title),
                Heading(2, "list", "All faults"),
                Heading(2, "steps", "Step by step"),
            ],
            context={"lines": lines, "open_count": sum(line.is_open for line in lines)},
        )


def _reversed(date: str) -> tuple[int, ...]:
    """Return a key that sorts later dates first, and unknown ones last."""
    return tuple(-ord(c) for c in date) or (1,)


def _line(view: View, building: str, tag: str, fault: Fault) -> FaultLine:
    where = status(fault)
    found = found_on(fault)
    days = days_open(fault, view.portfolio.as_of)
    circuit = str(fault.circuit) if fault.circuit else ""
    if circuit and not (fault.circuit and fault.circuit.building):
        circuit = f"{building}:{circuit}"
    return FaultLine(
        tag=tag,
        fault=fault,
        status=where or "no step recorded",
        is_open=where != "closed",
        found=found.isoformat() if found else "",
        days=f"{days} d" if days is not None else "",
        circuit=view.canonical(circuit) if circuit else "",
        load=f"{building}:{fault.load}" if fault.load else "",
        steps=tuple(
            StepLine(
                step.step,
                step.date.isoformat(),
                step.by,
                step.what or "",
                tuple(text_of(m) for m in step.measured),
                step.instrument or "",
                step.trace or "",
            )
            for step in fault.steps
        ),
        missing=missing_steps(fault),
    )
