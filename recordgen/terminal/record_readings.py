"""Readings as they stand in a notepad: `LP-1/14 86 79 74 s4`, one a line.

A line is a place, one value or one for each of three orientations, `s` with the sensitivity, and
what else was noted. Nothing is taken over from the line above but what is asked for: `/16` is
another breaker of the same panel, `s4` alone holds for the lines that follow.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from recordgen.evidence.signals import ORIENTATIONS, TOP_OF_SCALE
from recordgen.records.base import Count, Text
from recordgen.records.field import Reading
from recordgen.records.quantities import Measured, Quantity, shown
from recordgen.terminal.record_questions import Wrong, typed

SHAPE: Final = "write place, values and s with the sensitivity, like"
_NUMBER: Final = re.compile(r"[-+]?\d+(?:[.,]\d+)?")
_SENSITIVITY: Final = re.compile(r"[sS](\d+)")
_MEASURED: Final = typed(Measured)
_COUNT: Final = typed(Count)
_TEXT: Final = typed(Text)

Line = dict[str, Any]
"""One reading as it goes into YAML: `at`, `values`, `sensitivity`, `note`."""


@dataclass(frozen=True)
class Places:
    """The places that readings of one trace are taken at.

    Attributes
    ----------
    known : function
        Text → whether it is a place by itself; tells where a place ends and values begin.
    named : function
        Text and the readings so far → the place as it is recorded; raises `Wrong`.
    example : str
        A line as it may be typed.
    turned : bool
        Whether three orientations of the receiver are looked at.
    listed : tuple of str
        Shown before readings are asked for.
    choices : function
        What may be listed and searched: lines, the first word of each a place.
    """

    known: Callable[[str], bool]
    named: Callable[[str, list[Line]], str]
    example: str
    turned: bool
    listed: tuple[str, ...] = ()
    choices: Callable[[], Iterable[str]] = tuple


def standing_sensitivity(line: str) -> int | None:
    """Return the sensitivity that a line sets for those below it; None for another line."""
    found = _SENSITIVITY.fullmatch(line)
    return _COUNT(found[1]) if found else None


def reading_of(line: str, places: Places, before: list[Line], standing: int | None) -> Line:
    """Return the reading that a line holds.

    Parameters
    ----------
    line : str
    places : Places
    before : list of Line
        The readings above it.
    standing : int or None
        What a line with a sensitivity alone has set.

    Raises
    ------
    Wrong
        With the reading to keep, where it can be recorded and may be right.
    """
    head, _, noted = line.partition("#")
    words = head.split()
    mark = _mark(words)
    sensitivity = standing
    if mark is not None:
        sensitivity = _COUNT(words[mark][1:])
        noted = " ".join([*words[mark + 1 :], *noted.split()])
        words = words[:mark]
    place, values = _split(words, places)
    doubts = []
    try:
        at = places.named(place, before)
    except Wrong as wrong:
        if not wrong.can_be_kept:
            raise
        doubts.append(wrong.args[0])
        at = str(wrong.keep)
    doubts += _about_values(values, places)
    found: Line = {"at": _TEXT(at), "values": _values(values)}
    if sensitivity is not None:
        found["sensitivity"] = sensitivity
    elif not any("sensitivity" not in earlier for earlier in before):
        doubts.append("no sensitivity, so it will not count; add it, like s4")
    if noted.strip():
        found["note"] = _TEXT(noted)
    if doubts:
        raise Wrong(". ".join(doubts), keep=found)
    return found


def as_reading(line: Line) -> Reading:
    """Return a reading as the records have it."""
    return Reading.model_validate(line)


def in_one_line(line: Mapping[str, Any]) -> str:
    """Return a reading as it may be typed."""
    values = line["values"] if isinstance(line["values"], list) else [line["values"]]
    parts = [str(line["at"]), *map(str, values)]
    if "sensitivity" in line:
        parts.append(f"s{line['sensitivity']}")
    return " ".join([*parts, line.get("note", "")]).strip()


def _mark(words: list[str]) -> int | None:
    """Return where the sensitivity stands: behind a value, for places may be called so too."""
    marks = (
        place
        for place in range(1, len(words))
        if _SENSITIVITY.fullmatch(words[place]) and _NUMBER.fullmatch(words[place - 1])
    )
    return next(marks, None)


def _split(words: list[str], places: Places) -> tuple[str, list[str]]:
    """Return place and values; a place may end in a number itself."""
    count = 0
    while count < len(words) and _NUMBER.fullmatch(words[-1 - count]):
        count += 1
    most = min(count, len(words) - 1)
    if most < 1:
        text = " ".join(words)
        what = f"{shown(text)} holds no place and value"
        if len(words) > 1 and words[-1][0].isdecimal():
            what = f"{shown(words[-1])} is not a whole number"
        raise Wrong(what, f"{SHAPE} {places.example}")
    for number in range(min(most, ORIENTATIONS), 0, -1):
        place = " ".join(words[:-number])
        if places.known(place):
            return place, words[-number:]
    return " ".join(words[:-most]), words[-most:]


def _values(values: list[str]) -> Quantity | list[Quantity]:
    # A comma before one or two digits is a decimal one; the records read a point.
    read = [_MEASURED(value.replace(",", ".")) for value in values]
    return read[0] if len(read) == 1 else read


def _about_values(values: list[str], places: Places) -> list[str]:
    doubts = []
    off = [value for value in values if not 0 <= float(value.replace(",", ".")) <= TOP_OF_SCALE]
    if off:
        doubts.append(f"{', '.join(off)} is off the scale of 0 to {TOP_OF_SCALE:g}")
    broken = [value for value in values if not value.isdecimal() and value not in off]
    if broken:
        doubts.append(f"{', '.join(broken)} is not a whole number")
    if places.turned and len(values) not in (1, ORIENTATIONS):
        doubts.append(f"{len(values)} values, where one or three orientations count")
    if len(values) > ORIENTATIONS:
        doubts.append(f"{len(values)} values at one place")
    return doubts
