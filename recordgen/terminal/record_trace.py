"""The dialogue that asks for a trace: the keys of its YAML, in their order, as far as they matter.

`resolved` is not asked for: a contradiction is settled later, by somebody who has looked again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any, Final, get_args

from recordgen.evidence.trace_answer import TraceVerdict
from recordgen.pages.worksheet_traces import KEYS
from recordgen.records.field import Trace
from recordgen.records.positions import Reference, read_reference
from recordgen.terminal.record_distances import bridge_question, echo_question
from recordgen.terminal.record_names import Names, next_tag
from recordgen.terminal.record_places import landmark_lines, place_on, places_of
from recordgen.terminal.record_questions import Answers, Asked, Question, one_of, several
from recordgen.terminal.record_reading_question import ReadingsQuestion
from recordgen.terminal.record_says import trace_verdict, verdict_text
from recordgen.terminal.record_subjects import (
    TEXT,
    YES_NO,
    by_question,
    circuit_question,
    date_question,
    described,
    instrument_question,
    load_lines,
    load_question,
    photos_question,
)

PURPOSES: Final[tuple[str, ...]] = get_args(Trace.model_fields["purpose"].annotation)
_CONNECTIONS: Final[tuple[str, ...]] = (
    "energized circuit",
    "dead conductor with remote return",
    "inductive clamp",
)

_HEAD: Final = ("tag", "date", "by", "instrument", "purpose", "connection")
_TAIL: Final = ("photos", "notes")
_ASKED: Final[Mapping[str, tuple[str, ...]]] = {
    purpose: tuple(key for key in keys if key not in (*_HEAD, *_TAIL))
    for purpose, keys in KEYS.items()
}
"""Purpose → the keys that matter for it, in the order of its worksheet: that is what is typed."""


class TraceForm:
    """Which question comes next, and the trace that the answers make.

    Parameters
    ----------
    names : Names
    """

    def __init__(self, names: Names) -> None:
        self._names = names
        self._questions: Mapping[str, Callable[[Answers], Question]] = {
            "tag": lambda _: self._tag(),
            "date": lambda _: date_question(names),
            "by": lambda _: by_question(names),
            "instrument": lambda said: instrument_question(names, said["date"]),
            "purpose": lambda _: _choice("purpose", PURPOSES, required=True),
            "connection": lambda _: _choice("connection", _CONNECTIONS),
            "load": lambda _: load_question(names, "the load whose breaker is looked for"),
            "circuit": lambda _: circuit_question(names, "circuit", "the circuit that is traced"),
            "cable": lambda _: self._of("cable", "cables"),
            "run": self._run,
            "transmitter_at": self._transmitter,
            "readings": self._readings,
            "echo": lambda said: echo_question(self._run_of(said)),
            "bridge": lambda said: bridge_question(self._run_of(said)),
            "found": lambda _: self._found(),
            "conclusion": lambda _: Asked("conclusion", TEXT, "in your words"),
            "concluded_circuit": lambda _: circuit_question(
                names, "concluded_circuit", "the circuit that you conclude it is on"
            ),
            "concluded_cable": lambda _: self._of("concluded_cable", "cables"),
            "confirmed_by_opening": lambda _: Asked(
                "confirmed_by_opening",
                YES_NO,
                "yes only where the breaker was opened and the load was tested dead",
            ),
            "photos": lambda _: photos_question(),
            "notes": lambda _: Asked("notes", TEXT),
        }

    def next_question(self, said: Answers) -> Question | None:
        """Return the first question that has no answer yet; None after the last."""
        key = next((key for key in _keys(said) if key not in said), None)
        return self._questions[key](said) if key is not None else None

    def record(self, said: Answers) -> dict[str, Any]:
        """Return the answers as a trace for YAML, in the order of the records."""
        order = [field.alias or name for name, field in Trace.model_fields.items()]
        given = {key: value for key, value in said.items() if value not in (None, [])}
        return {key: given[key] for key in order if key in given}

    def trace(self, said: Answers) -> Trace:
        """Return the answers so far as a trace."""
        return Trace.model_validate(self.record(said))

    def says(self, said: Answers) -> Iterator[str]:
        """Yield what the program reads from the answers so far."""
        trace = self.trace(said)
        yield from verdict_text(self._names, trace, self._verdict(said))

    def says_at_last(self, said: Answers) -> Iterator[str]:
        """Yield what it reads from all answers, as far as it was not told with the readings."""
        head = {key: said[key] for key in _before_conclusion(said)}
        told = self._verdict(head) if said.get("readings") and self._told(said) else None
        yield from verdict_text(self._names, self.trace(said), self._verdict(said), told)

    def _verdict(self, said: Answers) -> TraceVerdict:
        return trace_verdict(self._names, said["tag"], self.trace(said))

    def _told(self, said: Answers) -> bool:
        # What hangs on a circuit is only said once the loads found on it are.
        return bool(said["purpose"] != "list what is downstream")

    def _tag(self) -> Question:
        names = self._names
        return Asked(
            "tag",
            lambda text: names.new_tag(text, "traces"),
            default=next_tag(names, "traces"),
            label="trace",
        )

    def _of(self, key: str, section: str) -> Question:
        names = self._names
        records = names.known(section)
        return Asked(
            key,
            lambda text: names.tag(text, key, section),
            Trace.model_fields[key].description or "",
            known=lambda: (f"{tag}  {described(record)}" for tag, record in records.items()),
        )

    def _run(self, said: Answers) -> Question:
        names = self._names
        runs = names.known("runs")
        same = [tag for tag, run in runs.items() if _is_of(run.of, said)]
        about = f"recorded of it: {', '.join(same)}" if same else "? lists them"
        return Asked(
            "run",
            lambda text: names.tag(text, "run", "runs"),
            about,
            known=lambda: (f"{tag}  {run.of}  {described(run)}" for tag, run in runs.items()),
        )

    def _run_of(self, said: Answers) -> Any:
        return self._names.known("runs").get(said["run"]) if said.get("run") else None

    def _transmitter(self, said: Answers) -> Question:
        run = self._run_of(said)
        return Asked(
            "transmitter_at",
            lambda text: place_on(run, TEXT(text)),
            "where along the run the transmitter is joined: a distance, or a landmark",
            known=lambda: landmark_lines(run) if run else (),
        )

    def _readings(self, said: Answers) -> Question:
        says = self.says if self._told(said) else None
        return ReadingsQuestion(places_of(self._names, self.trace(said)), dict(said), says)

    def _found(self) -> Question:
        read = lambda text: self._names.tag(text, "found", "loads")  # noqa: E731
        return Asked(
            "found",
            several(read, ", "),
            "loads found on the circuit, with blanks between; ? lists them",
            known=lambda: load_lines(self._names),
        )


def _keys(said: Answers) -> Iterator[str]:
    yield from _HEAD
    for key in _ASKED[said["purpose"]]:
        if key == "cable" and said.get("circuit"):
            continue
        yield key
    yield from _TAIL


def _before_conclusion(said: Answers) -> Iterator[str]:
    """Yield the keys up to the readings."""
    for key in said:
        yield key
        if key == "readings":
            return


def _is_of(of: Reference, said: Answers) -> bool:
    wanted = said.get("circuit") or said.get("cable")
    return wanted is not None and of == read_reference(wanted)


def _choice(key: str, choices: tuple[str, ...], *, required: bool = False) -> Question:
    return Asked(key, one_of(choices, key), choices=choices, required=required)
