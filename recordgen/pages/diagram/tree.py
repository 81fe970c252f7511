"""From the elements of a building to the trees of its one-line diagram.

Every element hangs on what feeds it in the normal state. What may feed it otherwise is a way
across. Branch circuits of panelboards are counted and stand in the directory; those of
switchboards, motor control centres and busways are drawn.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cached_property
from typing import Final, cast

from recordgen.calc.study.distribution import Distribution, Element
from recordgen.network.model import Device, building_of, local
from recordgen.pages.diagram.parts import Node, Switch, SwitchSymbol, Symbol, Way
from recordgen.pages.diagram.words import equipment_lines, panel_lines, source_lines, wrapped
from recordgen.records.equipment import BusTie, Drive, TransferSwitch, Ups
from recordgen.records.positions import Reference
from recordgen.records.supply import Circuit, Panel, Source

_ORDER: Final = ("utility", "generator", "generator inlet", "battery storage", "photovoltaic")
_SWITCH: Final[Mapping[str, SwitchSymbol]] = {
    "breaker": "breaker",
    "fuse": "fuse",
    "fused switch": "fuse",
    "switch": "switch",
    "contactor": "contactor",
}
_MOTORS: Final = frozenset({"motor", "pump", "fan", "compressor", "elevator"})


class Trees:
    """The trees of one building.

    Parameters
    ----------
    distribution : Distribution
    building : str
    canonical : callable
        From a reference and the building it stands in to the full tag that it names.
    stopped : callable
        Whether a STOP notice touches a full tag.
    """

    def __init__(
        self,
        distribution: Distribution,
        building: str,
        canonical: Callable[[str, str], str],
        stopped: Callable[[str], bool],
    ) -> None:
        self._all = distribution
        self._building = building
        self._canonical = canonical
        self._stopped = stopped
        self._records = distribution.buildings[building].records

    @cached_property
    def roots(self) -> tuple[Node, ...]:
        """The trees, from left to right: the utility first, what feeds nothing drawn last."""
        tops = [
            element
            for element in self._all.elements.values()
            if building_of(element.tag) == self._building
            and element.kind != "circuit"
            and element.tag not in self._backfeeding
            and (element.feed is None or building_of(element.feed) != self._building)
        ]
        tops.sort(key=_rank)
        return tuple(self._root(element) for element in tops)

    def _root(self, element: Element) -> Node:
        node = self._node(element)
        if element.kind == "source":
            return node
        feed = element.feed
        name = feed or "source not recorded"
        lines = () if feed is None else ("in another building",)
        return Node(feed or "", "elsewhere", name, lines, children=(node,), stop=feed is None)

    def _node(self, element: Element, switches: tuple[Switch, ...] = ()) -> Node:
        """Return an element and what hangs on it."""
        tag, record = element.tag, element.record
        stop, ways = self._stopped(tag), tuple(self._ways_at(tag))
        if isinstance(record, Panel):
            return Node(
                tag,
                "bus",
                local(tag),
                panel_lines(record),
                (*switches, *self._main(tag)),
                (*self._on_bus(tag, record), *self._way_ends(tag)),
                ways,
                stop,
            )
        children = (*self._below(tag), *self._way_ends(tag))
        lines = source_lines(record) if isinstance(record, Source) else self._equipment(tag, record)
        symbol = _symbol(record)
        return Node(tag, symbol, local(tag), lines, switches, children, ways, stop)

    def _equipment(self, tag: str, record: object) -> tuple[str, ...]:
        fed = [load.tag for load in self._all.loads_at.get(tag, ())]
        feeds = f"feeds {', '.join(local(load) for load in fed)}" if fed else ""
        device = self._all.network.devices.get(tag)
        remark = _remark(device) if device is not None else ""
        lines = (*equipment_lines(record), *wrapped(feeds))
        return (*lines, remark) if remark else lines

    def _main(self, tag: str) -> Iterator[Switch]:
        device = self._all.network.devices.get(f"{tag}/main")
        if device is not None:
            yield self._switch(device, "main", self._records.panels[local(tag)].main_device)

    def _below(self, tag: str) -> Iterator[Node]:
        """Yield what hangs on a thing that is no panel."""
        for each in self._all.below[tag]:
            element = self._all.elements[each]
            yield self._node(element) if self._is_here(each) else self._elsewhere(each, ())

    def _on_bus(self, tag: str, panel: Panel) -> Iterator[Node]:
        """Yield what hangs on a panel: by its circuits, then by lugs and taps."""
        left = 0
        for each in self._all.below[tag]:
            element = self._all.elements[each]
            if not isinstance(element.record, Circuit):
                yield self._node(element) if self._is_here(each) else self._elsewhere(each, ())
                continue
            found = list(self._on_circuit(each, element.record, panel))
            left += not found and not element.record.spare
            yield from found
        if left and not panel.counts_by_device:
            what = "branch circuit" if left == 1 else "branch circuits"
            yield Node(tag, "load", f"{left} {what}")

    def _on_circuit(self, tag: str, circuit: Circuit, panel: Panel) -> Iterator[Node]:
        device = self._all.network.devices[tag]
        switch = self._switch(device, tag.rpartition("/")[2], circuit.device)
        fed: list[Node] = []
        for each in self._all.below[tag]:
            if self._is_here(each):
                fed.append(self._node(self._all.elements[each]))
            else:
                fed.append(self._elsewhere(each, ()))
        fed += self._way_ends(tag)
        back = self._backfed.get(tag)
        if back is not None:
            fed.append(self._chain_up(back))
        if not fed and panel.counts_by_device and not circuit.spare:
            fed = list(self._loads(tag))
            if not fed:
                text = circuit.description or "load not recorded"
                fed = [Node(tag, "load", "", wrapped(text))]
        if len(fed) == 1:
            yield _hung(fed[0], switch)
        elif fed:
            yield Node(tag, "junction box", "", ("joined here",), (switch,), tuple(fed))

    def _loads(self, tag: str) -> Iterator[Node]:
        loads = self._all.loads_at.get(tag, ())
        if len(loads) > 2:
            yield Node(tag, "load", f"{len(loads)} loads")
            return
        for at in loads:
            symbol: Symbol = "motor" if at.load.kind in _MOTORS else "load"
            power = (at.load.power_va.written,) if at.load.power_va is not None else ()
            yield Node(at.tag, symbol, local(at.tag), power, stop=self._stopped(at.tag))

    def _elsewhere(self, tag: str, switches: tuple[Switch, ...]) -> Node:
        return Node(tag, "elsewhere", tag, ("in another building",), switches)

    def _is_here(self, tag: str) -> bool:
        return building_of(tag) == self._building

    # --- Ways across --------------------------------------------------------------------------

    @cached_property
    def _ways(self) -> tuple[tuple[str, str, str, Switch | None], ...]:
        """Feed, what it feeds otherwise, in which part it acts, and a device between them."""
        found: list[tuple[str, str, str, Switch | None]] = []
        for local_tag, record in self._records.equipment.items():
            tag = f"{self._building}:{local_tag}"
            if isinstance(record, BusTie):
                first, second = (self._bus(ref) for ref in record.between)
                device = self._all.network.devices[tag]
                found.append((first, second, "tie", self._switch(device, local_tag, None)))
                continue
            found += [(self._named(ref), tag, part, None) for part, ref in _bypasses(record) if ref]
            found += [
                (other, tag, self._part(record, other), None)
                for other in self._all.elements[tag].other_feeds
            ]
        for local_tag in self._records.panels:
            tag = f"{self._building}:{local_tag}"
            found += [
                (other, tag, "second feed", None) for other in self._all.elements[tag].other_feeds
            ]
        for placed in (self._records.panels, self._records.equipment):
            for local_tag, thing in placed.items():
                found += [
                    (
                        self._named(feed.fed_from),
                        f"{self._building}:{local_tag}",
                        "temporary feed",
                        None,
                    )
                    for feed in thing.temporary_feeds
                ]
        return tuple(found)

    def _ways_at(self, tag: str) -> Iterator[Way]:
        """Yield the ends of ways at the thing that they may feed."""
        for feed, fed, part, _ in self._ways:
            if fed == tag:
                yield Way(f"{feed} {fed} {part}", (part, f"from {self._short(feed)}"), feed)

    def _way_ends(self, tag: str) -> Iterator[Node]:
        """Yield the ends of ways on what they come from."""
        for feed, fed, part, switch in self._ways:
            if feed == tag:
                way = Way(f"{feed} {fed} {part}", (f"to {self._short(fed)}", part), fed)
                yield Node(fed, "way", "", switches=(switch,) if switch else (), ways=(way,))

    def _part(self, record: object, feed: str) -> str:
        if isinstance(record, TransferSwitch):
            return "emergency" if self._named(record.emergency_from) == feed else "normal"
        return "second feed"

    def _named(self, reference: Reference) -> str:
        return self._canonical(str(reference), self._building)

    def _bus(self, reference: Reference) -> str:
        """Return what a tie lands on: a circuit of a panel, or the panel where it is a bus port."""
        named = self._named(reference)
        return named if named in self._all.elements else named.rpartition("/")[0]

    def _short(self, tag: str) -> str:
        return local(tag) if self._is_here(tag) else tag

    # --- Sources on the load side of a circuit --------------------------------------------------

    @cached_property
    def _backfed(self) -> Mapping[str, str]:
        """Circuit → what feeds it from its load side (full tags)."""
        return {
            f"{self._building}:{tag}/{position}": self._named(circuit.backfed_from)
            for tag, panel in self._records.panels.items()
            for position, circuit in panel.circuits.items()
            if circuit.backfed_from is not None
        }

    @cached_property
    def _backfeeding(self) -> frozenset[str]:
        """Sources whose only way on is a circuit that they feed from its load side."""
        found = set()
        for end in self._backfed.values():
            if end in self._all.elements:
                way = self._all.path(end)
                alone = all(len(self._all.below[one.tag]) <= 1 for one in way)
                if alone and not self._all.below[end]:
                    found.add(way[0].tag)
        return frozenset(found)

    def _chain_up(self, end: str) -> Node:
        """Return what feeds a circuit from its load side, down to the source."""
        way = self._all.path(end) if end in self._all.elements else ()
        if not way or way[0].tag not in self._backfeeding:
            way_back = Way(f"{end} back", ("backfeed", f"from {self._short(end)}"), end)
            return Node(end, "way", "", ways=(way_back,))
        below: tuple[Node, ...] = ()
        for element in way:
            record = element.record
            lines = (
                source_lines(record)
                if isinstance(record, Source)
                else self._equipment(element.tag, record)
            )
            stop = self._stopped(element.tag)
            name = local(element.tag)
            symbol = _symbol(record)
            below = (Node(element.tag, symbol, name, lines, children=below, stop=stop),)
        return below[0]

    def _switch(self, device: Device, name: str, record: object) -> Switch:
        kind = getattr(record, "kind", None)
        symbol = _SWITCH.get(str(kind), "breaker") if record is not None else "not recorded"
        if device.kind == "bus tie":
            symbol = "switch"
        rating = wrapped(device.rating) if device.rating else ("rating not recorded",)
        return Switch(device.tag, name, rating, symbol, not device.closed, _remark(device))


def _symbol(record: object) -> Symbol:
    """Return the sign of a source or of equipment: each kind in the records has one."""
    return cast("Symbol", getattr(record, "kind", ""))


def _hung(node: Node, switch: Switch) -> Node:
    return Node(
        node.tag,
        node.symbol,
        node.name,
        node.lines,
        (switch, *node.switches),
        node.children,
        node.ways,
        node.stop,
    )


def _remark(device: Device) -> str:
    normal = "closed" if device.closed else "open"
    present = device.present
    return f"now {present}" if present is not None and present not in (normal, "normal") else ""


def _bypasses(record: object) -> tuple[tuple[str, Reference | None], ...]:
    if isinstance(record, Ups):
        return (
            ("static bypass", record.static_bypass_from),
            ("maintenance bypass", record.maintenance_bypass_from),
        )
    return (("bypass", record.bypass_from),) if isinstance(record, Drive) else ()


def _rank(element: Element) -> tuple[int, int]:
    record = element.record
    if isinstance(record, Source):
        return 0, _ORDER.index(record.kind)
    return (1, 0) if element.feed is not None else (2, 0)
