"""What is told of stored energy: all five things, and those not recorded as such."""

from __future__ import annotations

from recordgen.pages.describe import Fact, facts
from recordgen.records.parts import StoredEnergy


def energy_facts(energy: StoredEnergy) -> tuple[Fact, ...]:
    """Return what stores energy, how to discharge it, how long to wait and how to verify.

    Whoever releases it must see what nobody has written down.
    """
    return facts(energy, always=tuple(StoredEnergy.model_fields))
