"""How much more a panel could take, as its page shows it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from recordgen.calc.study.fit import Place
from recordgen.calc.study.room import Room
from recordgen.calc.study.study import Study
from recordgen.pages.calculated import amount_text

_SHOWN: Final = 3
_STATES: Final = {
    "spare": "spare",
    "space": "space",
    "not recorded": "nothing recorded there",
}


@dataclass(frozen=True)
class RoomLine:
    """The room that is left for a load on some poles.

    Attributes
    ----------
    poles : str
    places : tuple of str
        Where it could stand, the best first.
    more : int
        How many more places there are.
    largest : str
        The largest load; empty where it is not known.
    full : bool
        Whether there is no room.
    by : str
        Full tag of what limits it, or of what has no rating recorded.
    limit : str
        Its rating; empty where none is recorded.
    """

    poles: str
    places: tuple[str, ...]
    more: int
    largest: str
    full: bool
    by: str
    limit: str


def room_lines(study: Study, tag: str) -> tuple[RoomLine, ...]:
    """Return the room that is left on a panel, for one, two and three poles."""
    return tuple(_line(room) for room in study.room.of(tag))


def _line(room: Room) -> RoomLine:
    largest = ""
    if room.largest_va is not None and room.largest_a is not None:
        most = "at most " if room.needs else ""
        amperes = amount_text(room.largest_a, "A")
        largest = f"{most}{amount_text(room.largest_va, 'VA')}, {amperes}"
    limit = f"{room.limit.what} {room.limit.written}" if room.limit else ""
    if limit and not room.normal:
        limit += ", in another position of the switches"
    return RoomLine(
        poles="1 pole" if room.poles == 1 else f"{room.poles} poles",
        places=tuple(map(place_text, room.places[:_SHOWN])),
        more=max(0, len(room.places) - _SHOWN),
        largest=largest,
        full=room.largest_va == 0,
        by=room.limited_by,
        limit=limit,
    )


def place_text(place: Place) -> str:
    """Return a place in words: `20 (spare, 20 A), phase A`."""
    what = _STATES[place.state]
    if place.device:
        what += f", {place.device}"
    phases = f", phase{'s' if len(place.legs) > 1 else ''} {place.legs}" if place.legs else ""
    return f"{place.positions} ({what}){phases}"
