"""The steps of a fault in order of date, with what was measured and what does not bear them out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from recordgen.evidence.calibration import READ_AGAINST_ITSELF, calibration_on
from recordgen.evidence.fault_life import STEPS
from recordgen.evidence.fault_steps import FlawKind, StepFlaw
from recordgen.pages.fault_values import FaultFacts
from recordgen.records.field import Instrument, Measurement, Step
from recordgen.records.loader import LoadedBuilding

LATE: Final = "out of calibration"
_MEASURE_AGAIN: Final = "take what it showed as a hint, and measure again with one in calibration"
_DOUBTS: Final[frozenset[FlawKind]] = frozenset({"out of order", "not better"})


@dataclass(frozen=True)
class InstrumentUse:
    """An instrument in a step: what it is, and whether it was in calibration that day.

    `good` is False only where its calibration had run out; None where that is not shown. `why` is
    empty where there is nothing to add.
    """

    tag: str
    kind: str
    good: bool | None
    calibration: str
    why: str = ""

    @property
    def words(self) -> str:
        """Whether it was in calibration, and why not, in one."""
        return f"{self.calibration}: {self.why}" if self.why else self.calibration


@dataclass(frozen=True)
class MeasuredLine:
    """A measured value as recorded: `conditions` are test voltage and temperature."""

    quantity: str
    value: str
    between: str
    conditions: str
    instrument: str


@dataclass(frozen=True)
class Remark:
    """What does not bear a step out, as sentences without a full stop.

    `word` is "gap" where something is not recorded, "doubt" where something does not fit, and
    `LATE` where the calibration of an instrument had run out.
    """

    word: str
    text: str
    then: str


@dataclass(frozen=True)
class TimelineLine:
    """A step, or a gap where one is missing: then all but `step` and `remarks` are empty."""

    step: str
    gap: bool
    date: str
    by: str
    what: str
    measured: tuple[MeasuredLine, ...]
    instruments: tuple[InstrumentUse, ...]
    trace: str
    remarks: tuple[Remark, ...]


def timeline(facts: FaultFacts, loaded: LoadedBuilding, as_of: dt.date) -> tuple[TimelineLine, ...]:
    """Return the steps of a fault in order of date, with a line for each that is missing.

    Parameters
    ----------
    facts : FaultFacts
    loaded : LoadedBuilding
        The building that records it.
    as_of : date
        The day to judge for.

    Returns
    -------
    tuple of TimelineLine
        A gap stands before the first step that should come after it.
    """
    steps = sorted(enumerate(facts.fault.steps), key=lambda pair: (pair[1].date, pair[0]))
    lines = [_line(index, step, facts, loaded, as_of) for index, step in steps]
    order = [STEPS.index(step.step) for _, step in steps]
    for missing in reversed(facts.missing):
        place = STEPS.index(missing)
        at = next((i for i, number in enumerate(order) if number > place), len(order))
        lines.insert(at, TimelineLine(missing, True, "", "", "", (), (), "", ()))
        order.insert(at, place)
    return tuple(lines)


def gaps(facts: FaultFacts, loaded: LoadedBuilding) -> tuple[Remark, ...]:
    """Return everything that does not bear out where a fault is said to stand.

    Parameters
    ----------
    facts : FaultFacts
    loaded : LoadedBuilding
        The building that records it.

    Returns
    -------
    tuple of Remark
        What its steps lack, then instruments whose calibration had run out.
    """
    late = {
        use: None
        for step in facts.fault.steps
        for use in instruments_used(step, loaded)
        if use.good is False
    }
    return (
        *map(_remark, facts.flaws),
        *(Remark(LATE, f"{use.tag} was {use.words}", _MEASURE_AGAIN) for use in late),
    )


def _remark(flaw: StepFlaw) -> Remark:
    return Remark("doubt" if flaw.kind in _DOUBTS else "gap", flaw.reason, flaw.next)


def _line(
    index: int, step: Step, facts: FaultFacts, loaded: LoadedBuilding, as_of: dt.date
) -> TimelineLine:
    remarks = [_remark(flaw) for flaw in facts.flaws if flaw.index == index]
    if step.date > as_of:
        remarks.append(Remark("doubt", f"dated after {as_of}", "correct the date"))
    return TimelineLine(
        step=step.step,
        gap=False,
        date=step.date.isoformat(),
        by=step.by,
        what=step.what or "",
        measured=tuple(map(_measured, step.measured)),
        instruments=tuple(instruments_used(step, loaded)),
        trace=step.trace or "",
        remarks=tuple(remarks),
    )


def _measured(measured: Measurement) -> MeasuredLine:
    conditions = [f"at {measured.test_v}"] if measured.test_v else []
    if measured.temperature_c is not None:
        conditions.append(f"at {measured.temperature_c.written}")
    return MeasuredLine(
        measured.quantity,
        measured.value.written,
        measured.between or "",
        ", ".join(conditions),
        measured.instrument or "",
    )


def instruments_used(step: Step, loaded: LoadedBuilding) -> Iterator[InstrumentUse]:
    """Yield the instruments that a step names, each once, with their calibration on that day."""
    named = [step.instrument, *(measured.instrument for measured in step.measured)]
    for tag in dict.fromkeys(name for name in named if name):
        instrument = loaded.records.instruments[tag]
        yield instrument_use(tag, instrument, step.date)


def instrument_use(tag: str, instrument: Instrument, day: dt.date) -> InstrumentUse:
    """Return an instrument as it was used on a day."""
    found = calibration_on(instrument, day)
    if found.verdict == "in calibration":
        return InstrumentUse(tag, instrument.kind, True, f"in calibration on {day}")
    if found.verdict == "out of calibration":
        text = f"out of calibration on {day}"
        return InstrumentUse(tag, instrument.kind, False, text, found.reasons[0])
    if instrument.kind in READ_AGAINST_ITSELF:
        text = "no calibration expected: what it reads is compared with itself"
        return InstrumentUse(tag, instrument.kind, True, text)
    why = " and ".join(found.reasons).replace("`", "")
    return InstrumentUse(tag, instrument.kind, None, f"calibration on {day} not shown", why)
