"""Loads that are spread unevenly over the phases of a panel.

Passing: `1: {loads: {A: {kind: IT, power: 9 kVA}}}`, `3: {loads: {B: {kind: IT, power: 8 kVA}}}`
Failing: `1: {loads: {A: {kind: IT, power: 9 kVA}}}`, `3: {loads: {B: {kind: IT, power: 1 kVA}}}`

One phase then fills up before the others, the neutral carries the difference, and motors behind get
unequal voltages. No code sets a limit for loads: 20 % from the mean, and only where the fullest
phase is above half of what the panel is rated for (common practice). On a delta with a high leg
the two other legs are compared: nothing stands between the high leg and neutral.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt

from recordgen.calc.connected_load import phase_va
from recordgen.calc.practice_levels import practice_level
from recordgen.calc.study.capacity import ratings
from recordgen.calc.study.distribution import Element
from recordgen.calc.unbalance import unbalance_percent
from recordgen.checks.facts import Facts
from recordgen.network.model import building_of, local
from recordgen.problems import Problem
from recordgen.records.supply import Panel


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a note for each panel."""
    for element in facts.study.distribution.elements.values():
        if not isinstance(element.record, Panel):
            continue
        amperes = _amperes(facts, element, element.record)
        rated = min((rating_a for _, rating_a, _, _ in ratings(element)), default=None)
        if rated is None or not any(amperes.values()):
            continue
        percent = unbalance_percent(list(amperes.values()))
        full = 100 * max(amperes.values()) / rated
        if percent < practice_level("load unbalance"):
            continue
        if full < practice_level("loaded enough for unbalance"):
            continue
        phases = ", ".join(f"{leg} {value:.0f} A" for leg, value in amperes.items())
        known = facts.study.loading.carried[element.tag].needs
        yield Problem(
            "note",
            "unbalanced",
            f"{local(element.tag)}: the connected load differs by {percent:.0f} % from the mean of "
            f"the phases: {phases}{', and what is not recorded' if known else ''}",
            facts.buildings[building_of(element.tag)].where("panels", local(element.tag)),
            "move circuits to the phase with the least",
            subjects=(element.tag,),
        )


def _amperes(facts: Facts, element: Element, panel: Panel) -> dict[str, float]:
    """Return the connected load of each phase that can be compared [A]; none where not known."""
    system, parts = element.system, facts.study.loading.parts(element.tag)
    if system is None or parts is None or system.phases not in (1, 3):
        return {}
    to_neutral = system.line_v / (2 if system.phases == 1 or system.high_leg else sqrt(3))
    return {
        leg: va / to_neutral
        for leg, va in phase_va(parts, system.phases).items()
        if not (system.high_leg and leg == (panel.high_leg or "B"))
    }
