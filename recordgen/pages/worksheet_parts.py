"""What worksheets are made of: blanks under the keys of the records, ticks, instruments, YAML."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final, Literal, get_args, get_origin

from pydantic import BaseModel

from recordgen.evidence.calibration import READ_AGAINST_ITSELF, calibration_on
from recordgen.pages.worksheet_wording import HINTS
from recordgen.records.building import BuildingRecords
from recordgen.records.field import Bridge, Echo, Instrument

Width = Literal["short", "wide", "full"]
GAP: Final = "____"
"""A blank in the lines of YAML."""
_YES_NO: Final = ("yes", "no")
_WIDE: Final = frozenset({"found", "conclusion", "notes", "description", "employees", "cause"})
_FULL: Final = 3
"""More choices than this take the whole width."""
PROVING: Final = frozenset({"voltage tester", "proving unit"})
DISTANCES: Final[Mapping[str, tuple[str, ...]]] = {
    key: tuple(field.alias or name for name, field in model.model_fields.items())
    for key, model in (("echo", Echo), ("bridge", Bridge))
}
"""Key of a trace for what gives a distance by itself → the keys below it."""


@dataclass(frozen=True)
class Blank:
    """A place to write, under the key of the record that it becomes.

    `text` is what is known before; of `choices` one is ticked. Of a line of the sheet it takes a
    fifth, two fifths or all, and more where there is room.
    """

    key: str
    hint: str
    text: str = ""
    choices: tuple[str, ...] = ()
    size: Width = "short"


@dataclass(frozen=True)
class InstrumentTick:
    """An instrument to tick; `overdue` where its calibration does not hold on the day of print."""

    tag: str
    kind: str
    category: str
    calibration: str
    overdue: bool


@dataclass(frozen=True)
class Sheet:
    """What every worksheet has.

    Attributes
    ----------
    safety : tuple of str
        What to mind before starting.
    how, otherwise : tuple of str
        How to decide, and what to do where that does not decide.
    head, tail : tuple of Blank
        Before and after the readings, in the order of the record.
    instruments, testers : tuple of InstrumentTick
        To measure or trace with, and to test for absence of voltage with.
    yaml : tuple of str
        The lines that the sheet becomes.
    command : str
        The command that asks for the same; empty where there is none.
    """

    safety: tuple[str, ...]
    how: tuple[str, ...]
    otherwise: tuple[str, ...]
    head: tuple[Blank, ...]
    tail: tuple[Blank, ...]
    instruments: tuple[InstrumentTick, ...]
    testers: tuple[InstrumentTick, ...]
    yaml: tuple[str, ...]
    command: str


def choices(model: type[BaseModel], key: str) -> tuple[str, ...]:
    """Return the words that a field allows, in the order of the model; none where it is free.

    Examples
    --------
    >>> from recordgen.records.field import Trace
    >>> choices(Trace, "connection")[0], choices(Trace, "confirmed_by_opening")
    ('energized circuit', ('yes', 'no'))
    """
    field = model.model_fields[key]
    inside = tuple(_inside(field.annotation))
    words = tuple(each for each in inside if isinstance(each, str))
    return words or (_YES_NO if bool in inside else ())


def _inside(annotation: Any) -> Iterator[Any]:
    """Yield the words of a choice, and the types, that an annotation is made of."""
    parts = get_args(annotation)
    yield from (parts if get_origin(annotation) is Literal else ())
    if not parts:
        yield annotation
    elif get_origin(annotation) is not Literal:
        for part in parts:
            yield from _inside(part)


def blanks(
    model: type[BaseModel],
    keys: Iterable[str],
    known: Mapping[str, str],
    hints: Mapping[str, str],
    allowed: Mapping[str, tuple[str, ...]] | None = None,
) -> tuple[Blank, ...]:
    """Return the blanks of some fields of a record.

    Parameters
    ----------
    model : type of BaseModel
    keys : iterable of str
        In the order of the model.
    known : mapping of str to str
        Key → what stands there already.
    hints : mapping of str to str
        Key → what to write, where this sheet has more to say than `HINTS`.
    allowed : mapping of str to tuple of str
        Key → what may be ticked, where that is less than the model allows.
    """
    found = []
    for key in keys:
        text = known.get(key, "")
        words = () if text else (allowed or {}).get(key, choices(model, key))
        hint = "" if text else hints.get(key, HINTS.get(key, ""))
        size: Width = "wide" if key in _WIDE or len(words) > len(_YES_NO) else "short"
        if len(words) > _FULL:
            size = "full"
        found.append(Blank(key, hint, text, words, size))
    return tuple(found)


def instruments(
    records: BuildingRecords, kinds: Collection[str], day: dt.date
) -> tuple[InstrumentTick, ...]:
    """Return the instruments of a building of some kinds, as their records have them on a day."""
    return tuple(
        _tick(tag, instrument, day)
        for tag, instrument in records.instruments.items()
        if instrument.kind in kinds
    )


def _tick(tag: str, instrument: Instrument, day: dt.date) -> InstrumentTick:
    found = calibration_on(instrument, day)
    overdue = found.verdict == "out of calibration"
    if overdue:
        text = f"OVERDUE since {instrument.due}"
    elif found.verdict == "in calibration":
        text = f"due {instrument.due}"
    elif instrument.due is None and instrument.kind in READ_AGAINST_ITSELF:
        text = "no due date recorded: check it on a known circuit"
    else:
        text = f"calibration not shown: {'; '.join(found.reasons)}".replace("`", "")
    return InstrumentTick(tag, instrument.kind, instrument.category or "", text, overdue)


def trace_yaml(
    keys: Iterable[str], known: Mapping[str, str], readings: Iterable[str]
) -> tuple[str, ...]:
    """Return the lines of a trace with blanks, indented as in a file of records."""
    lines = ["traces:", f"  {GAP}:"]
    for key in keys:
        if key == "readings":
            lines += ["    readings:", *(f"      - {{{line}}}" for line in readings)]
        elif key in DISTANCES:
            below = ", ".join(f"{name}: {GAP}" for name in DISTANCES[key])
            lines.append(f"    {key}: {{{below}}}")
        elif key in ("found", "photos"):
            lines.append(f"    {key}: [{GAP}]")
        else:
            lines.append(f"    {key}: {known.get(key, GAP)}")
    return tuple(lines)
