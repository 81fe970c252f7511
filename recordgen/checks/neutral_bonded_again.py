"""A neutral bonded to the enclosure of a panel that is fed from another panel.

Passing: `panels: {LP-1: {kind: panelboard, neutral_bonded: no, fed_from: MSB/5}}`
Failing: `panels: {LP-1: {kind: panelboard, neutral_bonded: yes, fed_from: MSB/5}}`

Neutral and ground are joined once: at the service, or at a transformer or other source that makes a
neutral of its own. Joined again, the neutral's current flows in raceways and enclosures as well,
and they carry the voltage of the neutral once it is interrupted. NEC 250.24(A)(5) and 250.142(B)
(from memory). What another building feeds is left out: an old feeder without a grounding conductor
may be bonded there by the exception of 250.32(B); and so is a tap ahead of the main.
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.calc.study.distribution import Distribution, Element
from recordgen.checks.facts import Facts
from recordgen.network.model import building_of, local
from recordgen.problems import Problem
from recordgen.records.supply import Panel

_OWN_NEUTRAL = frozenset({"source", "transformer", "UPS"})


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for each such panel."""
    for building, loaded in facts.buildings.items():
        for tag, panel in loaded.records.panels.items():
            if not panel.neutral_bonded:
                continue
            full = f"{building}:{tag}"
            above = _panel_above(facts.study.distribution, full)
            if above is None or building_of(above.tag) != building or _tapped(panel):
                continue
            yield Problem(
                "warning",
                "neutral-bonded-again",
                f"{tag} is fed from panel {local(above.tag)}, and its neutral is recorded as "
                "bonded: NEC 250.142(B) wants it bonded where the system begins and not again",
                loaded.where("panels", tag, "neutral_bonded"),
                "take the bond out, or correct `neutral_bonded`",
                subjects=(full, above.tag),
            )


def _panel_above(distribution: Distribution, tag: str) -> Element | None:
    """Return the next panel that shares the neutral with one; None where it is the first."""
    for element in reversed(distribution.path(tag)[:-1]):
        if element.kind in _OWN_NEUTRAL:
            return None
        if isinstance(element.record, Panel):
            return element
    return None


def _tapped(panel: Panel) -> bool:
    return any(reference.port == "line" for reference in panel.fed_from or ())
