"""From a pandapower net to records, as somebody would write them who walks from the grid down.

- A bus is a panel with main lugs whose devices are numbered one by one.
- An external grid is a utility source. Static generators and storage are photovoltaic and battery
  sources behind a backfed circuit, other generators are started by hand: none carries load alone.
- What feeds a panel is found breadth first from the external grids, through closed switches as far
  as they lead, then through open ones. So the recorded feeds are a tree.
- On the way, a switch at the near end is a circuit's device, one at the far end a disconnect.
- What closes a ring ends in a bus tie: the last switch on it, or a tie that is never opened where
  there is none behind the last transformer.
- A branch out of service is taken off at both ends: its switches are circuits that feed nothing.
- Buses that nothing leads to have an unknown source.
"""

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from tests.real_networks.links import (
    CONSUMERS,
    FEEDING_BACK,
    Link,
    bus_tag,
    links,
    refuse_what_is_not_known,
)

BUILDING = "net"
_PANELS_A_FILE = 500


@dataclass
class Conversion:
    """Records of a net, and how to find what was in it.

    `device_of` is switch index → full tag of its device; `bus_of` full tag of a load → bus index;
    `near_circuit` link → full tag of the circuit it starts from, where it starts from one.
    """

    records: dict[str, dict[str, Any]] = field(default_factory=dict)
    device_of: dict[int, str] = field(default_factory=dict)
    bus_of: dict[str, int] = field(default_factory=dict)
    near_circuit: dict[str, str] = field(default_factory=dict)

    def write(self, folder: Path) -> None:
        """Write the records below `folder`, as files of a size that people can open."""
        building = folder / BUILDING
        building.mkdir(parents=True)
        for section, records in self.records.items():
            items = list(records.items())
            for start in range(0, len(items), _PANELS_A_FILE):
                part = {section: dict(items[start : start + _PANELS_A_FILE])}
                text = yaml.dump(part, Dumper=yaml.CSafeDumper, sort_keys=False)
                (building / f"{section}-{start}.yaml").write_text(text, "utf-8")


def converted(net: Any, present: Any = None, *, lockable: bool = False) -> Conversion:
    """Return the records of a net.

    Parameters
    ----------
    net : pandapowerNet
        Its switches give the normal state.
    present : pandapowerNet or None
        The same net with some switches moved: their present positions.
    lockable : bool
        Whether to write that everything can be locked open. A net does not say: by default the
        records do not either.
    """
    refuse_what_is_not_known(net)
    return _Writer(net, present, {"lockable": "yes"} if lockable else {}).result


class _Writer:
    def __init__(self, net: Any, present: Any, lockable: dict[str, str]) -> None:
        self.net, self.present, self.lockable = net, present, lockable
        self.result = Conversion()
        self.panels: dict[str, dict[str, Any]] = {}
        self.equipment: dict[str, dict[str, Any]] = {}
        self.sources: dict[str, dict[str, Any]] = {}
        self.result.records = {
            "building": {"name": "A converted network", "use": "power distribution"},
            "sources": self.sources,
            "panels": self.panels,
            "equipment": self.equipment,
        }
        for bus, row in net.bus.iterrows():
            self.panels[bus_tag(bus)] = {
                "name": str(row["name"]),
                "kind": "switchboard",
                "system": f"{row.vn_kv:g} kV three-phase",
                "main": "lugs",
                "numbering": "by device",
                **self.lockable,
                "fed_from": [],
                "circuits": {},
            }
        for index, row in net.trafo3w.iterrows():
            self.equipment[f"TW-{index}"] = {
                "kind": "transformer",
                "name": str(row["name"]),
                "primary": f"{row.vn_hv_kv:g} kV three-phase",
                "fed_from": [],
            }
        self._feeds()
        self._consumers()
        self._fed_back()
        for record in (*self.panels.values(), *self.equipment.values()):
            if record.get("fed_from") == []:
                record["fed_from"] = "unknown"

    def _feeds(self) -> None:
        every = links(self.net)
        at: dict[str, list[Link]] = {}
        for link in every:
            if link.in_service:
                for end in link.ends:
                    at.setdefault(end, []).append(link)
            else:
                self._take_off(link)
        roots = []
        for index, row in self.net.ext_grid.iterrows():
            panel = self.panels[bus_tag(row.bus)]
            self.sources[f"UT-{index}"] = {"kind": "utility", "system": panel["system"]}
            panel["fed_from"].append(f"UT-{index}")
            roots.append(bus_tag(row.bus))
        tree = dict(self._breadth_first(at, roots))
        for tag, near in tree.items():
            link = next(link for link in at[near] if link.tag == tag)
            reference, _ = self._way(link, near, keep_last=False)
            fed = self._fed(link.far(near))
            fed["fed_from"].append(reference)
            if link.length_m is not None:
                fed["feeder"] = {"length": f"{link.length_m:.1f} m"}
        for link in every:
            if link.in_service and link.tag not in tree:
                self._close_ring(link)

    def _breadth_first(
        self, at: dict[str, list[Link]], roots: list[str]
    ) -> Iterator[tuple[str, str]]:
        """Yield the links of the tree and the end that each is fed from, nearest the grids first.

        A part that nothing leads to is walked from its first bus.
        """
        reached = dict.fromkeys(roots)
        queue, behind_open = deque(reached), deque[tuple[Link, str]]()
        islands = iter([*self.panels, *self.equipment])
        while True:
            while queue:
                near = queue.popleft()
                for link in at.get(near, ()):
                    if link.far(near) in reached:
                        continue
                    if not self._closed(link):
                        behind_open.append((link, near))
                        continue
                    reached[link.far(near)] = None
                    queue.append(link.far(near))
                    yield link.tag, near
            while behind_open and not queue:
                link, near = behind_open.popleft()
                if link.far(near) not in reached:
                    reached[link.far(near)] = None
                    queue.append(link.far(near))
                    yield link.tag, near
            if not queue:
                island = next((tag for tag in islands if tag not in reached), None)
                if island is None:
                    return
                reached[island] = None
                queue.append(island)

    def _closed(self, link: Link) -> bool:
        return all(self.net.switch.closed.at[i] for side in link.switches for i in side)

    def _fed(self, tag: str) -> dict[str, Any]:
        return self.panels[tag] if tag in self.panels else self.equipment[tag]

    def _way(self, link: Link, near: str, *, keep_last: bool) -> tuple[str, int | None]:
        """Write what lies on a link, from its near end on.

        Returns the reference of its far end, and the last switch where that is to be kept out:
        it stands between there and the far bus.
        """
        before, behind = link.from_end(near)
        if link.tag.startswith("BB-") and self.net.switch.type.at[before + behind][0] != "CB":
            # A disconnector between two busbars is a thing of its own; a breaker is in a panel.
            before, behind = (), before + behind
        elif link.tag.startswith("BB-"):
            before, behind = before + behind, ()
        last = None
        if keep_last and behind:
            *kept, last = behind
            behind = tuple(kept)
        elif keep_last and before and link.transformer is None:
            *kept, last = before
            before = tuple(kept)
        reference = f"{near}/feed-through" if near in self.panels else near
        for count, index in enumerate(before):
            if count == 0 and near in self.panels:
                reference = self._circuit(near, link.tag, index)
                self.result.near_circuit[link.tag] = f"{BUILDING}:{reference}"
            else:
                reference = self._disconnect(reference, index)
        if link.transformer is not None:
            self.equipment[link.tag] = {**link.transformer, "fed_from": [reference]}
            reference = link.tag
        for index in behind:
            reference = self._disconnect(reference, index)
        return reference, last

    def _close_ring(self, link: Link) -> None:
        near = link.ends[0]
        reference, last = self._way(link, near, keep_last=True)
        sides = [reference.removesuffix("/feed-through"), link.far(near)]
        tag = f"{link.tag}-TIE" if last is None else f"SW-{last}"
        tie = {"kind": "bus tie", "name": f"ring of {link.tag}", "between": sides}
        state = {"normal": "closed"} if last is None else self._state(last)
        self.equipment[tag] = {**tie, **state, "operation": "manual", **self.lockable}
        if last is not None:
            self.result.device_of[last] = f"{BUILDING}:{tag}"

    def _take_off(self, link: Link) -> None:
        for end, switches in zip(link.ends, link.switches, strict=True):
            for index in switches:
                position = self._circuit(end, f"{link.tag}, out of service, leads taken off", index)
                panel, _, number = position.partition("/")
                self.panels[panel]["circuits"][number]["loads"] = "none"

    def _circuit(self, panel: str, description: str, switch: int) -> str:
        kind = "breaker" if self.net.switch.type.at[switch] == "CB" else "switch"
        record = {"description": description, "device": {"kind": kind}, **self._state(switch)}
        position = self._add(panel, record)
        self.result.device_of[switch] = f"{BUILDING}:{position}"
        return position

    def _disconnect(self, fed_from: str, switch: int) -> str:
        tag = f"SW-{switch}"
        record = {"kind": "disconnect", "fed_from": fed_from, **self._state(switch)}
        self.equipment[tag] = {**record, **self.lockable}
        self.result.device_of[switch] = f"{BUILDING}:{tag}"
        return tag

    def _state(self, switch: int) -> dict[str, Any]:
        words = {True: "closed", False: "open"}
        normal = bool(self.net.switch.closed.at[switch])
        state: dict[str, Any] = {"normal": words[normal]}
        if self.present is not None and bool(self.present.switch.closed.at[switch]) != normal:
            state["present"] = {"position": words[not normal], "since": "2026-11-02"}
        return state

    def _add(self, panel: str, record: dict[str, Any]) -> str:
        circuits = self.panels[panel]["circuits"]
        number = str(len(circuits) + 1)
        circuits[number] = record
        return f"{panel}/{number}"

    def _consumers(self) -> None:
        """Write each consumer in a circuit of its own: nets leave that device out."""
        for table, (prefix, kind) in CONSUMERS.items():
            for index, row in self.net[table].iterrows():
                tag = f"{prefix}-{index}"
                load = {"kind": kind, **_power(row)}
                self._add(bus_tag(row.bus), {"device": {"kind": "breaker"}, "loads": {tag: load}})
                self.result.bus_of[f"{BUILDING}:{tag}"] = int(row.bus)

    def _fed_back(self) -> None:
        for table, (prefix, source) in FEEDING_BACK.items():
            for index, row in self.net[table].iterrows():
                tag = f"{prefix}-{index}"
                panel = bus_tag(row.bus)
                self.sources[tag] = {**source, "system": self.panels[panel]["system"]}
                self._add(panel, {"device": {"kind": "breaker"}, "backfed_from": tag})


def _power(row: Any) -> dict[str, str]:
    va = abs(complex(row.get("p_mw", 0), row.get("q_mvar", 0))) * 1e6
    return {"power": f"{va:.0f} VA"} if va > 0 else {}
