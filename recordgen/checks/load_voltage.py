"""A load recorded with a voltage that its circuit does not have.

Passing: `loads: {PMP-1: {kind: pump, voltage: 480 V, fed_from: MSB/1}}`
Failing: `loads: {PMP-1: {kind: pump, voltage: 240 V, fed_from: MSB/1}}`

One of the two is wrong, and whoever tests for voltage, sets a meter or orders a motor goes by it.
Motors are named below the system's voltage (460 V on 480 V): what lies within 10 % of the load's
own voltage agrees, the range that NEMA MG 1, 12.44 gives motors (from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from math import isclose, sqrt
from typing import Final

from recordgen.calc.practice_levels import practice_level
from recordgen.calc.study.distribution import Element
from recordgen.checks.facts import Facts
from recordgen.network.model import local
from recordgen.problems import Problem

_CONVERTS: Final = frozenset({"variable-frequency drive", "UPS"})
"""What may hand on another voltage than it takes, and does not record it."""


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for each load and feed that do not agree."""
    within = practice_level("nameplate voltage") / 100
    elements = facts.study.distribution.elements
    for tag, loads in facts.study.distribution.loads_at.items():
        feed = elements[tag]
        volts = _volts(feed)
        if not volts or feed.kind in _CONVERTS:
            continue
        for one in loads:
            nominal = one.load.voltage_v
            together = one.load.needs == "all" and len(one.feeds) > 1
            if nominal is None or together:
                continue
            if any(isclose(each, nominal, rel_tol=0, abs_tol=within * nominal) for each in volts):
                continue
            loaded = facts.buildings[one.tag.partition(":")[0]]
            path = loaded.loads[local(one.tag)].path
            has = " or ".join(f"{each:.0f} V" for each in volts)
            yield Problem(
                "warning",
                "load-voltage",
                f"{local(one.tag)} is recorded for {nominal}, and {local(tag)} has {has}",
                loaded.where(path[0], path[1], *path[2:], "voltage"),
                "correct `voltage`, what feeds it, or the panel's `system`",
                subjects=(one.tag, tag),
            )


def _volts(feed: Element) -> list[float]:
    """Return the voltages between the conductors of a feed; none where they do not follow."""
    system = feed.system
    if system is None or feed.poles is None:
        return []
    found = [system.line_v] if feed.poles > 1 or system.neutral_v is None else []
    if system.neutral_v is not None:
        found.append(system.neutral_v)
        if system.high_leg:
            found.append(sqrt(3) * system.neutral_v)
    return found
