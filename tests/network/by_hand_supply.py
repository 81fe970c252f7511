"""Which conductors arrive where, in a state of the house, from the records alone.

A zone (points joined by wires) and an ungrounded conductor are the unit; the neutral is followed
apart, since it passes where the others do not.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from tests.network.by_hand import SYSTEMS, Opening, Points, neighbours, reached
from tests.network.random_records import Records

STATES = ("normal", "battery", "automatic", "bridged", "possible")
Near = dict[str, list[str]]
Carried = dict[str, set[str]]
"""Zone → ungrounded conductors."""


@dataclass(frozen=True)
class Way:
    """A way through a switch from one zone to another, and how it passes."""

    tag: str
    terminal: str
    first: str
    second: str
    how: str = "conductors"
    """"conductors": each by itself; "if complete": all, where the first zone has all it should;
    "converts": all of the other side, where the first has all it should."""
    back: bool = False
    """From the output of a transformer to its input, from a circuit to its bus."""


@dataclass(frozen=True)
class Opened:
    """What is opened: whole devices, and conductors of devices."""

    devices: frozenset[str] = frozenset()
    poles: frozenset[tuple[str, str]] = frozenset()

    def lost(self, tag: str) -> set[str]:
        """Return the conductors opened at a device that is not opened as a whole."""
        return {conductor for device, conductor in self.poles if device == tag}


NOTHING = Opened()


class Supply(Points):
    """What arrives where, for sure and maybe, with something opened in some state."""

    def __init__(self, records: Records) -> None:
        super().__init__(records)
        self.ways = {state: list(self._ways(state)) for state in STATES}
        self.takes: dict[str, set[str]] = {}  # circuit → conductors, where its legs are known
        self.carried = self._carried()
        self.unknown_legs = self._unknown_legs()
        self.bridges = self._bridges()
        self.had = {state: self.arriving(state) for state in STATES}

    def opened(self, opened: Iterable[Opening]) -> Opened:
        """Return what opening some things opens, with what their handles are tied to."""
        opened = list(opened)
        devices = reached((o for o in opened if isinstance(o, str)), neighbours(self.tied))
        return Opened(frozenset(devices), frozenset(o for o in opened if not isinstance(o, str)))

    # What is closed, and what supplies, in a state.

    def _ways(self, state: str) -> Iterable[Way]:
        by_itself = state not in ("normal", "battery")
        for tag, switch in self.switches.items():
            first = {pair[0].rpartition("/")[2]: pair for pair in switch.pairs}
            if switch.one_way:
                either = switch.kind == "transfer switch" and (
                    state == "possible" or (by_itself and switch.automatic)
                )
                terminals = ["normal"] + ["emergency"] * either
                if switch.kind != "transfer switch":
                    ups = switch.kind == "UPS"
                    terminals = ["line"] + ["bypass"] * (ups and by_itself)
                    terminals += ["maintenance"] * (ups and state == "possible")
                    terminals += ["bypass"] * (not ups and state == "possible")
                for terminal in terminals:
                    if terminal in first:
                        way = [self.zones[point] for point in first[terminal]]
                        passes = {"normal": "conductors", "emergency": "if complete"}
                        yield Way(tag, terminal, way[0], way[1], passes.get(terminal, "converts"))
                continue
            # Somebody may close a tie; a circuit that stands open is no standby.
            by_hand = state == "possible" and switch.kind == "bus tie"
            if not (switch.closed or by_hand or (by_itself and switch.automatic)):
                continue
            for pair in switch.pairs:
                one, other = (self.zones[point] for point in pair)
                how = "converts" if switch.kind == "transformer" else "conductors"
                back = switch.kind in ("transformer", "circuit")
                yield Way(tag, "", one, other, how)
                # Nobody feeds a transformer backwards to carry loads.
                if not (state == "possible" and switch.kind == "transformer"):
                    yield Way(tag, "", other, one, how, back)

    def starts(self, state: str, gone: Collection[str] = ()) -> dict[str, str]:
        """Return source → zone, for what supplies in a state."""
        found = {}
        for tag, (point, kind) in self.sources.items():
            record = self.records["sources"].get(tag, {})
            itself = record.get("start") == "automatic"
            standby = kind == "generator" or (
                kind == "battery storage" and record.get("stops_without_utility") == "no"
            )
            if tag not in gone and (
                kind == "utility"
                or (standby and state in ("automatic", "bridged") and itself)
                or (standby and state == "possible")
                or (kind == "UPS battery" and state in ("battery", "bridged"))
            ):
                found[tag] = self.zones[point]
        return found

    def _begin(self, state: str, opened: Opened, gone: Collection[str]) -> Carried:
        has: Carried = defaultdict(set)
        for tag, zone in self.starts(state, gone).items():
            if tag.removesuffix("/battery") not in opened.devices:
                system = self.records["sources"].get(tag, {}).get("system")
                has[zone] |= set(SYSTEMS[system][0])
        return has

    # Which conductors there are at all.

    def _carried(self) -> Carried:
        """Return the conductors of every zone, as its supply brings them.

        Which of them a circuit takes depends on what its bus carries, and that on what feeds the
        bus: begin with circuits that take everything, and go round until nothing changes. What
        comes back into a bus through one of its own circuits says nothing about its legs, and what
        comes back through a transformer says nothing about what is wired to its input.
        """
        for _ in range(30):
            self.carried = {}
            self.carried = carried = self.arriving("possible", backwards=False, batteries=True)
            takes = {}
            for tag, switch in self.switches.items():
                # One pole that feeds three conductors contradicts itself: nothing is known.
                if switch.positions is None or not switch.opens_all:
                    continue
                panel = tag.split("/")[0]
                system = self.records["panels"][panel].get("system")
                letters = SYSTEMS[system][0]
                if system and carried.get(self.zones[f"{panel}/bus"], set()) == set(letters):
                    rows = [(position - 1) // 2 for position in switch.positions]
                    takes[tag] = {letters[row % len(letters)] for row in rows}
            if takes == self.takes:
                return self.arriving("possible", batteries=True)
            self.takes = takes
        raise AssertionError("what the circuits take depends on itself")

    def _unknown_legs(self) -> set[str]:
        """Return the zones behind circuits of which it is not known what they take."""
        found = {
            self.zones[tag]
            for tag, switch in self.switches.items()
            if switch.positions is not None and tag not in self.takes
        }
        while True:
            more = {
                way.second
                for way in self.ways["possible"]
                if way.first in found
                and way.how in ("conductors", "if complete")
                and self.switches[way.tag].positions is None
            }
            if more <= found:
                return found
            found |= more

    def _bridges(self) -> list[set[str]]:
        """Return the zones whose conductors are joined by loads: one zone, or several by legs."""
        points = [point for groups in self.groups.values() for group in groups for point in group]
        found = [{self.zones[point]} for point in (*points, *self.unknown_loads)]
        for load, legs in self.legs.items():
            found.append({self.zones[p] for group in self.groups[load][:legs] for p in group})
        return [zones for zones in found if sum(len(self.carried[zone]) for zone in zones) > 1]

    # What arrives.

    def arriving(
        self,
        state: str,
        opened: Opened | None = None,
        *,
        had: Carried | None = None,
        without: str | None = None,
        gone: Collection[str] = (),
        backwards: bool = True,
        batteries: bool = False,
    ) -> Carried:
        """Return the conductors that arrive for certain, at every zone.

        `had` is what arrived with nothing opened; where it is None, nothing is, and what has
        anything has all it should. `without` is a zone that nothing passes.
        """
        opened = opened or NOTHING
        has = self._begin(state, opened, gone)
        if batteries:
            for zone, conductors in self._begin("battery", opened, gone).items():
                has[zone] |= conductors
        if without is not None:
            has.pop(without, None)
        ways = [w for w in self.ways[state] if without not in (w.first, w.second)]
        ways = [w for w in ways if w.tag not in opened.devices]
        ways = [w for w in ways if backwards or not w.back]
        changed = True
        while changed:
            changed = False
            for way in ways:
                passed = self.passed(way, has, opened, had)
                if not passed <= has[way.second]:
                    has[way.second] |= passed
                    changed = True
        return has

    def passed(self, way: Way, has: Carried, opened: Opened, had: Carried | None) -> set[str]:
        """Return what passes a way for certain, where zones have something."""
        if way.tag in opened.devices or not has[way.first]:
            return set()
        lost = opened.lost(way.tag)
        complete = had is None or (has[way.first] >= had[way.first])
        if way.how == "converts":
            whole = complete and not lost & self.carried.get(way.first, set())
            return self.made(way) if whole else set()
        if way.how == "if complete" and not complete:
            return set()
        return (has[way.first] & self.takes.get(way.tag, set("ABC"))) - lost

    def made(self, way: Way) -> set[str]:
        """Return what a converting device makes of a complete input."""
        record = self.records["equipment"][way.tag]
        if not way.back:
            return set(SYSTEMS[record.get("secondary")][0])
        return self.carried.get(way.second) or set(SYSTEMS[record.get("primary")][0])

    def maybe(self, state: str, opened: Opened, sure: Carried) -> Carried:
        """Return the conductors that may be live in a state, for certain or not."""
        has: Carried = defaultdict(set, {zone: set(found) for zone, found in sure.items()})
        whole = {tag for tag in opened.devices if self.switches[tag].opens_all}
        ways = [w for w in self.ways[state] if w.tag not in whole]
        before: Carried | None = None
        while before != has:
            before = {zone: set(found) for zone, found in has.items()}
            for way in ways:
                live, lost = has[way.first] - opened.lost(way.tag), opened.lost(way.tag)
                if way.how == "if complete":
                    # An automatic switch goes over to a side that is complete, and to no other.
                    if sure[way.first] < self.had[state][way.first]:
                        live = set()
                    has[way.second] |= live
                elif way.how == "conductors":
                    has[way.second] |= live & self.takes.get(way.tag, set("ABC"))
                elif live:
                    has[way.second] |= self.made(way)
                    has[way.first] |= self.carried[way.first] - lost
            for zones in self.bridges:
                if any(has[zone] for zone in zones):
                    for zone in zones:
                        has[zone] |= self.carried[zone]
        return has

    # The neutral.

    def neutral(self, state: str, opened: Opened, sure: Carried) -> tuple[set[str], Near]:
        """Return the zones whose neutral has its origin, and which neutrals are joined."""
        together = neighbours(self.shared)
        cut = {tag for tag, conductor in opened.poles if conductor == "N"}
        cut |= reached((tag for tag in cut if tag in together), together)
        joined = [(self.zones[one], self.zones[other]) for one, other in self.shared]
        for tag, switch in self.switches.items():
            if tag in cut or switch.kind == "transformer":
                continue
            if not switch.closed and switch.kind not in ("bus tie", "transfer switch"):
                continue  # no neutral is counted on beyond what stands open
            pairs = switch.pairs
            if switch.one_way and switch.kind != "transfer switch":
                pairs = [pair for pair in pairs if pair[0].endswith("/line")]
            if switch.kind == "transfer switch":
                pairs = self._closed_side(tag, state, opened, sure)
            if switch.kind == "bus tie":
                # Not on one that closes by itself, either.
                pairs = pairs if switch.closed and tag not in opened.devices else []
            joined += [(self.zones[one], self.zones[other]) for one, other in pairs]
        near = neighbours(joined)
        origins = {
            zone
            for tag, zone in self.starts(state).items()
            if tag in self.records["sources"]
            and SYSTEMS[self.records["sources"][tag].get("system")][2]
        }
        origins |= {
            self.zones[tag]
            for tag, record in self.records["equipment"].items()
            if record["kind"] == "transformer"
            and tag not in cut
            and SYSTEMS[record.get("secondary")][2]
        }
        return reached(origins, near), near

    def _closed_side(
        self, tag: str, state: str, opened: Opened, sure: Carried
    ) -> list[tuple[str, str]]:
        """Return the sides of a transfer switch whose neutral goes on to its output."""
        normal, emergency = self.switches[tag].pairs
        if self.records["equipment"][tag].get("neutral") == "solid":
            return [normal, emergency]
        if tag in opened.devices:
            return []
        sides = [w.terminal for w in self.ways[state] if w.tag == tag]
        for pair in (normal, emergency):
            zone = self.zones[pair[0]]
            had = self.had[state][zone]
            if pair[0].rpartition("/")[2] in sides and had and sure[zone] >= had:
                return [pair]
        return [normal]
