"""A load with several feeds of which it is not said whether one is enough.

Passing: `loads: {SRV-1: {kind: IT, fed_from: [A/1, B/1], needs: any}}`
Failing: `loads: {SRV-1: {kind: IT, fed_from: [A/1, B/1]}}`

Until it is said, opening either feed counts as darkening it, and both count as meeting inside it.
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.checks.facts import Facts
from recordgen.problems import Problem


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for each such load."""
    for building, loaded in facts.buildings.items():
        for tag, recorded in loaded.loads.items():
            load, path = recorded.load, recorded.path
            if len(load.fed_from or ()) > 1 and load.needs is None:
                yield Problem(
                    "warning",
                    "needs-not-recorded",
                    f"{tag} has {len(load.fed_from or ())} feeds; whether one is enough is not "
                    "recorded",
                    loaded.where(path[0], path[1], *path[2:], "fed_from"),
                    "add `needs: any` or `needs: all`",
                    subjects=(f"{building}:{tag}",),
                )
