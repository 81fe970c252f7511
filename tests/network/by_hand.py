"""The same questions answered without the program: from the records, by trying everything.

Written from the definitions only (design section 3), with points and plain walks; it shares no code
with the network that it is held against. Here: points, switches, and where voltage may come from
in any state. `by_hand_supply` says what arrives, conductor by conductor, and `by_hand_outcomes`
what that does to the loads.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from tests.network.random_records import Records

ONE_WAY = ("transfer switch", "UPS", "variable-frequency drive")
SYSTEMS = {
    "208Y/120": ("ABC", "208 V", True),
    "480Y/277": ("ABC", "480 V", True),
    "240/120 high-leg delta": ("ABC", "240 V", True),
    "480 delta": ("ABC", "480 V", False),
    "120/240": ("AB", "240 V", True),
    "240 single-phase": ("AB", "240 V", False),
    None: ("ABC", None, True),
}
"""System → ungrounded conductors, line voltage, whether there is a neutral (trade knowledge)."""

Opening = str | tuple[str, str]
"""A device, or one conductor of it."""


@dataclass
class Switch:
    """What may be opened: the pairs of points it joins, and whether it can be locked open."""

    pairs: list[tuple[str, str]]
    box: str
    lockable: bool | None
    kind: str
    opens_all: bool = True
    closed: bool = True
    automatic: bool = False
    poles: int | None = None
    positions: list[int] | None = None  # where numbers stand for poles

    @property
    def one_way(self) -> bool:
        """Whether it carries from its inputs to its output only."""
        return self.kind in ONE_WAY


def several(value: Any) -> list[str]:
    if value in (None, "unknown"):
        return []
    return value if isinstance(value, list) else [value]


def poles_of(said: dict[str, str]) -> int | None:
    return int(said["poles"]) if "poles" in said else None


def can_be_locked(said: dict[str, str], panel: str | None = None) -> bool | None:
    if said.get("kind") == "contactor":
        return False
    if said.get("electrically_operated") == "yes" and said.get("draw_out") != "yes":
        return False
    return {"yes": True, "no": False, None: None}[said.get("lockable", panel)]


IN_LINE = (
    *("main", "disconnect", "local disconnect", "bus tie"),
    *("motor starter", "variable-frequency drive"),
)
"""What stands in a line without changing its conductors."""


class Points:
    """Points, conductors, switches and sources of random records."""

    def __init__(self, records: Records) -> None:
        self.records = records
        self.wires: list[tuple[str, str]] = []
        self.leaks: list[tuple[str, str]] = []  # for hazard only
        self.switches: dict[str, Switch] = {}
        self.sources: dict[str, tuple[str, str]] = {}  # tag → (point, kind)
        self.inside: dict[str, list[str]] = defaultdict(list)  # enclosure → points
        self.groups: dict[str, list[list[str]]] = {}
        self.legs: dict[str, int] = {}  # load → how many of its groups are legs of one supply
        self.shared: list[tuple[str, str]] = []
        self.tied: list[tuple[str, str]] = []
        self.loads: dict[str, dict[str, Any]] = {}
        self.feeds: dict[str, list[str]] = {}
        self.unknown_loads: list[str] = []  # circuits whose loads are not recorded
        self.silent: list[str] = []  # circuits of which no load is named
        for tag, source in records["sources"].items():
            self.sources[tag] = (tag, source["kind"])
            self.inside[tag].append(tag)
        for tag, panel in records["panels"].items():
            self._panel(tag, panel)
        for tag, equipment in records["equipment"].items():
            self._equipment(tag, equipment)
        for tag, load in records["loads"].items():
            self._load(tag, load, several(load["fed_from"]))
        self._neutrals()
        self.zones = self._zones()
        self._too_few_poles()
        # A circuit that names no load, and feeds something else, has nothing unknown about it.
        zones = [self.zones[point] for points in self.inside.values() for point in points]
        self.unknown_loads += [own for own in self.silent if zones.count(self.zones[own]) == 1]

    def point(self, reference: str) -> str:
        tag, _, port = reference.partition("/")
        return f"{tag}/bus" if port == "feed-through" else reference

    def _fed(self, owner: str, point: str, record: dict[str, Any]) -> None:
        feeds = several(record.get("fed_from"))
        self.wires += [(point, self.point(feed)) for feed in feeds]
        if not feeds:
            self.sources[f"{owner}/unknown-source"] = (point, "unknown")

    def _panel(self, tag: str, panel: dict[str, Any]) -> None:
        line, bus = f"{tag}/line", f"{tag}/bus"
        self.inside[tag] += [line, bus]
        self._fed(tag, line, panel)
        main = panel.get("main", "lugs")
        if main == "lugs":
            self.wires.append((line, bus))
        else:
            lockable = can_be_locked(main, panel.get("lockable"))
            self.switches[f"{tag}/main"] = switch = Switch([(line, bus)], tag, lockable, "main")
            switch.poles = poles_of(main)
        for number, circuit in panel["circuits"].items():
            self._circuit(tag, number, circuit)
        self._box(tag, bus, panel)

    def _circuit(self, panel: str, number: str, circuit: dict[str, Any]) -> None:
        record, own = self.records["panels"][panel], f"{panel}/{number}"
        self.inside[panel].append(own)
        device = circuit.get("device", {})
        lockable = can_be_locked(device, record.get("lockable"))
        switch = Switch([(f"{panel}/bus", own)], panel, lockable, "circuit")
        self.switches[own] = switch
        switch.closed = circuit.get("normal") != "open"
        switch.poles = poles_of(device)
        by_position = record["kind"] in ("panelboard", "load centre")
        if record.get("numbering", "odd left" if by_position else "by device") == "odd left":
            switch.positions = [int(position) for position in number.split("-")]
            switch.poles = len(switch.positions)
        if "backfed_from" in circuit:
            self.wires.append((own, circuit["backfed_from"]))
        self.shared += [(own, other) for other in circuit.get("neutral_shared_with", ())]
        self.tied += [(own, f"{panel}/{other}") for other in circuit.get("handle_tied_with", ())]
        loads = circuit.get("loads")
        if loads == "unknown":
            self.unknown_loads.append(own)
        elif loads is None and "spare" not in circuit:
            self.silent.append(own)
        for load, load_record in loads.items() if isinstance(loads, dict) else ():
            self._load(load, load_record, [own])

    def _box(self, tag: str, point: str, record: dict[str, Any]) -> None:
        self.inside[tag] += [self.point(crossing) for crossing in record.get("crossed_by", ())]
        for feed in record.get("temporary_feeds", ()):
            self.wires.append((point, self.point(feed["fed_from"])))

    def _equipment(self, tag: str, record: dict[str, Any]) -> None:
        kind = record["kind"]
        if kind == "bus tie":
            ends = (f"{tag}/a", f"{tag}/b")
            self.wires += [(e, f"{p}/bus") for e, p in zip(ends, record["between"], strict=True)]
            switch = Switch([ends], tag, can_be_locked(record), kind)
            switch.closed = record.get("normal") == "closed"
            switch.automatic = record.get("operation") == "automatic"
            self.switches[tag] = switch
            self.inside[tag] += ends
            return
        self.inside[tag].append(tag)
        if kind == "junction box":
            self._fed(tag, tag, record)
            self._box(tag, tag, record)
            return
        lines = {"line": None} if kind != "transfer switch" else {}
        more = {
            "normal": "normal_from",
            "emergency": "emergency_from",
            "bypass": "bypass_from" if kind == "variable-frequency drive" else "static_bypass_from",
            "maintenance": "maintenance_bypass_from",
        }
        sides = {**lines, **{side: key for side, key in more.items() if key in record}}
        for side, key in sides.items():
            end = f"{tag}/{side}"
            self.inside[tag].append(end)
            if key is None:
                self._fed(tag, end, record)
            else:
                self.wires.append((end, self.point(record[key])))
        lockable = can_be_locked(record) if kind == "disconnect" else False
        switch = Switch([(f"{tag}/{side}", tag) for side in sides], tag, lockable, kind)
        switch.closed = record.get("normal") != "open"
        switch.automatic = record.get("operation") == "automatic"
        switch.poles = poles_of(record)
        self.switches[tag] = switch
        if kind == "UPS":
            self.sources[f"{tag}/battery"] = (tag, "UPS battery")

    def _load(self, tag: str, record: dict[str, Any], feeds: list[str]) -> None:
        self.loads[tag] = record
        self.feeds[tag] = feeds
        own = [tag, *(f"{tag}/feed-{n + 1}" for n in range(1, len(feeds)))]
        if not feeds:
            self.sources[f"{tag}/unknown-source"] = (tag, "unknown")
        for index, (end, feed) in enumerate(zip(own, feeds, strict=False)):
            if index == 0 and "local_disconnect" in record:
                box = f"{tag}/disconnect"
                line = f"{box}/line"
                self.wires.append((line, self.point(feed)))
                lockable = can_be_locked(record["local_disconnect"])
                self.switches[box] = Switch([(line, end)], box, lockable, "local disconnect")
                self.inside[box] += [line, end]
            else:
                self.wires.append((end, self.point(feed)))
        control = []
        for index, feed in enumerate(several(record.get("control_power_from"))):
            control.append(f"{tag}/control-{index + 1}")
            self.wires.append((control[-1], self.point(feed)))
        together = len(own) > 1 and record.get("needs") != "any"
        self.groups[tag] = [[p] for p in own] if together else [own]
        self.groups[tag] += [[p] for p in control]
        if together:
            self.leaks += [(own[0], other) for other in own[1:]]
            if record.get("needs") == "all" and len({f.split("/")[0] for f in feeds}) == 1:
                self.legs[tag] = len(own)
        self.inside[tag] += own + control

    def _neutrals(self) -> None:
        """A shared neutral goes on through disconnects, which open ungrounded conductors only."""
        through = [
            (f"{tag}/line", tag.removesuffix("/disconnect"))
            for tag in self.switches
            if tag.endswith("/disconnect")
            or self.records["equipment"].get(tag, {}).get("kind") == "disconnect"
        ]
        for first, second in self.shared:
            along = {first, second}
            while True:
                more = walk(along, self.wires)
                more |= {load for line, load in through if line in more}
                if more == along:
                    break
                along = more
            self.leaks += [(first, point) for point in along]

    def _zones(self) -> dict[str, str]:
        """Return point → its zone: the points joined by wires, named after the first of them."""
        points = {point for points in self.inside.values() for point in points}
        points |= {point for point, _ in self.sources.values()}
        points |= {point for wire in self.wires for point in wire}
        points |= {point for s in self.switches.values() for pair in s.pairs for point in pair}
        near = neighbours(self.wires)
        return {point: min(reached({point}, near)) for point in points}

    def _too_few_poles(self) -> None:
        """Mark the devices with fewer poles than what they stand in has conductors.

        Nothing is concluded from what is not recorded: a zone has as many as the systems and poles
        that are recorded of what is joined to it.
        """
        known: dict[str, list[int]] = defaultdict(list)
        for tag, panel in self.records["panels"].items():
            if "system" in panel:
                for end in ("line", "bus"):
                    known[self.zones[f"{tag}/{end}"]].append(len(SYSTEMS[panel["system"]][0]))
        for tag, record in self.records["sources"].items():
            if "system" in record:
                known[self.zones[tag]].append(len(SYSTEMS[record["system"]][0]))
        for tag, record in self.records["equipment"].items():
            if "secondary" in record:
                known[self.zones[tag]].append(len(SYSTEMS[record["secondary"]][0]))
        for tag, switch in self.switches.items():
            if switch.kind == "circuit" and switch.poles:
                known[self.zones[tag]].append(switch.poles)
        self._go_on_in_line(known)
        for switch in self.switches.values():
            # A circuit's device takes what it takes of the bus: what it feeds may have more.
            ends = [end for pair in switch.pairs for end in pair[switch.kind == "circuit" :]]
            count = max((n for end in ends for n in known[self.zones[end]]), default=0)
            switch.opens_all = switch.poles is None or switch.poles >= count

    def _go_on_in_line(self, known: dict[str, list[int]]) -> None:
        """Take zones of which nothing is recorded for what those in line with them have."""
        silent = {zone for zone in self.zones.values() if not known[zone]}
        pairs = [
            (self.zones[one], self.zones[other])
            for switch in self.switches.values()
            if switch.kind in IN_LINE
            for pair in switch.pairs
            for one, other in (pair, pair[::-1])
        ]
        changed = True
        while changed:
            changed = False
            for one, other in pairs:
                more = max(known[one], default=0)
                if other in silent and more > max(known[other], default=0):
                    known[other].append(more)
                    changed = True

    # Hazard: every source, every switch closed but those that are opened.

    def conductors(self, opened: Iterable[str]) -> list[tuple[str, str]]:
        pairs = [p for tag, s in self.switches.items() if tag not in opened for p in s.pairs]
        return self.wires + self.leaks + pairs

    def live(self, opened: Iterable[str], kinds: Iterable[str] | None = None) -> set[str]:
        """Return every point that a source (of some kinds) reaches with switches open."""
        starts = {p for p, kind in self.sources.values() if kinds is None or kind in kinds}
        return walk(starts, self.conductors(set(opened)))

    def locks(self, *, outside: str | None, unrecorded: bool = False) -> set[str]:
        """Return the switches that can be locked, outside an enclosure."""
        return {
            tag
            for tag, switch in self.switches.items()
            if switch.opens_all
            and switch.box != outside
            and (switch.lockable or (unrecorded and switch.lockable is None))
        }

    def targets(self) -> dict[str, tuple[list[str], str | None]]:
        """Return target → its points, and the enclosure whose own switches do not count."""
        found: dict[str, tuple[list[str], str | None]] = {
            box: (points, box) for box, points in self.inside.items()
        }
        for tag, panel in self.records["panels"].items():
            for number in panel["circuits"]:
                found[f"{tag}/{number}"] = ([f"{tag}/{number}"], None)
        return found


def neighbours(pairs: Iterable[tuple[str, str]]) -> dict[str, list[str]]:
    near: dict[str, list[str]] = defaultdict(list)
    for first, second in pairs:
        near[first].append(second)
        near[second].append(first)
    return near


def reached(starts: Iterable[str], near: dict[str, list[str]]) -> set[str]:
    seen = set(starts)
    stack = list(seen)
    while stack:
        for point in near.get(stack.pop(), ()):
            if point not in seen:
                seen.add(point)
                stack.append(point)
    return seen


def walk(starts: Iterable[str], pairs: Iterable[tuple[str, str]]) -> set[str]:
    """Return all points reached from some, along pairs of points."""
    return reached(starts, neighbours(pairs))
