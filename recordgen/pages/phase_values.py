"""The load of a panel by phase, as its page shows it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from recordgen.calc.answer import Need
from recordgen.calc.connected_load import LoadPart, phase_va
from recordgen.calc.line_current import ampere_limits, phasor_amperes
from recordgen.calc.study.distribution import Element
from recordgen.calc.study.study import Study
from recordgen.calc.unbalance import unbalance_percent
from recordgen.pages.calculated import Missing, amount_text, missing_of
from recordgen.pages.view import View
from recordgen.records.supply import Panel

_PHASORS: Final = "Currents are added as phasors, by the recorded power factors."
_IN_STEP: Final = (
    "No more than this flows: where power factors are not recorded, currents are added as if all "
    "were in step. In the neutral, where phases cancel in part, it is much less."
)
_OF_RECORDED: Final = (
    "Of what is recorded, added as if all currents were in step, so that phases do not cancel in "
    "the neutral. What is missing comes on top."
)
_OF_RECORDED_PHASORS: Final = "Of what is recorded, added as phasors. What is missing comes on top."


@dataclass(frozen=True)
class PhaseLine:
    """What is booked on a phase, and the current in its conductor."""

    name: str
    va: str
    amperes: str


@dataclass(frozen=True)
class Phases:
    """The load by phase; without `lines`, `why` says what it would take."""

    lines: tuple[PhaseLine, ...]
    how: str
    unbalance: str
    missing: tuple[Missing, ...]
    why: str = ""


def phases_of(view: View, element: Element) -> Phases:
    """Return the load by phase of a panel."""
    study = view.portfolio.study
    system, panel = element.system, element.record
    parts = study.loading.parts(element.tag)
    if parts is None or system is None or not isinstance(panel, Panel):
        needs = list(unplaced(study, element))
        return Phases((), "", "", missing_of(view, needs), "" if needs else _no_legs(element))
    high_leg = (panel.high_leg or "B") if system.high_leg else None
    incomplete = bool(study.loading.carried[element.tag].needs)
    try:
        booked = phase_va(parts, system.phases)
        amperes, how = _amperes(parts, element, high_leg, incomplete=incomplete)
    except ValueError as error:
        return Phases((), "", "", (), str(error))
    lines = [
        PhaseLine(
            f"{leg} high leg" if leg == high_leg else leg,
            amount_text(va, "VA"),
            amount_text(amperes[leg], "A"),
        )
        for leg, va in booked.items()
    ]
    if system.neutral_v is not None:
        lines.append(PhaseLine("Neutral", "", amount_text(amperes["N"], "A")))
    unbalance = unbalance_percent(list(booked.values())) if any(booked.values()) else None
    return Phases(tuple(lines), how, "" if unbalance is None else amount_text(unbalance, "%"), ())


def _amperes(
    parts: list[LoadPart], element: Element, high_leg: str | None, *, incomplete: bool
) -> tuple[dict[str, float], str]:
    system = element.system
    assert system is not None  # noqa: S101  # for mypy: whoever asks has looked
    line = (system.line_v, system.neutral_v, system.phases, high_leg)
    if all(part.power_factor is not None for part in parts):
        flow = phasor_amperes(parts, *line)
        found = {"A": abs(flow.a), "B": abs(flow.b), "C": abs(flow.c), "N": abs(flow.neutral)}
        return found, _OF_RECORDED_PHASORS if incomplete else _PHASORS
    most = ampere_limits(parts, *line)
    found = {"A": most.a, "B": most.b, "C": most.c, "N": most.neutral}
    return found, _OF_RECORDED if incomplete else _IN_STEP


def unplaced(study: Study, element: Element) -> Iterator[Need]:
    """Yield what keeps the loads of a panel, or of one below, from their phases."""
    if element.system is None:
        yield Need(element.tag, "system")
        return
    for tag in study.distribution.below[element.tag]:
        circuit = study.distribution.elements[tag]
        if not study.loading.carried[tag].pieces:
            continue
        if circuit.kind == "circuit" and not circuit.legs:
            yield Need(tag, "device: poles", "on which phases it stands does not follow")
        for below in study.distribution.below[tag]:
            under = study.distribution.elements[below]
            if under.kind == "panel" and under.system == element.system:
                yield from unplaced(study, under)


def _no_legs(element: Element) -> str:
    return f"phases are not told apart in a system of {element.system}"


def foot_of(phases: Phases) -> str:
    """Return the totals by phase as the foot of a directory has them; empty where not known."""
    return " · ".join(f"{line.name} {line.va}" for line in phases.lines if line.va)
