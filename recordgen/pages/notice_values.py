"""What an outage notice holds, and the plain words it is written in.

A notice is read by people who are no electricians: it says what happens to things, not to circuits.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from recordgen.network.outcomes import Outcome
from recordgen.pages.answer_values import DeviceLine, LoadLine, Notice
from recordgen.pages.proven_values import ProvenLink
from recordgen.pages.wording import NEUTRAL_LIVE
from recordgen.problems import Problem

LIFE_SAFETY: Final = "Life safety"
FIRE_ALARM: Final = "Fire alarm"
EMERGENCY_LIGHTING: Final = "Emergency and exit lighting"
MEDICAL: Final = "Medical and imaging"
CRITICAL: Final = "Critical"
GROUPS: Final = (LIFE_SAFETY, FIRE_ALARM, EMERGENCY_LIGHTING, MEDICAL, CRITICAL)
"""What stands on top of a notice, in this order; somebody has to agree before it is touched."""

FEW: Final = 3
"""How many tags are read at a glance; more are listed by room."""

_GROUP_OF_KIND: Final = {
    "fire alarm": FIRE_ALARM,
    "emergency lighting": EMERGENCY_LIGHTING,
    "exit sign": EMERGENCY_LIGHTING,
    "medical": MEDICAL,
    "imaging": MEDICAL,
}
_KIND_WORDS: Final = {
    "receptacle": "outlets",
    "HVAC": "heating, cooling or ventilation",
    "IT": "computers or network",
    "EV": "vehicle charger",
}
_MEANINGS: Final[dict[Outcome, tuple[str, str]]] = {
    "dark": (
        "Goes off",
        "no power until the end of the outage; save your work and shut down before",
    ),
    "rides through, then dark": (
        "Runs on battery, then goes off",
        "shut it down before its battery is empty",
    ),
    "may see abnormal voltage": (
        "May get the wrong voltage",
        "that can damage it; switch it off or unplug it before, until you are told",
    ),
    "brief interruption, then standby": (
        "Short interruption",
        "then it runs on standby power; save your work, and see that it runs again",
    ),
    "loses standby or redundancy": (
        "Keeps running, without its second source",
        "should the other one fail meanwhile, it goes off",
    ),
    "unaffected": ("Keeps running", "nothing changes"),
}
NOT_SAFE: Final = (
    "Off does not mean safe: power may come back at any time. Do not open covers, do not touch "
    "wires, and do not switch breakers or remove locks."
)
NOT_LISTED: Final = "If anything goes off that is not listed here, tell the contact named above."


@dataclass(frozen=True)
class NoticeLoad:
    """A load in plain words: what it is and what happens to it.

    `group` is one of `GROUPS`, or empty for what is listed by room alone.
    """

    line: LoadLine
    what: str
    happens: str
    group: str


@dataclass(frozen=True)
class Happening:
    """What happens alike to several loads."""

    words: str
    outcome: Outcome
    loads: tuple[NoticeLoad, ...]


@dataclass(frozen=True)
class Meaning:
    """An outcome that occurs, what it means for people, and to how many loads it happens."""

    words: str
    advice: str
    count: int


@dataclass(frozen=True)
class NoticeGroup:
    """Loads that stand on top, under one of `GROUPS`."""

    title: str
    happenings: tuple[Happening, ...]


@dataclass(frozen=True)
class NoticeRoom:
    """A room with what stops in it; `id` is empty for loads whose room is not recorded.

    `on_top` are those of its loads that stand on top of the notice, with what happens to them;
    `happenings` hold all others.
    """

    id: str
    name: str
    on_top: tuple[NoticeLoad, ...]
    happenings: tuple[Happening, ...]

    def loads(self) -> Iterator[NoticeLoad]:
        """Yield every affected load of the room."""
        yield from self.on_top
        for happening in self.happenings:
            yield from happening.loads


@dataclass(frozen=True)
class NoticeFloor:
    """A floor of a building with its rooms; `floor` is empty where it is not recorded."""

    building: str
    building_name: str
    floor: str
    rooms: tuple[NoticeRoom, ...]


@dataclass(frozen=True)
class SwitchedOff:
    """A device that is opened, and where it is, in words.

    `tied` says that it opens only because its handle is tied to that of another.
    """

    device: DeviceLine
    where: str
    tied: bool


@dataclass(frozen=True)
class Dependent:
    """A load or source that needs something that goes off (full tags), though its feeds stay."""

    tag: str
    what: str
    room: str
    group: str
    consequence: str
    needs: tuple[str, ...]


@dataclass(frozen=True)
class UnknownSource:
    """A load that may go off too, since what feeds it is not recorded."""

    tag: str
    what: str
    room: str
    group: str


@dataclass(frozen=True)
class OutageNotice:
    """An outage as people are told of it; when it begins and ends is filled in by hand.

    Attributes
    ----------
    heading : str
        "Power off", or what is true of an outage that darkens nothing.
    opened : tuple of DeviceLine
        As asked.
    switched_off : tuple of SwitchedOff
        What was asked for, then what opens with it.
    positions : str
        Which switch positions were assumed.
    meanings : tuple of Meaning
        Gravest first.
    on_top : tuple of NoticeGroup
        In the order of `GROUPS`.
    floors : tuple of NoticeFloor
        Every affected load by its room; the building of the opened devices first.
    dependents : tuple of Dependent
        What may stop working for want of something that goes off.
    agree, tell : tuple of Notice
        Who must agree first, and who else is told.
    nobody_named : tuple of str
        Full tags of loads on top that no role is named for.
    nobody_by_room : tuple of (str, tuple of str)
        The same by room, where they are more than `FEW`; the room is empty where not recorded.
    record_owners : tuple of (str, str)
        Names of their buildings, and who keeps the records there; empty if not recorded.
    unknown_loads : tuple of (str, str)
        Circuits whose loads are not recorded: full tag and description, empty if not recorded.
    unknown_source : tuple of UnknownSource
    standing : tuple of DeviceLine
        Devices that stand otherwise today, where that changes what is affected; the notice then
        starts from the present positions.
    set_back : tuple of NoticeLoad
        Loads affected as well once those are set back.
    partner_unknown : tuple of str
        Full tags of opened devices whose handle opens another with it that is not recorded.
    graded : tuple of (str, int)
        Evidence grade and how many of the loads are known that well.
    weakest : ProvenLink or None
        Of the feeds between what is opened and the loads, the one that is known least well.
    ungraded : int
        How many things hang on what is opened by no recorded feed, so that their way has no grade.
    stops : tuple of Problem
    """

    heading: str
    opened: tuple[DeviceLine, ...]
    switched_off: tuple[SwitchedOff, ...]
    positions: str
    meanings: tuple[Meaning, ...]
    on_top: tuple[NoticeGroup, ...]
    floors: tuple[NoticeFloor, ...]
    dependents: tuple[Dependent, ...]
    agree: tuple[Notice, ...]
    tell: tuple[Notice, ...]
    nobody_named: tuple[str, ...]
    nobody_by_room: tuple[tuple[str, tuple[str, ...]], ...]
    record_owners: tuple[tuple[str, str], ...]
    unknown_loads: tuple[tuple[str, str], ...]
    unknown_source: tuple[UnknownSource, ...]
    standing: tuple[DeviceLine, ...]
    set_back: tuple[NoticeLoad, ...]
    partner_unknown: tuple[str, ...]
    graded: tuple[tuple[str, int], ...]
    weakest: ProvenLink | None
    ungraded: int
    stops: tuple[Problem, ...]

    def loads(self) -> Iterator[NoticeLoad]:
        """Yield every affected load: those on top first, then the others by room."""
        for group in self.on_top:
            for happening in group.happenings:
                yield from happening.loads
        for floor in self.floors:
            for room in floor.rooms:
                for happening in room.happenings:
                    yield from happening.loads


def group_of(kind: str, criticality: str) -> str:
    """Return the group that a load stands on top in, or empty text.

    What has a kind of its own to be found by stands under that kind, but for life-safety medical
    loads such as gas alarms, which are no treatment.
    """
    group = _GROUP_OF_KIND.get(kind, "")
    if criticality == "life safety" and group in ("", MEDICAL):
        return LIFE_SAFETY
    return group or (CRITICAL if criticality == "critical" else "")


def what_it_is(kind: str, description: str) -> str:
    """Return what a load is in plain words."""
    words = _KIND_WORDS.get(kind, kind)
    return f"{words}: {description}" if description else words


def what_happens(outcome: Outcome, detail: str, *, again: bool) -> str:
    """Return an outcome in plain words.

    `detail` says how long which battery carries the load, or that its neutral is live.
    """
    live = detail == NEUTRAL_LIVE
    words = {
        "dark": "goes off",
        "rides through, then dark": f"runs on battery ({detail or 'time not recorded'}), "
        "then goes off",
        "may see abnormal voltage": "may get the wrong voltage: switch off or unplug first",
        "brief interruption, then standby": "short interruption, then standby power",
        "loses standby or redundancy": "keeps running, but without its second source",
        "unaffected": "keeps running",
    }[outcome]
    if live:
        words = f"{words}; do not touch: {detail}"
    elif outcome == "loses standby or redundancy" and detail:
        words = f"keeps running: on battery ({detail}) until standby power takes over"
    return f"{words}; may come on again at any time" if again and "dark" in outcome else words


def meaning(outcome: Outcome, count: int) -> Meaning:
    """Return what an outcome means for people, and what they should do."""
    return Meaning(*_MEANINGS[outcome], count)


def heading_of(outcomes: Iterable[Outcome], *, unknown: bool) -> str:
    """Return what a notice is headed with; `unknown` says that nobody knows all that goes off."""
    found = set(outcomes)
    if (
        unknown
        or not found
        or not found
        <= {
            "brief interruption, then standby",
            "loses standby or redundancy",
            "unaffected",
        }
    ):
        return "Power off"
    if "brief interruption, then standby" in found:
        return "Interruption, then on standby"
    return "Second source off"
