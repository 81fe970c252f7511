"""A position recorded as spare or space that has loads all the same.

Passing: `18: spare`
Failing: `18: {spare: yes, loads: {RC-1: {kind: receptacle}}}`

NEC 408.4(A) (from memory) wants spares described as such; a spare that feeds something is opened
or removed without a second thought.
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.checks.facts import Facts
from recordgen.problems import Problem


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a STOP for each."""
    for building, loaded in facts.buildings.items():
        for tag, panel in loaded.records.panels.items():
            for position, circuit in panel.circuits.items():
                if (circuit.spare or circuit.space) and circuit.loads:
                    what = "spare" if circuit.spare else "space"
                    yield Problem(
                        "stop",
                        "spare-with-loads",
                        f"{tag}/{position} is recorded as {what} and has loads",
                        loaded.where_key("panels", tag, "circuits", str(position)),
                        f"take the mark `{what}` off, or move the loads",
                        subjects=(f"{building}:{tag}/{position}",),
                    )
