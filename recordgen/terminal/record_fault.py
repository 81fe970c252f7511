"""The dialogue that asks for a fault: a new one, or the next step of one that is open."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from typing import Any, Final, get_args

from recordgen.evidence.fault_life import STEPS, missing_steps, status
from recordgen.evidence.fault_steps import RETEST_WANTS, TRIP_TIME, StepFlaw
from recordgen.records.field import Fault, FaultKind, Step
from recordgen.terminal.lines import wrap
from recordgen.terminal.record_measured import MeasuredQuestion
from recordgen.terminal.record_names import Names, next_tag
from recordgen.terminal.record_questions import Answers, Asked, Question, Wrong, one_of
from recordgen.terminal.record_says import flaws, interrupter
from recordgen.terminal.record_subjects import (
    TEXT,
    by_question,
    circuit_question,
    date_question,
    instrument_question,
    load_question,
    photos_question,
    trace_lines,
)

_KINDS: Final[tuple[str, ...]] = get_args(FaultKind)
_STEP: Final = ("step", "date", "by", "what", "measured", "instrument", "trace")
_HEAD: Final = ("tag", "kind", "circuit", "load", "room", "description")
_NEW: Final = (*_HEAD, *_STEP, "cause", "photos", "notes")
_CAUSE_KNOWN: Final = frozenset({"located", "repaired", "retested", "closed"})
_WANTED: Final[Mapping[str, tuple[str, ...]]] = {
    "made safe": ("voltage",),  # that it is dead, by a proven tester: common practice
    "located": ("distance", "resistance", "insulation resistance"),
}
_MEASURED_AGAIN: Final = frozenset({"located", "repaired", "retested"})
_NEW_FLAWS: Final = frozenset({"not measured", "not better"})


class FaultForm:
    """Which question comes next, and the fault or the step that the answers make.

    Parameters
    ----------
    names : Names
    tag : str or None
        The fault whose next step is asked for; None for a new fault.
    """

    def __init__(self, names: Names, tag: str | None) -> None:
        self._names = names
        self._open: Fault | None = names.known("faults")[tag] if tag else None
        self._fault_tag = tag
        self._questions: Mapping[str, Callable[[Answers], Question]] = {
            "tag": lambda _: Asked(
                "tag",
                lambda text: names.new_tag(text, "faults"),
                default=next_tag(names, "faults"),
                label="fault",
            ),
            "kind": lambda _: Asked("kind", one_of(_KINDS, "kind"), choices=_KINDS, required=True),
            "circuit": lambda _: circuit_question(names, "circuit", "the circuit at fault"),
            "load": lambda _: load_question(names, "the load at fault"),
            "room": lambda _: Asked("room", names.room, known=lambda: names.known("rooms")),
            "description": lambda _: Asked("description", TEXT, required=True),
            "step": self._step,
            "date": self._date,
            "by": lambda _: by_question(names),
            "what": lambda _: Asked("what", TEXT, "seen or done"),
            "measured": self._measured,
            "instrument": lambda said: instrument_question(names, said["date"]),
            "trace": lambda _: Asked(
                "trace", names.trace, "that it rests on", known=lambda: trace_lines(names)
            ),
            "cause": lambda _: Asked("cause", TEXT, "where it is known"),
            "photos": lambda _: photos_question(),
            "notes": lambda _: Asked("notes", TEXT),
        }

    def next_question(self, said: Answers) -> Question | None:
        """Return the first question that has no answer yet; None after the last."""
        key = next((key for key in self._keys(said) if key not in said), None)
        return self._questions[key](said) if key is not None else None

    def _keys(self, said: Answers) -> Iterator[str]:
        if self._open is None:
            yield from _NEW
            return
        yield from _STEP
        if self._open.cause is None and said["step"] in _CAUSE_KNOWN:
            yield "cause"

    def tag(self, said: Answers) -> str:
        """Return the tag of the fault."""
        return self._fault_tag or str(said["tag"])

    def step(self, said: Answers) -> dict[str, Any]:
        """Return the step for YAML; one measurement stands alone, as records have it."""
        found = {key: said[key] for key in _STEP if said.get(key) not in (None, [])}
        if len(found.get("measured", ())) == 1:
            found["measured"] = found["measured"][0]
        return found

    def record(self, said: Answers) -> dict[str, Any]:
        """Return a new fault for YAML, in the order of the records."""
        found = {**said, "steps": [self.step(said)]}
        order = [field.alias or name for name, field in Fault.model_fields.items()]
        return {key: found[key] for key in order if found.get(key) not in (None, [])}

    def fault(self, said: Answers) -> Fault:
        """Return the fault as it will be."""
        if self._open is None:
            return Fault.model_validate(self.record(said))
        step = Step.model_validate(self.step(said))
        changed: dict[str, Any] = {"steps": (*self._open.steps, step)}
        if said.get("cause"):
            changed["cause"] = said["cause"]
        return self._open.model_copy(update=changed)

    def _step(self, said: Answers) -> Question:
        read = one_of(STEPS, "step")
        if self._open is None:
            return Asked("step", read, default=STEPS[0], choices=STEPS, required=True)
        before = self._open

        def checked(text: str) -> str:
            step = read(text)
            if status(before) == "closed" and step != "retested":
                raise Wrong(f"{self._fault_tag} is closed", "record a new fault", keep=step)
            after = self._trial({**said, "step": step}, self._names.portfolio.as_of)
            lacking = [one for one in missing_steps(after) if one not in missing_steps(before)]
            if lacking:
                what = f"{step} without {' and '.join(lacking)} before that"
                raise Wrong(what, f"record {lacking[0]} first", keep=step)
            return step

        done = ", ".join(f"{one.step} {one.date}" for one in before.steps)
        about = f"recorded so far: {done or 'nothing'}"
        return Asked("step", checked, about, choices=STEPS, required=True)

    def _date(self, said: Answers) -> Question:
        before = self._flaws(self._open) if self._open is not None else ()

        def checked(text: str) -> dt.date:
            day = self._names.date(text)
            for flaw in self._flaws(self._trial(said, day)):
                if flaw.kind == "out of order" and flaw not in before:
                    raise Wrong(flaw.reason, flaw.next, keep=day)
            return day

        return date_question(self._names, checked)

    def _measured(self, said: Answers) -> Question:
        again = said["step"] in _MEASURED_AGAIN
        earlier = [m for step in self._steps() if again for m in step.measured]
        return MeasuredQuestion(
            self._names,
            said["date"],
            dict(said),
            self._wanted(said),
            tuple(earlier),
            self._says_of_measured,
        )

    def _wanted(self, said: Answers) -> tuple[str, ...]:
        if said["step"] != "retested":
            return _WANTED.get(said["step"], ())
        fault = self._trial(said, said["date"])
        has = interrupter(self._names, self.tag(said), fault)
        if has and (fault.kind, fault.load is None) in TRIP_TIME:
            return ("trip time",)
        return RETEST_WANTS.get(fault.kind, ())

    def _says_of_measured(self, said: Answers) -> Iterator[str]:
        before = self._flaws(self._open) if self._open is not None else ()
        for flaw in self._flaws(self.fault(said)):
            if flaw.kind in _NEW_FLAWS and flaw not in before:
                yield from wrap(f"The program reads: {flaw.reason}", "", "  ")
                yield from wrap(f"measure next: {flaw.next}", "  ", "    ")

    def _flaws(self, fault: Fault) -> tuple[StepFlaw, ...]:
        return flaws(self._names, self._fault_tag or next_tag(self._names, "faults"), fault)

    def _trial(self, said: Answers, day: dt.date) -> Fault:
        """Return the fault with the step as far as it is known."""
        return self.fault({**said, "date": day, "by": said.get("by") or "?"})

    def _steps(self) -> tuple[Step, ...]:
        return self._open.steps if self._open is not None else ()


def open_faults(names: Names) -> dict[str, Fault]:
    """Return tag → fault for those that are not closed, in order of the records."""
    found: dict[str, Fault] = names.known("faults")  # type: ignore[assignment]
    return {tag: fault for tag, fault in found.items() if status(fault) != "closed"}


def fault_line(tag: str, fault: Fault) -> str:
    """Return a fault in one line: tag, kind, circuit, how far it has come."""
    about = fault.circuit or fault.load or fault.room
    where = f", {about}" if about else ""
    return f"{tag}  {fault.kind}{where}: {status(fault) or 'no step recorded'}"
