"""Questions that traces and faults share: when, by whom, with what, about what."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from typing import Any, Final

from recordgen.evidence.calibration import calibration_on
from recordgen.records.base import Text, YesNo
from recordgen.terminal.record_names import Names
from recordgen.terminal.record_questions import Asked, Question, Wrong, several, typed

TEXT: Final = typed(Text)
YES_NO: Final = typed(YesNo)


def date_question(names: Names, read: Callable[[str], dt.date] | None = None) -> Question:
    """Return the question for a day; today is what an empty line says."""
    today = str(names.portfolio.as_of)
    return Asked("date", read or names.date, default=today, required=True)


def by_question(names: Names) -> Question:
    """Return the question for who did it; those of earlier records can be listed."""

    def known() -> Iterator[str]:
        steps = (step for fault in names.known("faults").values() for step in fault.steps)
        records = [*names.known("traces").values(), *steps]
        yield from dict.fromkeys(record.by for record in records)

    return Asked("by", TEXT, "initials or role", required=True, known=known)


def circuit_question(names: Names, key: str, about: str) -> Question:
    """Return the question for a circuit, such as LP-1/14."""
    return Asked(key, names.reference, f"{about}, like LP-1/14", known=names.circuits)


def load_question(names: Names, about: str) -> Question:
    """Return the question for a load."""
    return Asked(
        "load",
        lambda text: names.tag(text, "load", "loads"),
        about,
        known=lambda: load_lines(names),
    )


def load_lines(names: Names) -> Iterator[str]:
    """Yield every load with its room."""
    for tag, load in names.known("loads").items():
        yield f"{tag}  room {load.room or 'not recorded'}  {load.description or load.kind}"


def trace_lines(names: Names) -> Iterator[str]:
    """Yield every trace with its day and what it was for."""
    for tag, trace in names.known("traces").items():
        about = trace.concluded_circuit or trace.circuit or trace.load or trace.cable or ""
        yield f"{tag}  {trace.date}  {trace.purpose}  {about}".rstrip()


def photos_question() -> Question:
    """Return the question for photos."""
    return Asked("photos", several(TEXT, ";"), "what they show, or their file names; ; between")


def instrument_question(names: Names, day: dt.date, key: str = "instrument") -> Asked:
    """Return the question for an instrument; one out of calibration that day has to be meant."""

    def read(text: str) -> str:
        found = names.tag(text, "instrument", "instruments")
        calibration = calibration_on(names.known("instruments")[found], day)
        if calibration.verdict == "out of calibration":
            raise Wrong(f"{found}: {'. '.join(calibration.reasons)}", keep=found)
        return found

    def known() -> Iterator[str]:
        for tag, instrument in names.known("instruments").items():
            verdict = calibration_on(instrument, day).verdict
            yield f"{tag}  {instrument.kind}; {_CALIBRATION[verdict]}"

    return Asked(key, read, "its tag; ? lists them", known=known)


_CALIBRATION: Final = {
    "in calibration": "in calibration",
    "out of calibration": "OUT OF CALIBRATION",
    "not shown": "calibration not shown",
}


def described(record: Any) -> str:
    """Return what a record is, in its own words."""
    text = getattr(record, "description", None) or getattr(record, "name", None)
    return text or getattr(record, "kind", None) or ""
