"""A panel or transformer recorded for a system that its feed does not have.

Passing: `panels: {LP-1: {kind: panelboard, system: 480Y/277, fed_from: MSB/1}}`
Failing: `panels: {LP-1: {kind: panelboard, system: 208Y/120, fed_from: MSB/1}}`

Between the two a transformer is missing in the records, or one of the systems is wrong; what is
calculated below rests on it. Voltages within 10 % of each other agree, as for loads.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import isclose
from typing import Final

from recordgen.calc.practice_levels import practice_level
from recordgen.calc.study.distribution import Element
from recordgen.checks.facts import Facts
from recordgen.network.model import building_of, local
from recordgen.problems import Problem
from recordgen.records.equipment import Transformer
from recordgen.records.supply import Panel
from recordgen.records.system import NominalSystem

_CONVERTS: Final = frozenset({"variable-frequency drive", "UPS"})
"""What may hand on another voltage than it takes, and does not record it."""


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for each feed of a panel or transformer that does not agree with it."""
    within = practice_level("nameplate voltage") / 100
    elements = facts.study.distribution.elements
    for element in elements.values():
        wants, key = _wants(element)
        if wants is None or element.feed is None:
            continue
        for tag in (element.feed, *element.other_feeds):
            feed = elements[tag]
            has = feed.system
            if has is None or feed.kind in _CONVERTS or feed.poles == 1:
                continue
            phases = wants.phases == 3 and has.phases == 1
            if not phases and isclose(has.line_v, wants.line_v, rel_tol=within):
                continue
            name = local(element.tag)
            section = "panels" if isinstance(element.record, Panel) else "equipment"
            yield Problem(
                "warning",
                "feed-voltage",
                f"{name} is recorded for {wants}, and its feed {local(tag)} has {has}",
                facts.buildings[building_of(element.tag)].where(section, name, key),
                "correct one of the two, or record the transformer between them",
                subjects=(element.tag, tag),
            )


def _wants(element: Element) -> tuple[NominalSystem | None, str]:
    """Return the system that an element is recorded to take, and its key."""
    record = element.record
    if isinstance(record, Panel):
        return record.system, "system"
    if isinstance(record, Transformer):
        return record.primary, "primary"
    return None, ""
