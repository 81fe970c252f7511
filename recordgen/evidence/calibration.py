"""Whether an instrument was in calibration on the day that it was used.

Rules of our own, after common practice: the sticker names the day of the calibration and the last
day that it holds for; both days count. Records hold the latest sticker only, so a use before that
calibration is not shown to be good, and not shown to be bad.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

from recordgen.records.building import BuildingRecords
from recordgen.records.field import Instrument

CalibrationVerdict = Literal["in calibration", "out of calibration", "not shown"]
Where = tuple[str, str, *tuple[str | int, ...]]
READ_AGAINST_ITSELF: Final = frozenset({"tracer", "cable tester"})
"""Kinds whose readings are compared with each other, so that no sticker is expected (common
practice: they get a function check before use)."""


@dataclass(frozen=True)
class Calibration:
    """Whether an instrument was in calibration on a day.

    Attributes
    ----------
    verdict : CalibrationVerdict
        `not shown` where the record does not tell, never taken for good.
    reasons : tuple of str
        Sentences without a full stop.
    next : str
        What would settle it; empty where nothing is open.
    """

    verdict: CalibrationVerdict
    reasons: tuple[str, ...]
    next: str = ""


@dataclass(frozen=True)
class Use:
    """One use of an instrument, as recorded.

    Attributes
    ----------
    instrument : str
        Its tag in the same building.
    date : date
    section : str
        `faults`, `traces` or `inspections`.
    record : str
        Tag of the fault, trace or inspection.
    where : tuple of str or int
        Section, tag and keys down to the entry that names the instrument.
    measures : bool
        Whether a value in units, or a survey, rests on it. The readings of a trace are compared
        with each other, and none of them is a quantity; an echo and a bridge give a distance.
    """

    instrument: str
    date: dt.date
    section: str
    record: str
    where: Where
    measures: bool


def calibration_on(instrument: Instrument, day: dt.date) -> Calibration:
    """Return whether an instrument was in calibration on a day.

    Parameters
    ----------
    instrument : Instrument
        With the days of its latest sticker, as far as they are recorded.
    day : date
        The day of use.

    Returns
    -------
    Calibration

    Notes
    -----
    Common practice, as the module says; no standard is followed here.

    Examples
    --------
    >>> meter = Instrument(kind="multimeter", calibrated="2025-09-15", due="2026-09-15")
    >>> calibration_on(meter, dt.date(2026, 9, 15)).verdict
    'in calibration'
    >>> calibration_on(meter, dt.date(2026, 9, 16)).verdict
    'out of calibration'
    >>> calibration_on(meter, dt.date(2025, 9, 14)).verdict
    'not shown'
    """
    calibrated, due = instrument.calibrated, instrument.due
    if calibrated is not None and due is not None and due < calibrated:
        return Calibration(
            "not shown",
            (f"it is recorded as due on {due}, before it was calibrated on {calibrated}",),
            "read both days from its certificate",
        )
    if calibrated is not None and day < calibrated:
        return Calibration(
            "not shown",
            (f"the calibration recorded is of {calibrated}, after the use on {day}",),
            "look for the certificate before that one",
        )
    if due is not None and day > due:
        return Calibration(
            "out of calibration",
            (f"its calibration held until {due}; it was used on {day}",),
            "measure again with an instrument in calibration",
        )
    missing = [name for name, value in (("calibrated", calibrated), ("due", due)) if value is None]
    if missing:
        return Calibration(
            "not shown",
            tuple(f"`{name}` is not recorded" for name in missing),
            "record the days of its sticker",
        )
    return Calibration("in calibration", (f"calibrated on {calibrated}, good until {due}",))


def uses(records: BuildingRecords) -> Iterator[Use]:
    """Yield every use of an instrument that a building records.

    Parameters
    ----------
    records : BuildingRecords

    Yields
    ------
    Use
        By section, record and step in the order of the files. A step and the values measured in
        it count as one use of one instrument, at the first place that names it.
    """
    for tag, fault in records.faults.items():
        for index, step in enumerate(fault.steps):
            path = ("faults", tag, "steps", index)
            named: dict[str, tuple[Where, bool]] = {}
            if step.instrument:
                bare = any(measured.instrument is None for measured in step.measured)
                named[step.instrument] = ((*path, "instrument"), bare)
            for number, measured in enumerate(step.measured):
                if measured.instrument:
                    place = (*path, "measured", number, "instrument")
                    first, _ = named.get(measured.instrument, (place, True))
                    named[measured.instrument] = (first, True)
            for instrument, (where, measures) in named.items():
                yield Use(instrument, step.date, "faults", tag, where, measures)
    for tag, trace in records.traces.items():
        if trace.instrument:
            where = ("traces", tag, "instrument")
            gives_distance = trace.echo is not None or trace.bridge is not None
            yield Use(trace.instrument, trace.date, "traces", tag, where, gives_distance)
    for tag, inspection in records.inspections.items():
        if inspection.instrument:
            where = ("inspections", tag, "instrument")
            yield Use(inspection.instrument, inspection.date, "inspections", tag, where, True)
