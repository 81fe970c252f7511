"""The same questions answered without the program: from the records, by trying everything.

Written from the definitions only (design section 3), with points and plain walks; it shares no code
with the network that it is held against.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from tests.network.random_records import Records

ONE_WAY = ("transfer switch", "UPS", "variable-frequency drive")
GRAVEST_FIRST = (
    "dark",
    "rides through, then dark",
    "may see abnormal voltage",
    "brief interruption, then standby",
    "loses standby or redundancy",
)


@dataclass
class Switch:
    """What may be opened: the pairs of points it joins, and whether it can be locked open."""

    pairs: list[tuple[str, str]]
    box: str
    lockable: bool | None
    opens_all: bool = True
    one_way: bool = False
    closed: bool = True
    by_itself: list[tuple[str, str]] = field(default_factory=list)


def several(value: Any) -> list[str]:
    if value in (None, "unknown"):
        return []
    return value if isinstance(value, list) else [value]


def can_be_locked(said: dict[str, str], panel: str | None = None) -> bool | None:
    if said.get("kind") == "contactor":
        return False
    if said.get("electrically_operated") == "yes" and said.get("draw_out") != "yes":
        return False
    return {"yes": True, "no": False, None: None}[said.get("lockable", panel)]


class House:
    """Points, conductors, switches and sources of random records."""

    def __init__(self, records: Records) -> None:
        self.records = records
        self.wires: list[tuple[str, str]] = []
        self.leaks: list[tuple[str, str]] = []  # for hazard only
        self.switches: dict[str, Switch] = {}
        self.sources: dict[str, tuple[str, str]] = {}  # tag → (point, kind)
        self.inside: dict[str, list[str]] = defaultdict(list)  # enclosure → points
        self.groups: dict[str, list[list[str]]] = {}
        self.legs: dict[str, int] = {}
        self.shared: list[tuple[str, str]] = []
        self.redundant: dict[str, list[str]] = {}  # switch → inputs of which one is enough
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
            whole = main.get("poles") in (None, "3")  # 208Y/120 has three ungrounded conductors
            lockable = can_be_locked(main, panel.get("lockable"))
            self.switches[f"{tag}/main"] = Switch([(line, bus)], tag, lockable, whole)
        for number, circuit in panel["circuits"].items():
            own = f"{tag}/{number}"
            self.inside[tag].append(own)
            device = circuit.get("device", {})
            lockable = can_be_locked(device, panel.get("lockable"))
            self.switches[own] = Switch([(bus, own)], tag, lockable)
            self.switches[own].closed = circuit.get("normal") != "open"
            if "backfed_from" in circuit:
                self.wires.append((own, circuit["backfed_from"]))
            self.shared += [(own, other) for other in circuit.get("neutral_shared_with", ())]
            for load, record in circuit.get("loads", {}).items():
                self._load(load, record, [own])
        self._box(tag, bus, panel)

    def _box(self, tag: str, point: str, record: dict[str, Any]) -> None:
        self.inside[tag] += [self.point(crossing) for crossing in record.get("crossed_by", ())]
        for feed in record.get("temporary_feeds", ()):
            self.wires.append((point, self.point(feed["fed_from"])))

    def _equipment(self, tag: str, record: dict[str, Any]) -> None:
        kind = record["kind"]
        if kind == "bus tie":
            ends = (f"{tag}/a", f"{tag}/b")
            self.wires += [(e, f"{p}/bus") for e, p in zip(ends, record["between"], strict=True)]
            switch = Switch([ends], tag, can_be_locked(record))
            switch.closed = record.get("normal") == "closed"
            if record.get("operation") == "automatic":
                switch.by_itself = [ends]
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
        switch = Switch([(f"{tag}/{side}", tag) for side in sides], tag, lockable)
        switch.one_way = kind in ONE_WAY
        switch.closed = record.get("normal") != "open"
        self.switches[tag] = switch
        if kind == "UPS":
            self.sources[f"{tag}/battery"] = (tag, "UPS battery")
        automatic = kind == "transfer switch" and record.get("operation") == "automatic"
        if automatic or (kind == "UPS" and "bypass" in sides):
            inputs = [f"{tag}/{side}" for side in sides if side != "maintenance"]
            switch.by_itself = [(end, tag) for end in inputs]
            self.redundant[tag] = inputs

    def _load(self, tag: str, record: dict[str, Any], feeds: list[str]) -> None:
        own = [tag, *(f"{tag}/feed-{n + 1}" for n in range(1, len(feeds)))]
        if not feeds:
            self.sources[f"{tag}/unknown-source"] = (tag, "unknown")
        for index, (end, feed) in enumerate(zip(own, feeds, strict=False)):
            if index == 0 and "local_disconnect" in record:
                box = f"{tag}/disconnect"
                line = f"{box}/line"
                self.wires.append((line, self.point(feed)))
                lockable = can_be_locked(record["local_disconnect"])
                self.switches[box] = Switch([(line, end)], box, lockable)
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

    # Supply: what carries the loads.

    def fed(self, opened: Iterable[str], *, standby: bool, batteries: bool) -> set[str]:
        """Return every point that carries voltage in normal use."""
        opened = set(opened)
        arcs = self.wires + [(b, a) for a, b in self.wires]
        starts = set()
        for tag, (point, kind) in self.sources.items():
            record = self.records["sources"].get(tag, {})
            starts_itself = standby and record.get("start") == "automatic"
            goes_on = kind == "generator" or record.get("stops_without_utility") == "no"
            if kind == "utility" or (starts_itself and goes_on and kind in STANDBY):
                starts.add(point)
            if kind == "UPS battery" and batteries and point not in opened:
                starts.add(point)
        for tag, switch in self.switches.items():
            if tag in opened:
                continue
            pairs = [p for p in switch.pairs if p[0].endswith(("/line", "/normal"))]
            pairs = (pairs if switch.one_way else switch.pairs) if switch.closed else []
            pairs = pairs + (switch.by_itself if standby else [])
            arcs += pairs
            arcs += [] if switch.one_way else [(b, a) for a, b in pairs]
        return walk(starts, arcs, both_ways=False)

    def outcomes(self, opened: Iterable[str]) -> dict[str, str]:
        """Return load → outcome, by the decision table of the design."""
        opened = set(opened)
        states = {
            "normal": {"standby": False, "batteries": False},
            "battery": {"standby": False, "batteries": True},
            "automatic": {"standby": True, "batteries": False},
            "bridged": {"standby": True, "batteries": True},
        }
        before = {name: self.fed((), **state) for name, state in states.items()}
        after = {name: self.fed(opened, **state) for name, state in states.items()}
        weakened = self._weakened(before["automatic"], after["automatic"])
        found = {}
        for load, groups in self.groups.items():
            each = [self._outcome(group, before, after, weakened) for group in groups]
            legs = self.legs.get(load, 0)
            dark = [outcome == "dark" for outcome in each]
            if 0 < sum(dark[:legs]) < legs:
                each = ["dark" if any(dark[legs:]) else "may see abnormal voltage"]
            hit = [outcome for outcome in each if outcome is not None]
            if hit:
                found[load] = min(hit, key=GRAVEST_FIRST.index)
        return found

    def _outcome(
        self,
        group: list[str],
        before: dict[str, set[str]],
        after: dict[str, set[str]],
        weakened: set[str],
    ) -> str | None:
        had = any(p in before["normal"] for p in group)
        has = {name: any(p in points for p in group) for name, points in after.items()}
        if had and not has["normal"]:
            if has["automatic"]:
                return GRAVEST_FIRST[4 if has["battery"] else 3]
            return GRAVEST_FIRST[1 if has["bridged"] else 0]
        lost = [p for p in group if p in before["automatic"] - after["automatic"]]
        zones = {frozenset(walk({p}, self.wires)) for p in group}
        # A group leans on a switch where no point of it is reached without the switch.
        leans = any(
            before["automatic"].intersection(group)
            and not self.fed({tag}, standby=True, batteries=False).intersection(group)
            for tag in weakened
        )
        return GRAVEST_FIRST[4] if leans or (lost and len(zones) > 1) else None

    def _weakened(self, before: set[str], after: set[str]) -> set[str]:
        """Return the switches with several inputs that have lost one."""
        return {
            tag
            for tag, inputs in self.redundant.items()
            if len({frozenset(walk({p}, self.wires)) for p in inputs}) > 1
            and any(p in before - after for p in inputs)
        }


STANDBY = ("generator", "battery storage")


def walk(
    starts: Iterable[str], pairs: Iterable[tuple[str, str]], *, both_ways: bool = True
) -> set[str]:
    """Return all points reached from some, along pairs of points."""
    near: dict[str, list[str]] = defaultdict(list)
    for first, second in pairs:
        near[first].append(second)
        if both_ways:
            near[second].append(first)
    seen = set(starts)
    stack = list(seen)
    while stack:
        for point in near[stack.pop()]:
            if point not in seen:
                seen.add(point)
                stack.append(point)
    return seen
