"""A panel whose bus is not protected at its rating.

Passing: `panels: {LP-1: {kind: panelboard, bus_rating: 100 A, main: 100 A, fed_from: MSB/5}}`
Failing: `panels: {LP-1: {kind: panelboard, bus_rating: 100 A, main: 125 A, fed_from: MSB/5}}`

The main device, or where the feeder lands on lugs the device ahead of it, may not be larger than
the bus: NEC 408.36 for panelboards, 430.94 for motor control centres, 368.17 for busways (from
memory; an exception for busways that go on at a reduced size is left out). Nothing on the other
side of a transformer counts (408.36(B)). Switchboards are left out: no such rule is known for them.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from recordgen.calc.answer import NoValue
from recordgen.calc.study.protecting_device import Protection, end_device, protecting_device
from recordgen.checks.facts import Facts
from recordgen.network.model import local
from recordgen.problems import Problem
from recordgen.records.supply import Panel

_CLAUSE: Final = {
    "panelboard": "NEC 408.36",
    "load centre": "NEC 408.36",
    "motor control centre": "NEC 430.94",
    "busway": "NEC 368.17",
}


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning where the device is too large, a note where none is recorded."""
    for building, loaded in facts.buildings.items():
        for tag, panel in loaded.records.panels.items():
            full = f"{building}:{tag}"
            if panel.kind not in _CLAUSE or panel.bus_rating_a is None:
                continue
            found = _protecting(facts, full)
            clause = _CLAUSE[panel.kind]
            if isinstance(found, Protection) and found.rating_a > panel.bus_rating_a:
                yield Problem(
                    "warning",
                    "bus-protection",
                    f"{tag}: its bus is rated {panel.bus_rating_a} and protected by {found}: "
                    f"{clause} wants no more than the bus carries",
                    loaded.where("panels", tag, "bus_rating"),
                    "correct the ratings; if they are right, a smaller device is needed",
                    subjects=(full, found.tag),
                )
            elif isinstance(found, NoValue) and (why := _why(panel, found)):
                yield Problem(
                    "note",
                    "bus-protection-not-recorded",
                    f"{tag}: {why}; {clause} wants its bus protected at {panel.bus_rating_a}",
                    loaded.where("panels", tag),
                    "record the device that protects the bus",
                    subjects=(full,),
                )


def _protecting(facts: Facts, tag: str) -> Protection | NoValue:
    """Return what protects the bus of a panel: its main, or else what is ahead of it."""
    distribution = facts.study.distribution
    main = end_device(distribution.elements[tag])
    return main if isinstance(main, Protection) else protecting_device(distribution, tag)


def _why(panel: Panel, found: NoValue) -> str:
    """Return what keeps the answer back; empty where the source itself is not recorded."""
    if panel.fed_from is None or panel.fed_from == ():
        return ""
    return "; ".join(
        need.why or f"{local(need.tag)}, {need.field}: not recorded" for need in found.needs
    )
