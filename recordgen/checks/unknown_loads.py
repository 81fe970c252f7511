"""A closed circuit whose loads are not known.

Passing: `14: {device: 20 A, loads: {RC-204: {kind: receptacle}}}`, or `loads: none`
Failing: `14: {device: 20 A, loads: unknown}`

Opening such a device darkens something that no list names.
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.checks.facts import Facts
from recordgen.network.model import local
from recordgen.problems import Problem


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a STOP where the record says unknown, a warning where it says nothing."""
    for tag, said in facts.network.unknown_load_circuits.items():
        device = facts.network.devices[tag]
        if not device.closed:
            continue
        if said:
            message = f"{local(tag)} is on and its load is unknown"
        else:
            message = f"the loads of {local(tag)} are not recorded"
        yield Problem(
            "stop" if said else "warning",
            "load-unknown" if said else "loads-not-recorded",
            message,
            device.place,
            "trace what it feeds; write `loads: none` where nothing is connected",
            subjects=(tag,),
        )
