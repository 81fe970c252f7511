"""What the finder of a building looks through: everything that has a tag, in columns.

The browser makes an index of it (`recordgen/site/assets/finder.js`). Words that people say for what
the records call otherwise go along with each kind; they are common practice.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from recordgen.evidence.grades import GRADES
from recordgen.network.model import local
from recordgen.pages import paths
from recordgen.pages.data_script import data_script
from recordgen.pages.page import DataFile
from recordgen.pages.view import View
from recordgen.records.supply import Circuit

ALSO_CALLED: Final[Mapping[str, str]] = {
    "receptacle": "outlet plug socket rec recp rcpt duplex",
    "lighting": "light lights lamp fixture luminaire ltg lts",
    "emergency lighting": "light lights egress battery pack",
    "exit sign": "egress",
    "motor": "mtr",
    "HVAC": "air handler ahu rtu fcu cooling ac unit",
    "heating": "heater htr baseboard",
    "water heater": "wh htr boiler hot",
    "kitchen": "range oven fridge refrigerator freezer dishwasher cooking",
    "laundry": "washer dryer",
    "IT": "computer server rack pc network data",
    "fire alarm": "facp fa smoke horn",
    "security": "camera cctv access alarm",
    "communication": "phone telephone network data",
    "EV": "car charger evse vehicle charging",
    "door operator": "door gate",
    "elevator": "lift",
    "fan": "exhaust ef",
    "panel": "pnl board panelboard breaker box",
    "transformer": "xfmr xfr tx",
    "transfer switch": "ats generator",
    "variable-frequency drive": "vfd drive",
    "motor starter": "starter mcc",
    "disconnect": "switch safety",
    "circuit": "breaker cb ckt",
}
"""Kind → other words for it; common practice."""

_FIELDS: Final = ("kind", "tag", "text", "room", "circuits", "grade", "sheet", "stop")


@dataclass(frozen=True)
class Entry:
    """Something to be found.

    Attributes
    ----------
    kind : str
        "circuit", "panel", "room", the kind of a load, of equipment or of a source.
    tag : str
        Local tag; a room's id.
    text : str
        Words of its record.
    room : str
        Room id; empty where not recorded.
    circuits : tuple of str
        What feeds a load; local tags, full ones of another building.
    grade : str
        How its circuit is known; empty for what is no load.
    sheet : bool
        Whether it has a lockout sheet of its own.
    stop : bool
        Whether a STOP notice touches it.
    """

    kind: str
    tag: str
    text: str = ""
    room: str = ""
    circuits: tuple[str, ...] = ()
    grade: str = ""
    sheet: bool = False
    stop: bool = False


def finder_file(view: View, building: str) -> DataFile:
    """Return the file that the finder of a building reads."""
    return DataFile(
        paths.finder_data(building), data_script("finderData", _columns(view, building))
    )


def entries(view: View, building: str) -> Iterator[Entry]:
    """Yield everything of a building that can be found, in the order of the records."""
    records = view.loaded(building).records
    for tag, panel in records.panels.items():
        full = f"{building}:{tag}"
        words = _words(panel.name, *panel.former_names, panel.kind, panel.system)
        stop = _stopped(view, full)
        yield Entry("panel", tag, words, panel.room or "", sheet=True, stop=stop)
        for position, circuit in panel.circuits.items():
            if not circuit.space:
                at = f"{full}/{position}"
                text = _words(_description(circuit), *circuit.former_names)
                room = panel.room or ""
                stop = _stopped(view, at)
                yield Entry("circuit", local(at), text, room, sheet=True, stop=stop)
    for section in (records.sources, records.equipment):
        for tag, thing in section.items():
            full = f"{building}:{tag}"
            words = _words(thing.name, *thing.former_names)
            sheet = view.sheet_path(full) is not None
            stop = _stopped(view, full)
            yield Entry(thing.kind, tag, words, thing.room or "", sheet=sheet, stop=stop)
    yield from _loads(view, building)
    for room, record in records.rooms.items():
        yield Entry("room", room, _words(record.name, record.floor))


def _loads(view: View, building: str) -> Iterator[Entry]:
    for tag, recorded in view.loaded(building).loads.items():
        full, load = f"{building}:{tag}", recorded.load
        circuits = view.network.loads[full].circuits
        yield Entry(
            load.kind,
            tag,
            _words(load.description, *load.former_names),
            load.room or "",
            tuple(view.name(circuit, building) for circuit in circuits),
            view.portfolio.grades.of_load(full).name,
            view.has_sheet_of_its_own(load),
            _stopped(view, full),
        )


def _description(circuit: Circuit) -> str:
    return circuit.description or ("spare" if circuit.spare else "")


def _words(*values: object) -> str:
    return " ".join(str(value) for value in values if value is not None and value != "")


def _stopped(view: View, tag: str) -> bool:
    return bool(view.answers.stops([tag]))


def _columns(view: View, building: str) -> dict[str, Any]:
    """Return the entries as columns; kinds, rooms and grades as places in a list of them."""
    found = list(entries(view, building))
    kinds = list(dict.fromkeys(entry.kind for entry in found))
    records = view.loaded(building).records
    rooms = list(dict.fromkeys(entry.room for entry in found))
    room_numbers = {room: number for number, room in enumerate(rooms)}
    named = {room: record.name or "" for room, record in records.rooms.items()}
    grades = ["", *GRADES]
    columns: dict[str, list[Any]] = {name: [] for name in _FIELDS}
    for entry in found:
        columns["kind"].append(kinds.index(entry.kind))
        columns["tag"].append(entry.tag)
        columns["text"].append(entry.text)
        columns["room"].append(room_numbers[entry.room])
        columns["circuits"].append(list(entry.circuits))
        columns["grade"].append(grades.index(entry.grade))
        columns["sheet"].append(int(entry.sheet))
        columns["stop"].append(int(entry.stop))
    return {
        "building": building,
        "kinds": kinds,
        "also": [ALSO_CALLED.get(kind, "") for kind in kinds],
        "rooms": rooms,
        "room_names": [named.get(room, "") for room in rooms],
        "room_pages": [int(room in named) for room in rooms],
        "grades": grades,
        "links": paths.finder_links(),
        **columns,
    }
