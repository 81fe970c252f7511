"""The block of readings: lines typed from a notepad, and what they say before anybody leaves."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Final

from recordgen.terminal.lines import wrap
from recordgen.terminal.record_console import Console
from recordgen.terminal.record_questions import Answers, answer
from recordgen.terminal.record_readings import (
    Line,
    Places,
    in_one_line,
    reading_of,
    standing_sensitivity,
)

TAKE_BACK: Final = "-"
_PROMPT: Final = "  reading: "
_MORE: Final = "  more, or Enter to go on: "


@dataclass(frozen=True)
class ReadingsQuestion:
    """Asks for readings until an empty line, says what they show, and takes more.

    Attributes
    ----------
    places : Places
    said : dict
        The answers before it.
    says : function or None
        Answers with the readings → what the program reads from them, in lines.
    key : str
    """

    places: Places
    said: Answers
    says: Callable[[Answers], Iterable[str]] | None
    key: str = "readings"

    def ask(self, console: Console) -> list[Line]:
        """Return the readings, in the order typed."""
        for line in self._introduction():
            console.say(line)
        lines: list[Line] = []
        standing: int | None = None
        told = 0
        while True:
            found = self._next(console, lines, standing, _MORE if told else _PROMPT)
            match found:
                case None if len(lines) == told:
                    return lines
                case None:
                    said = [*self._read(lines)]
                    if not said:
                        return lines
                    told = len(lines)
                    for line in said:
                        console.say(line)
                case int():
                    standing = found
                    console.say(f"  sensitivity {found} for the lines below")
                case str():
                    self._taken_back(console, lines)
                    told = 0
                case dict():
                    lines.append(found)

    def _read(self, lines: list[Line]) -> Iterable[str]:
        return self.says({**self.said, self.key: lines}) if self.says is not None else ()

    def _introduction(self) -> Iterable[str]:
        yield from self.places.listed
        yield from wrap(
            f"readings, one a line: {self.places.example}. An empty line ends them; s4 alone holds "
            "for the lines below; - takes the last one back; ? lists, ?WORD searches"
        )

    def _next(
        self, console: Console, lines: list[Line], standing: int | None, prompt: str
    ) -> Line | int | str | None:
        """Return what a line asks for: a reading, a sensitivity, to take one back, or an end."""

        def value(text: str) -> Line | int | str | None:
            if not text:
                return None
            if text == TAKE_BACK:
                return text
            step = standing_sensitivity(text)
            return reading_of(text, self.places, lines, standing) if step is None else step

        found: Line | int | str | None = answer(console, prompt, value, lambda: self._listed(lines))
        return found

    def _listed(self, lines: list[Line]) -> Iterable[str]:
        """Yield what was typed so far, and then where readings may be taken."""
        yield from (f"typed: {in_one_line(line)}" for line in lines)
        yield from self.places.choices()

    def _taken_back(self, console: Console, lines: list[Line]) -> None:
        if lines:
            console.say(f"  taken back: {in_one_line(lines.pop())}")
        else:
            console.say("  there is no reading to take back")
