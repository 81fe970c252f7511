"""The two dialogues from the first question to the file."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any, Protocol

from recordgen.evidence.fault_life import STEPS, days_open, missing_steps, status
from recordgen.portfolio import Portfolio
from recordgen.records.field import Fault, Trace
from recordgen.records.messages import closest
from recordgen.records.yaml_insert import Inserted, with_item, with_key, with_record
from recordgen.records.yaml_writer import entry_lines, flow, key_lines
from recordgen.terminal.options import said_when_slow
from recordgen.terminal.record_console import Console, Stopped
from recordgen.terminal.record_fault import FaultForm, fault_line, open_faults
from recordgen.terminal.record_file import NotWritten, file_of_record, file_of_section
from recordgen.terminal.record_names import Names
from recordgen.terminal.record_questions import (
    Answers,
    Asked,
    GoBack,
    Question,
    Wrong,
    answer,
    fill,
)
from recordgen.terminal.record_subjects import YES_NO
from recordgen.terminal.record_trace import TraceForm
from recordgen.terminal.record_writing import Draft, Tried, WriteQuestion, trial, write

HELP = (
    "One answer a line. Enter leaves out what is not known, ? lists, ?WORD searches,\n"
    "< goes back one question, Ctrl-C stops; nothing is written before the end."
)


class CannotWrite(Exception):
    """A draft could not be written; carries it, so that what was typed is not lost."""

    def __init__(self, reason: str, draft: Draft) -> None:
        super().__init__(reason)
        self.draft = draft


class _Form(Protocol):
    def next_question(self, said: Answers) -> Question | None: ...


@dataclass(frozen=True)
class Dialogue:
    """Asks for records of one building.

    Attributes
    ----------
    console : Console
    folder : Path
        The folder of buildings.
    building : str
        Its id.
    show : function or None
        Takes the YAML lines in place of writing them; None to write.
    """

    console: Console
    folder: Path
    building: str
    show: Callable[[str], None] | None = None

    def trace(self, portfolio: Portfolio) -> None:
        """Ask for a trace, and write it."""
        names = Names(portfolio, self.building)
        form = TraceForm(names)
        self._opening(f"A new trace of {self.building}.")
        draft_of = partial(_trace_draft, self.folder, names, form)
        self._run(names, form, draft_of, form.says_at_last)

    def fault(self, portfolio: Portfolio, tag: str | None) -> None:
        """Ask for a fault or its next step, and write it; then for the step after that.

        Parameters
        ----------
        portfolio : Portfolio
        tag : str or None
            The fault; None to choose among the open ones, or to record a new one.
        """
        names = Names(portfolio, self.building)
        self._opening(f"Faults of {self.building}.")
        chosen = tag is not None
        while True:
            tag = tag if chosen else self._chosen(names)
            form = FaultForm(names, tag)
            says = partial(_fault_says, names, form)
            draft_of = partial(_fault_draft, self.folder, names, form)
            try:
                done = self._run(names, form, draft_of, says, first=chosen)
            except GoBack:
                continue
            if done is None:
                return
            draft, after = done
            following = _next_step(draft.record)
            if following is None or not self._goes_on(following):
                return
            names, tag, chosen = Names(after.portfolio, self.building), draft.tag, True

    def _opening(self, head: str) -> None:
        self.console.say(head)
        self.console.say(HELP)
        self.console.say()

    def _run(
        self,
        names: Names,
        form: _Form,
        draft_of: Callable[[Answers], Draft],
        says: Callable[[Answers], Iterator[str]],
        *,
        first: bool = True,
    ) -> tuple[Draft, Tried] | None:
        """Return what was written; None where nothing was."""
        last: list[tuple[Draft, Tried]] = []

        def next_question(said: Answers) -> Question | None:
            question = form.next_question(said)
            if question is not None or "write" in said:
                return question
            draft = draft_of(said)
            last[:] = [(draft, self._tried(names, draft))]
            if self.show is not None:
                for line in (*says(said), ""):
                    self.console.say(line)
                return None
            return WriteQuestion(draft, last[0][1], says(said))

        said = fill(self.console, next_question, first=first)
        draft, done = last[0]
        if self.show is not None:
            for line in draft.lines:
                self.show(line)
            return None
        if not said["write"]:
            self.console.say("Nothing was written.")
            return None
        try:
            place = write(draft, done)
        except NotWritten as error:
            raise CannotWrite(str(error), draft) from None
        self.console.say(f"Written: {draft.tag}, {place}")
        return draft, done

    def _tried(self, names: Names, draft: Draft) -> Tried:
        try:
            with said_when_slow("checking"):
                return trial(names, self.folder, draft)
        except NotWritten as error:
            raise CannotWrite(str(error), draft) from None

    def _chosen(self, names: Names) -> str | None:
        """Return the tag of the open fault that is gone on with; None for a new one."""
        faults = open_faults(names)
        lines = ["new  a new fault", *(fault_line(tag, one) for tag, one in faults.items())]
        tags = ["new", *faults]

        def read(text: str) -> str:
            if text.isdecimal() and 1 <= int(text) <= len(tags):
                return tags[int(text) - 1]
            known = [*tags, *names.known("faults")]
            found = next((tag for tag in known if tag.lower() == text.lower()), None)
            if found is None:
                hint = closest(text, known) or "write its number or its tag, or new"
                raise Wrong(f'there is no fault "{text}"', hint)
            return found

        asked = Asked("fault", read, choices=tuple(lines), required=True)
        while True:
            try:
                found = asked.ask(self.console)
            except GoBack:
                self.console.say("  this is the first question; Ctrl-C stops")
            else:
                return None if found == "new" else str(found)

    def _goes_on(self, following: str) -> bool:
        """Return whether the next step is recorded now; what was written stays in any case."""
        if self.show is not None:
            return False
        prompt = f"\nThe next step, {following}, now? yes or Enter for no: "
        try:
            return bool(answer(self.console, prompt, lambda text: bool(text) and YES_NO(text)))
        except (Stopped, GoBack):
            return False


def _trace_draft(folder: Path, names: Names, form: TraceForm, said: Answers) -> Draft:
    tag, record = str(said["tag"]), form.record(said)
    return _whole("traces", folder, names, tag, record, form.trace(said))


def _fault_draft(folder: Path, names: Names, form: FaultForm, said: Answers) -> Draft:
    tag = form.tag(said)
    if "tag" in said:
        return _whole("faults", folder, names, tag, form.record(said), form.fault(said))
    step, cause = form.step(said), said.get("cause")
    lines = [f"      - {flow(step)}"]
    if cause:
        lines += key_lines("cause", cause, "    ")

    def change(text: str) -> Inserted:
        found = with_item(text, ("faults", tag), "steps", step)
        if cause:
            text_with_cause = with_key(found.text, ("faults", tag), "cause", cause).text
            found = Inserted(text_with_cause, found.line)
        return found

    file = file_of_record(folder / names.loaded.id, "faults", tag)
    belongs = f"at the end of `steps:` of {tag}{', and `cause:` below them' if cause else ''}"
    return Draft("faults", tag, tuple(lines), belongs, file, change, form.fault(said))


def _whole(
    section: Any, folder: Path, names: Names, tag: str, record: dict[str, Any], read: Trace | Fault
) -> Draft:
    file = file_of_section(folder / names.loaded.id, section)
    lines = tuple(entry_lines(tag, record, "  "))
    change = partial(with_record, section=section, tag=tag, record=record)
    return Draft(section, tag, lines, f"below `{section}:`", file, change, read)


def _fault_says(names: Names, form: FaultForm, said: Answers) -> Iterator[str]:
    fault = form.fault(said)
    days = days_open(fault, names.portfolio.as_of)
    since = "" if days is None else f", {'closed after' if _closed(fault) else 'open for'} {days} d"
    yield ""
    yield f"{form.tag(said)} then stands at: {status(fault)}{since}"


def _closed(fault: Fault) -> bool:
    return status(fault) == "closed"


def _next_step(fault: Fault) -> str | None:
    missing, done = missing_steps(fault), status(fault)
    if missing or done is None:
        return missing[0] if missing else None
    return STEPS[STEPS.index(done) + 1] if done != STEPS[-1] else None
