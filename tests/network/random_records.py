"""Random small portfolios, as the mappings that a record file holds."""

import json
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st

from recordgen.portfolio import Portfolio
from tests.network.asking import portfolio

Records = dict[str, dict[str, Any]]

# The same examples on every run, so that a red test is red for everybody.
SOME = settings(
    max_examples=120,
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
FEW = settings(SOME, max_examples=40)
MANY = settings(SOME, max_examples=4000)
PROOF = settings(SOME, max_examples=20_000, phases=[Phase.generate])
"""For what people stake their hands on."""

EQUIPMENT = (
    "transformer",
    "disconnect",
    "disconnect",
    "UPS",
    "UPS",
    "UPS",
    "transfer switch",
    "transfer switch",
    "motor starter",
    "variable-frequency drive",
    "junction box",
)
LOCKABLE = ("yes", "yes", "no", None)
THREE_PHASE = ("208Y/120", "208Y/120", "480Y/277", "240/120 high-leg delta", "480 delta")
SINGLE_PHASE = ("120/240", "120/240", "240 single-phase")
VOLTS = {
    "208Y/120": ("208 V", "120 V"),
    "480Y/277": ("480 V", "277 V"),
    "240/120 high-leg delta": ("240 V", "120 V"),
    "480 delta": ("480 V",),
    "120/240": ("240 V", "120 V"),
    "240 single-phase": ("240 V",),
}
"""Line voltage, and voltage to neutral where there is one."""


def load(records: Records) -> Portfolio:
    """Write records as a file (JSON is YAML) and load them."""
    text = "".join(f"{key}: {json.dumps(value)}\n" for key, value in records.items())
    with tempfile.TemporaryDirectory() as folder:
        return portfolio(Path(folder), text)


@dataclass(frozen=True)
class Line:
    """What the writer means an outlet to carry, so that it joins like with like only."""

    conductors: str = ""  # "" where no source is recorded
    system: str | None = None
    poles: int = 3

    def may_join(self, other: "Line") -> bool:
        """Say whether both may meet on one bus: what mixed systems there mean is not defined."""
        alike = self.system == other.system or None in (self.system, other.system)
        return not self.conductors or (self.conductors == other.conductors and alike)


class _Writer:
    """Writes records from the sources down: what a thing is fed from is written before it."""

    def __init__(self, draw: st.DrawFn) -> None:
        self.draw = draw
        self.records: Records = {name: {} for name in ("sources", "panels", "equipment", "loads")}
        self.lines: dict[str, Line] = {}  # outlet → what it carries, in the order of writing
        self.circuits: list[str] = []
        self.to_backfeed = ["PV", "PV-DS", "INLET", "BAT"]
        system = self.of(*THREE_PHASE, *THREE_PHASE[:3], "120/240", None)
        self.service = _line(system)

    def of(self, *choices: Any) -> Any:
        return self.draw(st.sampled_from(choices))

    def rarely(self) -> bool:
        return bool(self.draw(st.integers(0, 5)) == 5)

    def outlet(self, like: str | None = None) -> str:
        """Return something to feed from; one that carries the same as another, if wanted."""
        outlets = list(self.lines)
        if like is not None:
            outlets = [o for o in outlets if self.lines[o] == self.lines[like]]
        # Often one that was written last, so that long ways come about.
        return str(self.of(*(outlets[-4:] if self.of(True, False) else outlets)))

    def lockable(self) -> dict[str, str]:
        said = self.of(*LOCKABLE)
        return {} if said is None else {"lockable": said}

    def switch(self) -> dict[str, str]:
        """Return what may be said of anything that switches."""
        found = self.lockable()
        if self.rarely():
            found["electrically_operated"] = "yes"
            if self.of(True, False):
                found["draw_out"] = "yes"
        return found

    def poles(self, whole: int) -> dict[str, str]:
        """Return how many poles are recorded: often not, now and then too few."""
        poles = self.of(None, None, whole, max(1, whole - 1))
        return {} if poles is None else {"poles": str(poles)}

    def source(self, tag: str, **fields: str | None) -> None:
        said = {key: value for key, value in fields.items() if value is not None}
        self.records["sources"][tag] = said

    def sources(self) -> None:
        system = self.service.system
        utility = {"UTIL": True, "UTIL-2": self.rarely()}
        for tag in (tag for tag, there in utility.items() if there):
            self.source(tag, kind="utility", system=system)
            self.lines[tag] = self.service
        if self.of(True, False):
            start = self.of("automatic", "manual", None)
            self.source("GEN", kind="generator", start=start, system=system)
            self.lines["GEN"] = self.service
        self.source("PV", kind="photovoltaic")
        self.source("INLET", kind="generator inlet", start="manual")
        stops, start = self.of("yes", "no", "no", None), self.of("automatic", None)
        self.source(
            "BAT", kind="battery storage", stops_without_utility=stops, start=start, system=system
        )
        self.records["equipment"]["PV-DS"] = {
            "kind": "disconnect",
            "fed_from": "PV",
            **self.switch(),
        }

    def feeds(self) -> tuple[dict[str, Any], Line]:
        if self.rarely():
            return self.of({}, {"fed_from": "unknown"}), Line()
        first = self.outlet()
        second = self.outlet(like=first)
        line = self.lines[first]
        if self.rarely() and first != second:
            return {"fed_from": [first, second]}, line
        return {"fed_from": first}, line

    def panel(self, tag: str) -> None:
        panel: dict[str, Any] = {"kind": self.of("panelboard", "panelboard", "switchboard")}
        if panel["kind"] == "panelboard" and self.rarely():
            panel["numbering"] = "by device"
        by_device = len(panel) == 2 or panel["kind"] == "switchboard"
        feeds, line = self.feeds()
        panel |= self.lockable() | feeds
        system = self.panel_system(line)
        panel |= {"system": system} if system else {}
        whole = line.poles if system is None else _line(system).poles
        main = self.of("lugs", "device", None)
        if main == "lugs":
            panel["main"] = "lugs"
        elif main == "device":
            panel["main"] = {"rating": "100 A", **self.switch(), **self.poles(whole)}
        bus = Line(line.conductors, system or line.system, whole)
        like = [c for c in self.circuits if self.lines[c].may_join(bus)]
        if self.rarely() and like:
            feed = {"fed_from": self.of(*like), "since": "2026-11-01"}
            panel["temporary_feeds"] = [feed]
        if self.rarely() and self.circuits:
            panel["crossed_by"] = [self.of(*self.circuits)]
        panel["circuits"] = {}
        self.records["panels"][tag] = panel
        next_position = self.of(1, 2)
        for _ in range(self.draw(st.integers(1, 3))):
            next_position = self.circuit(tag, next_position, bus, by_device=by_device)
        if self.rarely():
            self.lines |= {f"{tag}/feed-through": bus, f"{tag}/line": line}

    def panel_system(self, line: Line) -> str | None:
        """Return a system that fits the feeder, or none; now and then one that does not fit.

        None has more conductors than its feeder: what such records mean is not defined.
        """
        if self.of(True, False, False):
            return None
        if self.rarely():
            return str(self.of(*("208Y/120", "120/240")[line.poles == 2 :]))
        if line.poles == 2:
            return str(self.of(*SINGLE_PHASE))
        return line.system or ("208Y/120" if line.poles == 3 else None)

    def circuit(self, panel: str, first: int, bus: Line, *, by_device: bool) -> int:
        """Write a circuit; return the next free position below it."""
        records = self.records["panels"][panel]
        circuit: dict[str, Any] = {}
        device = {"rating": "20 A", **self.switch()}
        if self.rarely():
            device["kind"] = "contactor"
        if by_device:
            poles, line = 1, bus
            if self.rarely():
                line = Line(bus.conductors, bus.system, self.of(*range(1, bus.poles + 1)))
                device["poles"] = str(line.poles)
        else:
            poles = self.of(*range(1, max(1, bus.poles) + 1))
            known = {"ABC": 3, "AB": 1}.get(bus.conductors)
            phases = {3: 3, 2: 1}.get(_line(records.get("system")).poles)
            rows = [(first + 2 * n - 1) // 2 for n in range(poles)]
            letters = {3: "ABC", 1: "AB"}.get(known or 0, "")
            on = "".join(sorted({letters[row % len(letters)] for row in rows})) if letters else ""
            legs_known = "system" in records and known == phases
            line = Line(on if legs_known else bus.conductors, bus.system, poles)
        number = "-".join(str(first + 2 * n) for n in range(poles))
        tag = f"{panel}/{number}"
        if not self.rarely() or "poles" in device:
            circuit["device"] = device
        if self.rarely():
            circuit["normal"] = "open"
        if self.rarely():
            circuit |= self.backfeed(line)
        if self.rarely() and self.circuits:
            circuit["neutral_shared_with"] = [self.of(*self.circuits[-4:])]
        neighbours = list(records["circuits"])
        if self.rarely() and neighbours:
            circuit["handle_tied_with"] = [self.of(*neighbours)]
        if self.of(True, False):
            load_tag = f"L-{panel}-{number}"
            volts = self.voltage(records.get("system"), poles if not by_device else line.poles)
            circuit["loads"] = {load_tag: {"kind": "other", **volts, **self.local_disconnect()}}
        elif self.rarely():
            circuit |= self.of({"loads": "unknown"}, {"loads": "none"}, {"spare": "yes"})
        records["circuits"][number] = circuit
        if "spare" not in circuit:  # it feeds nothing
            self.circuits.append(tag)
            self.lines[tag] = line
        return int(first + 2 * poles)

    def backfeed(self, line: Line) -> dict[str, str]:
        """Return a source on the load side; each of them lands in one place only."""
        storage = ["BAT"] if line.conductors == self.service.conductors else []
        choices = [s for s in self.to_backfeed if s != "BAT" or storage]
        if not choices:
            return {}
        chosen = str(self.of(*choices))
        self.to_backfeed.remove(chosen)
        if chosen.startswith("PV"):
            self.to_backfeed = [s for s in self.to_backfeed if not s.startswith("PV")]
        return {"backfed_from": chosen}

    def voltage(self, system: str | None, poles: int) -> dict[str, str]:
        if system is None or self.of(True, False):
            return {}
        volts = VOLTS[system]
        return {"voltage": volts[-1] if poles == 1 else self.of(*volts)}

    def local_disconnect(self) -> dict[str, Any]:
        return {"local_disconnect": self.lockable()} if self.rarely() else {}

    def equipment(self, tag: str) -> None:
        kind = self.of(*EQUIPMENT)
        found: dict[str, Any] = {"kind": kind}
        if kind == "transfer switch":
            normal = self.outlet()
            emergency = self.outlet(like=normal)
            if self.lines.get("GEN") == self.lines[normal] and self.of(True, False):
                emergency = "GEN"
            found |= {"normal_from": normal, "emergency_from": emergency}
            operation = self.of("automatic", "automatic", "manual", None)
            found |= {"operation": operation} if operation else {}
            neutral = self.of(None, "solid", "switched")
            found |= {"neutral": neutral} if neutral else {}
            line = self.lines[normal]
        else:
            feeds, line = self.feeds()
            found |= feeds
        if kind in ("UPS", "variable-frequency drive") and line.poles == 2:
            # What one makes of a single-phase feed is not recorded; its bypass would contradict it.
            found["kind"] = kind = "disconnect"
        if kind == "transformer":
            secondary = self.of(*THREE_PHASE, "120/240", None)
            found |= {"secondary": secondary} if secondary else {}
            line = _line(secondary)
        if kind == "disconnect":
            found |= self.switch() | ({"normal": "open"} if self.rarely() else {})
            found |= self.poles(line.poles)
        feed = found.get("fed_from")
        like = feed[0] if isinstance(feed, list) else feed if feed in self.lines else None
        if kind == "UPS" and self.of(True, False):
            found["static_bypass_from"] = self.outlet(like)
        if kind == "UPS" and self.rarely():
            found["maintenance_bypass_from"] = self.outlet(like)
        if kind == "variable-frequency drive" and self.of(True, False):
            found["bypass_from"] = self.outlet(like)
        if kind == "junction box" and self.circuits:
            found["crossed_by"] = [self.of(*self.circuits)]
        self.records["equipment"][tag] = found
        self.lines[tag] = _line(None) if kind in ("UPS", "variable-frequency drive") else line

    def tie(self, bus: dict[str, Line]) -> None:
        """Write a tie between two buses that carry the same."""
        first = next(iter(bus))
        others = [panel for panel in bus if panel != first and bus[panel].may_join(bus[first])]
        if not others:
            return
        tie = {"kind": "bus tie", "between": [first, self.of(*others)], **self.switch()}
        operation = self.of("manual", "automatic", "manual", None)
        tie |= {"operation": operation} if operation else {}
        tie |= {"normal": "closed"} if self.rarely() else {}
        self.records["equipment"]["TIE"] = tie

    def load(self, tag: str) -> None:
        found: dict[str, Any] = {"kind": "other", **self.local_disconnect()}
        feeds = list(dict.fromkeys(self.outlet() for _ in range(self.of(1, 1, 2, 3))))
        if self.of(True, False):
            panel = self.of(*self.records["panels"])
            circuits = [f"{panel}/{number}" for number in self.records["panels"][panel]["circuits"]]
            feeds = [circuit for circuit in circuits if circuit in self.lines] or feeds
        found["fed_from"] = "unknown" if self.rarely() else feeds
        needs = self.of("any", "all", "all", None)
        found |= {"needs": needs} if needs else {}
        if self.rarely():
            found["control_power_from"] = self.outlet()
        self.records["loads"][tag] = found

    def dependencies(self) -> None:
        """Let loads and sources lean on what is written, whatever stands in which order."""
        panels, equipment = self.records["panels"], self.records["equipment"]
        inside = {
            tag: record
            for panel in panels.values()
            for circuit in panel["circuits"].values()
            if isinstance(circuit.get("loads"), dict)
            for tag, record in circuit["loads"].items()
        }
        loads = self.records["loads"] | inside
        others = [tag for tag, record in equipment.items() if record["kind"] != "bus tie"]
        things = [*self.circuits, *panels, *others]
        sources = [
            self.records["sources"][t] for t in ("GEN", "BAT") if t in self.records["sources"]
        ]
        for tag, record in [*loads.items(), *(("", source) for source in sources)]:
            if self.rarely() or (not tag and self.of(True, False)):
                on_loads = self.of(True, False)
                names = [t for t in (loads if on_loads else things) if t != tag]
                record["depends_on"] = [self.of(*names or things)]


def _line(system: str | None) -> Line:
    if system in SINGLE_PHASE:
        return Line("AB", system, 2)
    return Line("ABC", system, 3)


@st.composite
def portfolios(draw: st.DrawFn) -> Records:
    """Return the records of a small building with much that makes an answer hard."""
    writer = _Writer(draw)
    writer.sources()
    bus: dict[str, Line] = {}
    for number in range(1, draw(st.integers(2, 5)) + 1):
        writer.panel(f"P{number}")
        feeds = writer.records["panels"][f"P{number}"].get("fed_from", "unknown")
        feed = feeds[0] if isinstance(feeds, list) else feeds
        bus[f"P{number}"] = writer.lines.get(feed, Line())
        if writer.of(True, False):
            writer.equipment(f"E{number}")
    if writer.of(True, False):
        writer.tie(bus)
    for number in range(draw(st.integers(1, 3))):
        writer.load(f"LOAD-{number}")
    writer.dependencies()
    return writer.records


@st.composite
def radial(draw: st.DrawFn) -> Records:
    """Return the records of a building with one utility, and one way to everything."""
    panels: dict[str, Any] = {}
    equipment: dict[str, Any] = {}
    outlets = ["UTIL"]
    for number in range(draw(st.integers(1, 7))):
        feed = draw(st.sampled_from(outlets))
        between = draw(st.sampled_from((None, "transformer", "disconnect", "motor starter")))
        if between is not None:
            equipment[f"E{number}"] = {"kind": between, "fed_from": feed}
            feed = f"E{number}"
        circuits = {
            str(slot): {"loads": {f"L{number}-{slot}": {"kind": "other"}}}
            for slot in range(1, draw(st.integers(1, 4)))
        }
        main = draw(st.sampled_from(("lugs", "100 A")))
        kind = {"kind": "switchboard", "main": main, "fed_from": feed, "circuits": circuits}
        panels[f"P{number}"] = kind
        outlets += [f"P{number}/{slot}" for slot in circuits]
    return {"sources": {"UTIL": {"kind": "utility"}}, "panels": panels, "equipment": equipment}
