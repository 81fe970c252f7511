"""Devices of which nobody has recorded whether they can be locked open.

Passing: `panels: {LP-1: {kind: panelboard, lockable: yes}}`
Failing: `panels: {LP-1: {kind: panelboard}}`

Such a device counts as one that cannot be locked, so every sheet behind it has to go to the next
lockable device towards the source.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from recordgen.checks.facts import Facts
from recordgen.problems import Problem


def check(facts: Facts) -> Iterator[Problem]:
    """Yield one warning a panel, with how many sheets one entry would mend."""
    unknown = Counter(
        device.enclosure
        for device in facts.network.devices.values()
        if device.locks_open is None and device.tag.startswith(f"{device.enclosure}/")
    )
    for building, loaded in facts.buildings.items():
        for tag in loaded.records.panels:
            count = unknown[f"{building}:{tag}"]
            if count:
                devices = "1 device" if count == 1 else f"{count} devices"
                yield Problem(
                    "warning",
                    "lockable-not-recorded",
                    f"{tag}: for {devices} it is not recorded whether a lock can hold it open",
                    loaded.where("panels", tag),
                    f"one `lockable:` entry for the panel would mend {devices.split()[0]} sheets"
                    if count > 1
                    else "record `lockable:`",
                    subjects=(f"{building}:{tag}",),
                )
