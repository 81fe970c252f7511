"""What pandapower says is without supply."""

import copy
import random
from collections.abc import Iterable
from typing import Any


def unsupplied(net: Any, opened: Iterable[int] = ()) -> set[int]:
    """Return the buses without supply when switches are opened; the net is left as it was."""
    from pandapower.topology import unsupplied_buses

    before = net.switch.closed.copy()
    try:
        net.switch.loc[list(opened), "closed"] = False
        return set(unsupplied_buses(net, respect_switches=True))
    finally:
        net.switch["closed"] = before


def scrambled(net: Any, seed: int, *, switches_only: bool = False) -> Any:
    """Return a copy with some switches moved and, by default, some branches out of service."""
    chance = random.Random(seed)  # noqa: S311  # no secret
    other = copy.deepcopy(net)
    other.switch["closed"] = [
        bool(closed) != (chance.random() < (0.04 if closed else 0.6))
        for closed in net.switch.closed
    ]
    if not switches_only:
        for table in ("line", "trafo", "trafo3w", "impedance"):
            other[table]["in_service"] = [chance.random() > 0.03 for _ in range(len(net[table]))]
    return other
