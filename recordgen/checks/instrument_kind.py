"""Instruments that cannot have shown what is recorded with them, and methods that do not fit.

Passing: `instrument: TRC-1`
Failing: `instrument: IT-1`

Both are the instrument of a trace with readings of a signal; TRC-1 is a tracer, IT-1 an insulation
tester. Often another tag was meant, and then calibration is looked up for the wrong instrument.
Which kind shows what is common practice.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Set
from typing import Final

from recordgen.checks.facts import Facts
from recordgen.evidence.concerned import concerned
from recordgen.evidence.run_readings import PURPOSES as LOCATING
from recordgen.problems import Problem
from recordgen.records.field import Fault, Trace
from recordgen.records.loader import LoadedBuilding

SIGNAL: Final = frozenset({"tracer", "cable tester"})
OPENED: Final = SIGNAL | {"multimeter", "voltage tester", "clamp meter"}
"""Where the circuit was opened, a tester that shows the load dead will do too."""
_OHMS: Final = frozenset({"multimeter", "low-resistance ohmmeter", "insulation tester"})
_WARM: Final = frozenset({"thermal camera", "multimeter"})
MEASURES: Final[Mapping[str, frozenset[str]]] = {
    "insulation resistance": frozenset({"insulation tester"}),
    "continuity": _OHMS | {"cable tester"},
    "resistance": _OHMS | {"cable bridge"},
    "voltage": frozenset({"multimeter", "voltage tester", "clamp meter"}),
    "current": frozenset({"clamp meter", "multimeter"}),
    "trip time": frozenset({"GFCI tester"}),
    "trip current": frozenset({"GFCI tester"}),
    "temperature": _WARM,
    "temperature rise": _WARM,
    "distance": SIGNAL | {"reflectometer", "cable bridge"},
}
"""Quantity → kinds of instrument that measure it."""


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for each instrument or method that does not fit."""
    for loaded in facts.buildings.values():
        for tag, trace in loaded.records.traces.items():
            subjects = concerned(facts.buildings, loaded, trace)
            yield from _of_trace(loaded, tag, trace, subjects)
            yield from _methods(loaded, tag, trace, subjects)
        for tag, fault in loaded.records.faults.items():
            yield from _of_fault(loaded, tag, fault, concerned(facts.buildings, loaded, fault))


def _of_trace(
    loaded: LoadedBuilding, tag: str, trace: Trace, subjects: tuple[str, ...]
) -> Iterator[Problem]:
    fits: set[str] = set()
    if trace.echo:
        fits.add("reflectometer")
    if trace.bridge:
        fits |= {"cable bridge", "low-resistance ohmmeter"}
    if trace.readings or not fits:  # one by words alone was made with a tracer
        fits |= OPENED if trace.confirmed_by_opening else SIGNAL
    kind = _kind(loaded, trace.instrument)
    if kind is not None and kind not in fits:
        yield Problem(
            "warning",
            "instrument-kind",
            f"{tag}: {trace.instrument} is {_a(kind)}, and {_shown(trace)} come from "
            f"{_a(_either(fits))}",
            loaded.where("traces", tag, "instrument"),
            "correct the tag of the instrument, or its kind",
            related=(loaded.where("instruments", trace.instrument or "", "kind"),),
            subjects=subjects,
        )


def _shown(trace: Trace) -> str:
    """Return what a trace has from its instruments, in words."""
    parts = (("readings", trace.readings), ("an echo", trace.echo), ("a balance", trace.bridge))
    return " and ".join(name for name, there in parts if there) or "signals"


def _methods(
    loaded: LoadedBuilding, tag: str, trace: Trace, subjects: tuple[str, ...]
) -> Iterator[Problem]:
    """Yield a warning for a bridge on a broken conductor, and for distances nobody asked for."""
    if trace.bridge is not None and trace.purpose == "locate an open":
        yield Problem(
            "warning",
            "bridge-for-open",
            f"{tag}: a bridge needs a conductor that is whole, and this one is looked through for "
            "an open; its balance is left out",
            loaded.where("traces", tag, "bridge"),
            "take a reflectometer or a tracer; if the conductor is to ground, correct the purpose",
            subjects=subjects,
        )
    if trace.purpose not in LOCATING:
        for name, there in (("echo", trace.echo), ("bridge", trace.bridge)):
            if there is not None:
                yield Problem(
                    "warning",
                    "distance-not-asked",
                    f'{tag}: its {name} says where a fault is, and its purpose is to "'
                    f'{trace.purpose}"; it is left out',
                    loaded.where("traces", tag, name),
                    "put it into a trace of its own, to locate an open, a short or a ground fault",
                    subjects=subjects,
                )


def _of_fault(
    loaded: LoadedBuilding, tag: str, fault: Fault, subjects: tuple[str, ...]
) -> Iterator[Problem]:
    for index, step in enumerate(fault.steps):
        for number, measured in enumerate(step.measured):
            own = measured.instrument
            kind = _kind(loaded, own or step.instrument)
            fits = MEASURES[measured.quantity]
            if kind is None or kind in fits:
                continue
            place = ("steps", index, *(("measured", number) if own else ()), "instrument")
            yield Problem(
                "warning",
                "instrument-kind",
                f"{tag}: {own or step.instrument} is {_a(kind)}, and {measured.quantity} is "
                f"measured with {_a(_either(fits))}",
                loaded.where("faults", tag, *place),
                "correct the tag of the instrument, or its kind",
                related=(loaded.where("instruments", own or step.instrument or "", "kind"),),
                subjects=subjects,
            )


def _kind(loaded: LoadedBuilding, instrument: str | None) -> str | None:
    return loaded.records.instruments[instrument].kind if instrument else None


def _either(kinds: Set[str]) -> str:
    *most, last = sorted(kinds)
    return f"{', '.join(most)} or {last}" if most else last


def _a(kind: str) -> str:
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"
