"""Random small portfolios, as the mappings that a record file holds."""

import json
import tempfile
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, settings
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

EQUIPMENT = (
    "transformer",
    "disconnect",
    "UPS",
    "UPS",
    "transfer switch",
    "transfer switch",
    "motor starter",
    "variable-frequency drive",
    "junction box",
)
LOCKABLE = ("yes", "yes", "no", None)


def load(records: Records) -> Portfolio:
    """Write records as a file (JSON is YAML) and load them."""
    text = "".join(f"{key}: {json.dumps(value)}\n" for key, value in records.items())
    with tempfile.TemporaryDirectory() as folder:
        return portfolio(Path(folder), text)


class _Writer:
    """Writes records from the sources down: what a thing is fed from is written before it."""

    def __init__(self, draw: st.DrawFn) -> None:
        self.draw = draw
        self.records: Records = {name: {} for name in ("sources", "panels", "equipment", "loads")}
        self.outlets: list[str] = []
        self.circuits: list[str] = []

    def of(self, *choices: Any) -> Any:
        return self.draw(st.sampled_from(choices))

    def rarely(self) -> bool:
        return bool(self.draw(st.integers(0, 5)) == 5)

    def outlet(self) -> str:
        # Often one that was written last, so that long ways come about.
        return str(self.of(*(self.outlets[-4:] if self.of(True, False) else self.outlets)))

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

    def source(self, tag: str, **fields: str | None) -> None:
        said = {key: value for key, value in fields.items() if value is not None}
        self.records["sources"][tag] = said

    def sources(self) -> None:
        self.source("UTIL", kind="utility")
        self.outlets.append("UTIL")
        if self.rarely():
            self.source("UTIL-2", kind="utility")
            self.outlets.append("UTIL-2")
        if self.of(True, False):
            self.source("GEN", kind="generator", start=self.of("automatic", "manual", None))
            self.outlets.append("GEN")
        self.source("PV", kind="photovoltaic")
        self.source("INLET", kind="generator inlet", start="manual")
        stops, start = self.of("yes", "no", None), self.of("automatic", None)
        self.source("BAT", kind="battery storage", stops_without_utility=stops, start=start)
        self.records["equipment"]["PV-DS"] = {
            "kind": "disconnect",
            "fed_from": "PV",
            **self.switch(),
        }

    def feeds(self) -> dict[str, Any]:
        if self.rarely():
            return self.of({}, {"fed_from": "unknown"})
        first, second = self.outlet(), self.outlet()
        if self.rarely() and first != second:
            return {"fed_from": [first, second]}
        return {"fed_from": first}

    def panel(self, tag: str) -> None:
        panel: dict[str, Any] = {"kind": "panelboard", "system": "208Y/120"}
        # One number a device, so that a circuit has as many poles as what it feeds.
        panel["numbering"] = "by device"
        panel |= self.lockable() | self.feeds()
        main = self.of("lugs", "device", None)
        if main == "lugs":
            panel["main"] = "lugs"
        elif main == "device":
            panel["main"] = {"rating": "100 A", **self.switch()}
            if self.rarely():
                panel["main"]["poles"] = self.of("2", "3")
        panel["circuits"] = circuits = {}
        for number in range(1, 2 * self.draw(st.integers(1, 3)) + 1, 2):
            circuits[str(number)] = self.circuit(tag, number)
        if self.rarely() and self.circuits:
            panel["crossed_by"] = [self.of(*self.circuits)]
        if self.rarely() and self.circuits:
            feed = {"fed_from": self.of(*self.circuits), "since": "2026-11-01"}
            panel["temporary_feeds"] = [feed]
        self.circuits += [f"{tag}/{number}" for number in circuits]
        self.outlets += [f"{tag}/{number}" for number in circuits]
        if self.rarely():
            self.outlets += [f"{tag}/feed-through", f"{tag}/line"]
        self.records["panels"][tag] = panel

    def circuit(self, panel: str, number: int) -> dict[str, Any]:
        circuit: dict[str, Any] = {}
        if not self.rarely():
            circuit["device"] = {"rating": "20 A", **self.switch()}
            if self.rarely():
                circuit["device"]["kind"] = "contactor"
        if self.rarely():
            circuit["normal"] = "open"
        if self.rarely():
            circuit["backfed_from"] = self.of("PV", "PV-DS", "INLET", "BAT")
        others = [*self.circuits, *(f"{panel}/{n}" for n in range(1, number, 2))]
        if self.rarely() and others:
            circuit["neutral_shared_with"] = [self.of(*others)]
        if self.of(True, False):
            tag = f"L-{panel}-{number}"
            circuit["loads"] = {tag: {"kind": "other", **self.local_disconnect()}}
        return circuit

    def local_disconnect(self) -> dict[str, Any]:
        return {"local_disconnect": self.lockable()} if self.rarely() else {}

    def equipment(self, tag: str) -> None:
        kind = self.of(*EQUIPMENT)
        found: dict[str, Any] = {"kind": kind}
        if kind == "transfer switch":
            found |= {"normal_from": self.outlet(), "emergency_from": self.outlet()}
            operation = self.of("automatic", "automatic", "manual", None)
            found |= {"operation": operation} if operation else {}
        else:
            found |= self.feeds()
        if kind == "disconnect":
            found |= self.switch() | ({"normal": "open"} if self.rarely() else {})
        if kind == "UPS" and self.of(True, False):
            found["static_bypass_from"] = self.outlet()
        if kind == "UPS" and self.rarely():
            found["maintenance_bypass_from"] = self.outlet()
        if kind == "variable-frequency drive" and self.of(True, False):
            found["bypass_from"] = self.outlet()
        if kind == "junction box" and self.circuits:
            found["crossed_by"] = [self.of(*self.circuits)]
        self.records["equipment"][tag] = found
        self.outlets.append(tag)

    def tie(self) -> None:
        panels = list(self.records["panels"])
        first, second = panels[0], self.of(*panels[1:])
        tie = {"kind": "bus tie", "between": [first, second], **self.switch()}
        tie |= self.of({}, {"operation": "automatic"}, {"operation": "manual"})
        tie |= {"normal": "closed"} if self.rarely() else {}
        self.records["equipment"]["TIE"] = tie

    def load(self, tag: str) -> None:
        found: dict[str, Any] = {"kind": "other", **self.local_disconnect()}
        feeds = list(dict.fromkeys(self.outlet() for _ in range(self.of(1, 1, 2, 3))))
        if self.of(True, False):
            panel = self.of(*self.records["panels"])
            feeds = [f"{panel}/{number}" for number in self.records["panels"][panel]["circuits"]]
        found["fed_from"] = "unknown" if self.rarely() else feeds
        needs = self.of("any", "all", "all", None)
        found |= {"needs": needs} if needs else {}
        if self.rarely():
            found["control_power_from"] = self.outlet()
        self.records["loads"][tag] = found


@st.composite
def portfolios(draw: st.DrawFn) -> Records:
    """Return the records of a small building with much that makes an answer hard."""
    writer = _Writer(draw)
    writer.sources()
    for number in range(1, draw(st.integers(2, 5)) + 1):
        writer.panel(f"P{number}")
        if writer.of(True, False):
            writer.equipment(f"E{number}")
    if writer.of(True, False):
        writer.tie()
    for number in range(draw(st.integers(1, 3))):
        writer.load(f"LOAD-{number}")
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
