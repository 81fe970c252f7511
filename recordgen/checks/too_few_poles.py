"""A device with fewer poles than the ungrounded conductors it stands in.

Passing: `panels: {LP-1: {kind: panelboard, system: 120/240, main: {poles: 2}, fed_from: UTIL}}`
Failing: `panels: {LP-1: {kind: panelboard, system: 120/240, main: {poles: 1}, fed_from: UTIL}}`

Opened, it leaves a conductor live: it is no place for a lock, and what its list calls dark may in
truth see an abnormal voltage. Either the record of the poles or that of the system is wrong, or the
device is.
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.checks.facts import Facts
from recordgen.network.model import local
from recordgen.problems import Problem


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a STOP for each such device."""
    for device in facts.network.devices.values():
        if not device.opens_all:
            yield Problem(
                "stop",
                "too-few-poles",
                f"{local(device.tag)} {device.bars}: opened, it leaves the others live",
                device.place,
                "correct `poles:` or the system; if both are right, mend the installation",
                subjects=(device.tag,),
            )
