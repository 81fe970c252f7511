"""Worksheets for the life of a fault: every step with what is measured in it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from recordgen.evidence.fault_life import STEPS, status
from recordgen.evidence.fault_steps import RETEST_WANTS
from recordgen.pages import paths
from recordgen.pages.describe import text_of
from recordgen.pages.page import Heading, Page
from recordgen.pages.view import View
from recordgen.pages.worksheet_parts import (
    GAP,
    PROVING,
    Sheet,
    blanks,
    choices,
    instruments,
)
from recordgen.pages.worksheet_wording import NO_RECORD_PROVES, SAFETY
from recordgen.records.field import Fault, FaultStep, Instrument, Measurement, Step

_HEAD: Final = ("kind", "circuit", "load", "room", "description")
_TAIL: Final = ("cause", "photos", "notes")
MEASURED: Final = tuple(field.alias or key for key, field in Measurement.model_fields.items())
"""The columns of what is measured."""


@dataclass(frozen=True)
class StepBlank:
    """A step of a fault: what to write and measure, and what is recorded already.

    `rows` is how many measurements have a place.
    """

    step: FaultStep
    what: str
    measure: str
    rows: int
    done: tuple[str, ...]


_STEP_WANTS: Final[Mapping[FaultStep, tuple[str, str, int]]] = {
    "found": (
        "what was noticed, where, under which conditions (load, rain, time)",
        (
            "what shows the fault: the same quantity as at the retest, so that the two can be held "
            "against each other"
        ),
        2,
    ),
    "made safe": (
        "which devices are open, whose locks hang there, what is unplugged or tagged",
        "voltage, which has to read zero: all conductors to each other and to ground",
        1,
    ),
    "located": (
        "where: the stretch and the nearest landmark, never a point without its uncertainty",
        (
            "distance, resistance or insulation resistance of the parts taken from each other; the "
            "trace by its tag"
        ),
        2,
    ),
    "repaired": ("what was renewed, with what", "", 0),
    "retested": ("the whole circuit, with what was taken off put back or tested by itself", "", 3),
    "closed": ("how long it has held; card, labels and records put right", "", 0),
}


def fault_page(view: View, building: str, tag: str = "") -> Page:
    """Return the worksheet of a fault's life, made out for a recorded fault or empty."""
    loaded = view.loaded(building)
    fault = loaded.records.faults[tag] if tag else None
    title = f"Worksheet: fault {tag}" if tag else "Worksheet: life of a fault"
    day = view.portfolio.as_of
    kinds = frozenset(choices(Instrument, "kind"))
    found = instruments(loaded.records, kinds - PROVING, day)
    known = _known(fault)
    sheet = Sheet(
        safety=SAFETY["fault"],
        how=(),
        otherwise=(),
        head=blanks(Fault, _HEAD, known, {"circuit": "panel/position", "load": "its tag"}),
        tail=blanks(Fault, _TAIL, known, {}),
        instruments=found,
        testers=instruments(loaded.records, PROVING, day),
        yaml=_yaml(tag, known),
        command=f"recordgen record fault {building} {tag}".rstrip(),
    )
    return view.page(
        paths.worksheet(building, "fault", tag),
        title,
        "worksheet_fault.html",
        building=building,
        contents=[Heading(1, "top", title)],
        context={
            "sheet": sheet,
            "cautions": NO_RECORD_PROVES,
            "steps": tuple(_steps(fault)),
            "columns": MEASURED,
            "quantities": choices(Measurement, "quantity"),
        },
    )


def _known(fault: Fault | None) -> dict[str, str]:
    if fault is None:
        return {}
    return {key: text_of(value) for key in (*_HEAD, *_TAIL) if (value := getattr(fault, key))}


def _steps(fault: Fault | None) -> Iterator[StepBlank]:
    for step in STEPS:
        what, measure, rows = _STEP_WANTS[step]
        if step == "retested":
            measure = "; ".join(_retest_wants(fault))
        done = tuple(_done(each) for each in (fault.steps if fault else ()) if each.step == step)
        yield StepBlank(step, what, measure, rows, done)


def _done(step: Step) -> str:
    measured = "; ".join(text_of(each) for each in step.measured)
    parts = (step.date.isoformat(), step.by, step.what or "", measured)
    return ", ".join(filter(None, parts))


def _retest_wants(fault: Fault | None) -> Iterator[str]:
    """Yield which quantity shows that a fault of a kind is gone, kinds of one answer together."""
    by_wanted: dict[tuple[str, ...], list[str]] = {}
    for kind, wanted in RETEST_WANTS.items():
        if fault is None or fault.kind == kind:
            by_wanted.setdefault(wanted, []).append(kind)
    for wanted, kinds in by_wanted.items():
        yield f"{', '.join(kinds)}: {' or '.join(wanted)}"
    if fault is None or fault.kind in ("nuisance trip", "failed device"):
        yield "trips, or a failed device, where a GFCI is on the circuit: trip time"
    if fault is None or fault.kind == "wrong labelling":
        yield "wrong labelling: open the breaker and see what goes dead"
    if fault is None or "insulation resistance" in RETEST_WANTS.get(fault.kind, ()):
        yield (
            "insulation resistance with the same points and test_voltage as before, and the "
            "temperature"
        )


def _yaml(tag: str, known: Mapping[str, str]) -> tuple[str, ...]:
    steps = (
        "    steps:",
        f"      - step: {GAP}",
        f"        date: {GAP}",
        f"        by: {GAP}",
        f"        what: {GAP}",
        f"        measured: [{{{', '.join(f'{key}: {GAP}' for key in MEASURED)}}}]",
        f"        instrument: {GAP}",
        f"        trace: {GAP}",
    )
    if tag:
        return ("faults:", f"  {tag}:", *steps, f"    cause: {GAP}")
    head = (f"    {key}: {known.get(key, GAP)}" for key in _HEAD)
    tail = (f"    {key}: {f'[{GAP}]' if key == 'photos' else GAP}" for key in _TAIL)
    return ("faults:", f"  {GAP}:", *head, *steps, *tail)


def open_faults(view: View, building: str) -> tuple[str, ...]:
    """Return the tags of the faults of a building that are not closed."""
    faults = view.loaded(building).records.faults
    return tuple(tag for tag, fault in faults.items() if status(fault) != "closed")
