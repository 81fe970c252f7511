"""The last question: what will be written, what the checks say of it, and whether to write it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from recordgen.portfolio import Portfolio
from recordgen.problems import Problem, has_errors
from recordgen.records.yaml_insert import Inserted
from recordgen.terminal.lines import wrap
from recordgen.terminal.record_console import Console
from recordgen.terminal.record_file import (
    FieldFile,
    FieldSection,
    NotWritten,
    put,
    replace_file,
    tried,
)
from recordgen.terminal.record_names import Names
from recordgen.terminal.record_questions import answer
from recordgen.terminal.record_subjects import YES_NO


@dataclass(frozen=True)
class Draft:
    """A record, or a part of one, ready to be written.

    Attributes
    ----------
    section, tag : str
        The record that it is, or becomes part of.
    lines : tuple of str
        As they will stand in the file, or nearly so.
    belongs : str
        Where that is, for those who have to put them there by hand.
    file : FieldFile
    change : function
        The file's text → with the lines in it.
    record : object
        The whole record as it has to read back.
    """

    section: FieldSection
    tag: str
    lines: tuple[str, ...]
    belongs: str
    file: FieldFile
    change: Callable[[str], Inserted]
    record: Any


@dataclass(frozen=True)
class Tried:
    """A draft put into its file on trial.

    Attributes
    ----------
    inserted : Inserted
    portfolio : Portfolio
        As it will be.
    new_problems : tuple of Problem
        Findings that there were none of before.
    """

    inserted: Inserted
    portfolio: Portfolio
    new_problems: tuple[Problem, ...]


def trial(names: Names, records: Path, draft: Draft) -> Tried:
    """Return what would be written and what follows from it.

    Raises
    ------
    NotWritten
        It cannot be put in safely, the records would have errors, or it would read otherwise.
    """
    inserted = put(draft.file, draft.change)
    after = tried(records, draft.file, inserted.text, names.portfolio)
    known = {_essence(problem) for problem in names.portfolio.problems}
    found = tuple(problem for problem in after.problems if _essence(problem) not in known)
    if has_errors(after.problems):
        errors = [str(problem) for problem in after.problems if problem.severity == "error"]
        raise NotWritten("\n".join(["with it the records would have errors:", *errors]))
    there = getattr(after.buildings[names.loaded.id].records, draft.section)
    if there.get(draft.tag) != draft.record:
        raise NotWritten(f"{draft.tag} would read otherwise than it was typed")
    return Tried(inserted, after, found)


@dataclass(frozen=True)
class WriteQuestion:
    """Shows a draft and what follows from it, and asks whether to write it.

    Attributes
    ----------
    draft : Draft
    tried : Tried
    says : iterable of str
        What the program reads from it.
    key : str
    """

    draft: Draft
    tried: Tried
    says: Iterable[str]
    key: str = "write"

    def ask(self, console: Console) -> bool:
        """Return whether it is to be written."""
        for line in (*self.says, *_findings(self.tried.new_problems), "", *self.draft.lines, ""):
            console.say(line)
        console.say(f"Write this to {self.draft.file.path}?")
        # Consent is given to what was seen: what was typed or pasted before that is none.
        console.forget()
        return bool(answer(console, "yes, no, or < to go back: ", YES_NO))


def write(draft: Draft, done: Tried) -> str:
    """Write a draft; return where it stands now, `path:line`.

    Raises
    ------
    NotWritten
    """
    replace_file(draft.file, done.inserted.text)
    return f"{draft.file.path}:{done.inserted.line}"


def by_hand(draft: Draft) -> Iterator[str]:
    """Yield the lines of a draft and where they go, so that nothing typed is lost."""
    yield f"Nothing was written. These lines go into {draft.file.path}, {draft.belongs}:"
    yield ""
    yield from draft.lines


def _findings(problems: Iterable[Problem]) -> Iterator[str]:
    found = tuple(problems)
    yield ""
    if not found:
        yield "The checks find nothing new."
        return
    yield "The checks find, once it is written:"
    for problem in found:
        hint = f"; {problem.hint}" if problem.hint else ""
        severity = "STOP" if problem.severity == "stop" else problem.severity
        yield from wrap(f"{severity}: {problem.message}{hint}", "  ", "    ")


def _essence(problem: Problem) -> tuple[str, str, str, str]:
    # Lines below what is put in move down: a place is no part of what is said.
    return problem.severity, problem.code, problem.message, problem.location.path
