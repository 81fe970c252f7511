"""Whether the recorded steps of a fault bear out where it is said to stand.

Rules of our own, after common practice: the steps come in the order of `fault_life.STEPS`, though
repair and retest may come again; days decide, since hours are not recorded, so what happened on one
day is in order; a retest measures what would show the fault if it were still there.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final, Literal

from recordgen.evidence.fault_life import STEPS, found_on, missing_steps, status
from recordgen.evidence.insulation_trend import at_base, same_test
from recordgen.records.field import Fault, FaultKind, FaultStep, Measurement

FlawKind = Literal[
    "missing step",
    "not made safe",
    "out of order",
    "not measured",
    "not better",
    "instrument not recorded",
]
MUST_NOT_MISS: Final[frozenset[FaultStep]] = frozenset({"made safe", "repaired", "retested"})
"""Steps whose absence may hurt somebody; without `found` or `located` only the story has a gap."""

RETEST_WANTS: Final[Mapping[FaultKind, tuple[str, ...]]] = {
    "open": ("continuity", "resistance"),
    "open neutral": ("continuity", "resistance"),
    "ground fault": ("insulation resistance",),
    "short": ("insulation resistance",),
    "damaged insulation": ("insulation resistance",),
    "arcing": ("resistance", "temperature", "temperature rise", "insulation resistance"),
    "overheated termination": ("temperature", "temperature rise", "resistance"),
    "overload": ("current",),
}
"""Kind of fault → quantities, any one of which shows whether it is gone. A wrong label is retested
by opening, and a failed device by working it, which no quantity here says."""
TRIP_TIME: Final[frozenset[tuple[FaultKind, bool]]] = frozenset(
    {("nuisance trip", True), ("nuisance trip", False), ("failed device", True)}
)
"""Where a ground-fault circuit-interrupter is on the circuit, its trip time is wanted: after trips,
and after a device failed that is no load of the circuit, but its own."""
_COMPARED_AT_C: Final = 20.0

_AGAIN: Final[frozenset[tuple[FaultStep, FaultStep]]] = frozenset(
    {("repaired", "retested"), ("repaired", "closed")}
)
"""Pairs of which the later must follow the last of the earlier: repaired once more, it has to be
tested once more. A retest after closing is none: many go back to see whether it holds."""


@dataclass(frozen=True)
class StepFlaw:
    """Something in the steps that does not bear out where the fault stands.

    Attributes
    ----------
    kind : FlawKind
    steps : tuple of FaultStep
        The steps missing; or the step that is wrong, and the one that it should follow.
    index : int or None
        Place in `Fault.steps` of the step that is wrong; None where none is.
    reason : str
        A sentence without a full stop.
    next : str
        What to measure or record next.
    """

    kind: FlawKind
    steps: tuple[FaultStep, ...]
    index: int | None
    reason: str
    next: str

    @property
    def grave(self) -> bool:
        """Whether somebody could rely on what nobody has done."""
        if self.kind == "missing step":
            return not MUST_NOT_MISS.isdisjoint(self.steps)
        return self.kind != "instrument not recorded"


def step_flaws(fault: Fault, as_of: dt.date, *, interrupter: bool) -> tuple[StepFlaw, ...]:
    """Return what does not bear out where a fault is said to stand.

    Parameters
    ----------
    fault : Fault
    as_of : date
        The day to judge for.
    interrupter : bool
        Whether a ground-fault circuit-interrupter is recorded on its circuit.

    Returns
    -------
    tuple of StepFlaw
        Empty where the steps bear it out.

    Notes
    -----
    See the module. That a measurement is recorded is all that is asked, but for insulation
    resistance: at one temperature, a retest has to be higher than the same test was before.
    """
    return (
        *_missing(fault, as_of),
        *_out_of_order(fault),
        *_not_measured(fault, interrupter=interrupter),
        *_not_better(fault),
        *_without_instrument(fault),
    )


def _missing(fault: Fault, as_of: dt.date) -> Iterator[StepFlaw]:
    missing = missing_steps(fault)
    furthest = status(fault)
    if missing:
        if furthest is None:
            reason = "no step is recorded"
        else:
            reason = f"recorded as {furthest}, without {_listed(missing)} before that"
        yield StepFlaw("missing step", missing, None, reason, "record what was done, or do it")
    found = found_on(fault)
    if furthest == "found" and found is not None and found < as_of:
        yield StepFlaw(
            "not made safe",
            ("made safe",),
            None,
            f"it was found on {found}, and it is not recorded that it was made safe",
            "make it safe, and record how",
        )


def _out_of_order(fault: Fault) -> Iterator[StepFlaw]:
    """Yield a flaw for each kind of step that was done before one that it should follow."""
    days = {name: [step.date for step in fault.steps if step.step == name] for name in STEPS}
    for place, later in enumerate(STEPS):
        for earlier in reversed(STEPS[:place]):
            if not days[later] or not days[earlier]:
                continue
            last = max(days[later])
            due = (max if (earlier, later) in _AGAIN else min)(days[earlier])
            if last < due:
                yield StepFlaw(
                    "out of order",
                    (later, earlier),
                    _last_index(fault, later, last),
                    f"{later} on {last}, and {earlier} only on {due}",
                    "correct the dates, or do it again",
                )
                break


def _last_index(fault: Fault, name: FaultStep, day: dt.date) -> int:
    return max(i for i, s in enumerate(fault.steps) if s.step == name and s.date == day)


def _not_measured(fault: Fault, *, interrupter: bool) -> Iterator[StepFlaw]:
    wanted = RETEST_WANTS.get(fault.kind, ())
    if interrupter and (fault.kind, fault.load is None) in TRIP_TIME:
        wanted = ("trip time",)
    if not wanted:
        return
    repairs = [step.date for step in fault.steps if step.step == "repaired"]
    retests = [
        (index, step)
        for index, step in enumerate(fault.steps)
        # What was measured before the last repair shows nothing of it.
        if step.step == "retested" and (not repairs or step.date >= max(repairs))
    ]
    measured = {value.quantity for _, step in retests for value in step.measured}
    if retests and measured.isdisjoint(wanted):
        yield StepFlaw(
            "not measured",
            ("retested",),
            retests[-1][0],
            f"the retest of {retests[-1][1].date} after {_a(fault.kind)} records no "
            f"{' or '.join(wanted)}",
            f"measure {wanted[0]}",
        )


def _not_better(fault: Fault) -> Iterator[StepFlaw]:
    """Yield a flaw for the last retest of which an insulation resistance did not get higher."""
    before = [m for step in fault.steps if step.step in ("found", "located") for m in step.measured]
    retests = [(i, step) for i, step in enumerate(fault.steps) if step.step == "retested"]
    if not retests:
        return
    index, last = max(retests, key=lambda pair: (pair[1].date, pair[0]))
    for after in last.measured:
        for earlier in before:
            worse = _compared(earlier, after)
            if worse is not None:
                was, now = worse
                yield StepFlaw(
                    "not better",
                    ("retested",),
                    index,
                    f"at {_COMPARED_AT_C:g} °C the retest of {last.date} gives {now:.3g} MΩ "
                    f"({after.between}), no more than the {was:.3g} MΩ before",
                    "find out what is still wrong, and test again",
                )
                return


def _compared(earlier: Measurement, after: Measurement) -> tuple[float, float] | None:
    """Return both at one temperature where the later is no higher; None where it is, or unknown."""
    if not same_test(earlier, after):
        return None
    was, now = at_base(earlier, _COMPARED_AT_C), at_base(after, _COMPARED_AT_C)
    return (was, now) if was is not None and now is not None and now <= was else None


def _without_instrument(fault: Fault) -> Iterator[StepFlaw]:
    for index, step in enumerate(fault.steps):
        bare = [m.quantity for m in step.measured if m.instrument is None]
        if bare and step.instrument is None:
            yield StepFlaw(
                "instrument not recorded",
                (step.step,),
                index,
                f"with what {_listed(tuple(dict.fromkeys(bare)))} was measured on {step.date} is "
                "not recorded",
                "record `instrument`",
            )


def _listed(words: tuple[str, ...]) -> str:
    return " and ".join((", ".join(words[:-1]), words[-1])) if len(words) > 1 else words[0]


def _a(kind: str) -> str:
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"
