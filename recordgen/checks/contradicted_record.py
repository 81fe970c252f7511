"""A trace that finds a load on another circuit than the record says.

Passing: a trace with `concluded_circuit: LP-1/14` for a load recorded on LP-1/14
Failing: the same trace for a load recorded on LP-1/16

It stands until somebody corrects the record, or says in the trace how it was settled.
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.checks.facts import Facts
from recordgen.network.model import local
from recordgen.problems import Problem


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a STOP for each unsettled contradiction, with both places."""
    for found in facts.grades.contradictions:
        loaded = facts.buildings[found.building]
        recorded = " and ".join(local(tag) for tag in found.recorded)
        yield Problem(
            "stop",
            "contradiction",
            f"trace {found.trace} finds {local(found.load)} on {local(found.concluded)}, "
            f"the record says {recorded}",
            loaded.where("traces", found.trace),
            "correct the record, or add `resolved:` to the trace",
            related=(facts.network.loads[found.load].place,),
            subjects=(found.load, found.concluded, *found.recorded),
        )
