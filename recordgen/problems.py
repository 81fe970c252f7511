"""What is wrong with the records, and where: one kind of value, made by all, read by reporters."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

Severity = Literal["error", "stop", "warning", "note"]
"""`error`: the records cannot be read, nothing is built. `stop`: published, with a STOP notice on
every sheet it touches. `warning` and `note`: published in the list of findings."""

SEVERITIES: tuple[Severity, ...] = ("error", "stop", "warning", "note")


@dataclass(frozen=True, order=True)
class Location:
    """A place in a record file; line and column count from 1, as editors show them."""

    path: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}"


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong or open.

    Attributes
    ----------
    severity : Severity
    code : str
        Short name of the kind of problem, stable, for searching and for tests.
    message : str
        What was found and what was expected, in one sentence without a full stop.
    location : Location
        Where the reader has to look first.
    hint : str or None
        What to write instead.
    related : tuple of Location
        The other places that take part (the first definition, the members of a cycle).
    subjects : tuple of str
        Full tags (`building:TAG` or `building:PANEL/POSITION`) whose pages carry the notice.
    leaning : tuple of str
        Full tags of devices that it is not about, and whose lists of what goes dark lean on it.
    """

    severity: Severity
    code: str
    message: str
    location: Location
    hint: str | None = None
    related: tuple[Location, ...] = ()
    subjects: tuple[str, ...] = field(default=(), compare=False)
    leaning: tuple[str, ...] = field(default=(), compare=False)

    def __str__(self) -> str:
        text = f"{self.location}: {self.severity}[{self.code}]: {self.message}"
        if self.related:
            text += f" (see {', '.join(str(place) for place in self.related)})"
        return f"{text}; {self.hint}" if self.hint else text

    def as_json(self) -> dict[str, object]:
        """Return the problem as plain values for `--format json`."""
        return {
            "severity": self.severity,
            "code": self.code,
            "message": self.message,
            "path": self.location.path,
            "line": self.location.line,
            "column": self.location.column,
            "hint": self.hint,
            "related": [str(place) for place in self.related],
            "subjects": list(self.subjects),
            "leaning": list(self.leaning),
        }


def in_order(problems: Iterable[Problem]) -> list[Problem]:
    """Return the problems without repeats, by file, line and column, gravest first at one place."""
    return sorted(
        dict.fromkeys(problems),
        key=lambda p: (p.location, SEVERITIES.index(p.severity), p.code, p.message),
    )


def has_errors(problems: Iterable[Problem]) -> bool:
    """Say whether any problem keeps the records from being read."""
    return any(problem.severity == "error" for problem in problems)
