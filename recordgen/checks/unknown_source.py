"""A load, panel or piece of equipment whose source is not known.

Passing: `panels: {LP-1: {kind: panelboard, fed_from: MSB/5}}`
Failing: `panels: {LP-1: {kind: panelboard, fed_from: unknown}}`

NEC 408.4(B) (from memory) wants the source of supply marked on every panelboard; without it no
sheet can say what isolates it.
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.checks.facts import Facts
from recordgen.network.model import local
from recordgen.problems import Problem


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a STOP for each thing whose source is not recorded."""
    for source in facts.network.sources.values():
        if source.kind == "unknown":
            owner = source.tag.removesuffix("/unknown-source")
            yield Problem(
                "stop",
                "source-unknown",
                f"what feeds {local(owner)} is not recorded: nothing isolates it for certain",
                source.place,
                "trace it, and record `fed_from`",
                subjects=(owner,),
            )
