"""Conductors in parallel that are too small for it.

Passing: `3: {device: 200 A, conductors: {size: 1/0 AWG Cu, parallel: 2}}`
Failing: `3: {device: 150 A, conductors: {size: 2 AWG Cu, parallel: 2}}`

Only 1/0 AWG and larger may be joined in parallel: NEC 310.10(G), 310.10(H) before the 2020 edition,
from memory; small control wires and some old neutrals are excepted there. The current of small ones
parts unevenly, and one that comes loose leaves the other overloaded.
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.calc.code_limits import code_limit
from recordgen.calc.conductor_area import circular_mils
from recordgen.checks.facts import Facts
from recordgen.network.model import local
from recordgen.problems import Problem
from recordgen.records.conductor_size import read_conductor_size


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for each such set of conductors."""
    smallest = read_conductor_size(code_limit("parallel_smallest_size"))
    for answer in facts.study.conductors.answers.values():
        size, parallel = answer.conductors.size, answer.conductors.parallel or 1
        if parallel > 1 and size is not None and circular_mils(size) < circular_mils(smallest):
            yield Problem(
                "warning",
                "parallel-too-small",
                f"{local(answer.tag)}: {parallel} × {size} in parallel, and only {smallest} or "
                "larger may be (NEC 310.10(G))",
                facts.place_of_conductors(answer.tag),
                "correct `size:` or `parallel:`; if both are right, mend the installation",
                subjects=(answer.tag,),
            )
