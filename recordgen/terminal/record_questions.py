"""Questions: asked one at a time, each answer checked at once, one step back at any time."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, Final, Protocol

from pydantic import TypeAdapter, ValidationError

from recordgen.records.messages import closest
from recordgen.records.quantities import shown
from recordgen.terminal.lines import WIDTH, wrap
from recordgen.terminal.record_console import Console, Stopped

BACK: Final = "<"
LIST: Final = "?"
Answers = dict[str, Any]
"""Key → value as it goes into YAML, in the order asked; None where nothing was answered."""

_NOTHING: Final = object()
# Space on the line of a question for its answer.
_ROOM: Final = 8
# More lines than a screen has are searched, not read.
_LISTED: Final = 60


class GoBack(Exception):
    """The one who answers wants the question before this one again."""


class Wrong(ValueError):
    """An answer cannot be right, or most likely is not.

    Parameters
    ----------
    message : str
    hint : str or None
        What to write instead.
    keep : object
        What the answer stands for all the same: given twice, it is taken. Without it, never.
    """

    def __init__(self, message: str, hint: str | None = None, keep: object = _NOTHING) -> None:
        super().__init__(f"{message}; {hint}" if hint else message)
        self.keep = keep

    @property
    def can_be_kept(self) -> bool:
        """Whether the same answer once more is taken."""
        return self.keep is not _NOTHING


class Question(Protocol):
    """What a dialogue is made of."""

    @property
    def key(self) -> str:
        """Its name among the answers."""

    def ask(self, console: Console) -> Any:
        """Return the answer; None for none."""


@dataclass(frozen=True)
class Asked:
    """A question that one line answers.

    Attributes
    ----------
    key : str
        As in the YAML.
    read : function
        Text → value; raises `Wrong`.
    about : str
        What is asked for, where the key does not say it.
    default : str or None
        The answer that an empty line gives.
    required : bool
        Whether there has to be an answer.
    choices : tuple of str
        Shown before it is asked, with their numbers.
    known : function or None
        What may be listed: lines, the first word of each an answer.
    label : str
        What the prompt calls it; the key, if empty.
    """

    key: str
    read: Callable[[str], Any]
    about: str = ""
    default: str | None = None
    required: bool = False
    choices: tuple[str, ...] = ()
    known: Callable[[], Iterable[str]] | None = None
    label: str = field(default="", compare=False)

    def ask(self, console: Console) -> Any:
        """Return the value of an answer that can be right; None for none."""
        name = self.label or self.key
        prompt = self._prompt(f"{name}, {self.about}" if self.about else name)
        if self.choices or len(prompt) > WIDTH - _ROOM:
            for line in wrap(f"{name}: {self.about}" if self.about else name):
                console.say(line)
            prompt = self._prompt(name)
        for number, choice in enumerate(self.choices, 1):
            console.say(f"  {number:2} {choice}")
        return answer(console, prompt, self._value, self.known)

    def _prompt(self, name: str) -> str:
        if self.default is not None:
            return f"{name} [{self.default}]: "
        return f"{name}: " if self.required else f"{name} (or Enter): "

    def _value(self, text: str) -> Any:
        text = text or self.default or ""
        if text:
            return self.read(text)
        if self.required:
            raise Wrong(f"`{self.key}` has to be recorded", "type an answer, or stop with Ctrl-C")
        return None


def answer(
    console: Console,
    prompt: str,
    value: Callable[[str], Any],
    known: Callable[[], Iterable[str]] | None = None,
) -> Any:
    """Return the value of a line; a wrong one is told and asked again.

    Raises
    ------
    GoBack
    """
    refused = None
    while True:
        text = console.line(prompt)
        if text == BACK:
            raise GoBack
        if text.startswith(LIST):
            _list(console, known, text.removeprefix(LIST).strip())
            continue
        try:
            return value(text)
        except Wrong as wrong:
            if wrong.can_be_kept and refused == text:
                return wrong.keep
            said = f"{wrong}; the same again keeps it" if wrong.can_be_kept else str(wrong)
            at = console.count
            if wrong.can_be_kept and not console.typed and _next_line(console, prompt) == text:
                return wrong.keep
            console.wrong(said, at)
            refused = text


def _next_line(console: Console, prompt: str) -> str | None:
    try:
        return console.line(prompt)
    except Stopped:
        return None


def _list(console: Console, known: Callable[[], Iterable[str]] | None, wanted: str) -> None:
    lines = [line for line in known() if wanted.lower() in line.lower()] if known else []
    for line in lines[:_LISTED]:
        console.say(f"  {line}"[:WIDTH])
    if len(lines) > _LISTED:
        console.say(f"  and {len(lines) - _LISTED} more; ?WORD searches")
    if not lines:
        console.say(f"  nothing to list{f' with {shown(wanted)}' if wanted else ''}")


def fill(
    console: Console,
    next_question: Callable[[Answers], Question | None],
    *,
    first: bool = True,
) -> Answers:
    """Return the answers to all questions.

    Parameters
    ----------
    console : Console
    next_question : function
        Answers so far → the first question without one; None after the last.
    first : bool
        Whether nothing was asked before these questions.

    Raises
    ------
    GoBack
        From the first of them, where something was.
    """
    answers: Answers = {}
    while (question := next_question(answers)) is not None:
        try:
            answers[question.key] = question.ask(console)
        except GoBack:
            if answers:
                answers.popitem()
            elif first:
                console.say("  this is the first question; Ctrl-C stops")
            else:
                raise
    return answers


def typed(kind: Any) -> Callable[[str], Any]:
    """Return a reader of the records' own types, with their messages."""
    adapter = TypeAdapter(kind)

    def read(text: str) -> Any:
        try:
            return adapter.validate_python(text)
        except ValidationError as error:
            first = error.errors(include_url=False)[0]
            raise Wrong(first["msg"], first.get("ctx", {}).get("hint")) from None

    return read


def one_of(choices: Sequence[str], name: str) -> Callable[[str], str]:
    """Return a reader of one of a few words: the word, its number or how it alone begins."""

    def read(text: str) -> str:
        lower = text.lower()
        if text.isdecimal() and 1 <= int(text) <= len(choices):
            return choices[int(text) - 1]
        same = [choice for choice in choices if choice.lower() == lower]
        begins = [choice for choice in choices if choice.lower().startswith(lower)]
        if same or len(begins) == 1:
            return (same or begins)[0]
        hint = f"it may be {' or '.join(begins)}" if begins else closest(text, choices)
        hint = hint or f"write one of 1 to {len(choices)}, or the words"
        raise Wrong(f"{shown(text)} is not a word for `{name}`", hint)

    return read


def several(read: Callable[[str], Any], separators: str) -> Callable[[str], list[Any]]:
    """Return a reader of several answers on one line."""

    def read_all(text: str) -> list[Any]:
        return list(dict.fromkeys(read(part) for part in _parts(text, separators)))

    return read_all


def _parts(text: str, separators: str) -> Iterator[str]:
    for separator in separators:
        text = text.replace(separator, "\0")
    yield from (part.strip() for part in text.split("\0") if part.strip())
