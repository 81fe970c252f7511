"""The life of a fault as recorded: how far it has come, how long it has been open."""

from __future__ import annotations

import datetime as dt
from typing import get_args

from recordgen.records.field import Fault, FaultStep

STEPS: tuple[FaultStep, ...] = get_args(FaultStep)
"""In the order they should come."""


def status(fault: Fault) -> FaultStep | None:
    """Return the furthest step recorded; None where no step is."""
    done = [step.step for step in fault.steps]
    return max(done, key=STEPS.index) if done else None


def found_on(fault: Fault) -> dt.date | None:
    """Return the day the fault was found; None where that is not recorded."""
    return next((step.date for step in fault.steps if step.step == "found"), None)


def days_open(fault: Fault, as_of: dt.date) -> int | None:
    """Return how many days [d] it has been open, or was until it was closed.

    Parameters
    ----------
    fault : Fault
    as_of : date
        The day to count to while it is open.

    Returns
    -------
    int or None
        None where the day it was found is not recorded, or lies after the day to count to.
    """
    found = found_on(fault)
    if found is None:
        return None
    closed = next((step.date for step in fault.steps if step.step == "closed"), as_of)
    days = (min(closed, as_of) - found).days
    return days if days >= 0 else None


def missing_steps(fault: Fault) -> tuple[FaultStep, ...]:
    """Return the steps before the furthest one that nobody has recorded, in order."""
    furthest = status(fault)
    if furthest is None:
        return STEPS[:1]
    done = {step.step for step in fault.steps}
    return tuple(step for step in STEPS[: STEPS.index(furthest)] if step not in done)
