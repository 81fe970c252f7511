"""What joins the buses of a pandapower net, with the switches in it, one by one."""

from dataclasses import dataclass
from typing import Any

import pandas as pd

# What the converter knows. A table of anything else that lands on a bus is refused, not skipped.
BRANCHES = {"line", "trafo", "trafo3w", "impedance", "switch"}
CONSUMERS = {
    "load": ("LD", "other"),
    "asymmetric_load": ("LA", "other"),
    "motor": ("MO", "motor"),
    "shunt": ("SH", "equipment"),
    "ward": ("WD", "other"),
    "xward": ("XW", "other"),
}
FEEDING_BACK: dict[str, tuple[str, dict[str, str]]] = {
    "sgen": ("PV", {"kind": "photovoltaic"}),
    "asymmetric_sgen": ("PA", {"kind": "photovoltaic"}),
    "storage": ("ST", {"kind": "battery storage", "stops_without_utility": "yes"}),
    "gen": ("GE", {"kind": "generator", "start": "manual"}),
}
_KNOWN = {"bus", "ext_grid", *BRANCHES, *CONSUMERS, *FEEDING_BACK}
_BUS_COLUMNS = {"bus", "from_bus", "from_bus_dc", "hv_bus", "bus_dc"}


@dataclass(frozen=True)
class Link:
    """Conductors between two things, perhaps with a transformer, and the switches at each end.

    `ends` are tags: of the panel of a bus, or of a three-winding transformer. `switches` holds
    the indexes of the switches at each end, from the end inwards.
    """

    tag: str
    ends: tuple[str, str]
    switches: tuple[tuple[int, ...], tuple[int, ...]] = ((), ())
    transformer: dict[str, str] | None = None
    length_m: float | None = None
    in_service: bool = True

    def far(self, near: str) -> str:
        return self.ends[1] if near == self.ends[0] else self.ends[0]

    def from_end(self, near: str) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """Return the switches before and behind the middle, as met on the way from an end."""
        here, there = self.switches if near == self.ends[0] else self.switches[::-1]
        return here, there[::-1]


def bus_tag(bus: int) -> str:
    return f"B-{bus}"


def refuse_what_is_not_known(net: Any) -> None:
    """Raise ValueError where the net holds what the records would be silent about."""
    for name, table in net.items():
        if not isinstance(table, pd.DataFrame) or table.empty or name.startswith(("res_", "_")):
            continue
        if name not in _KNOWN and _BUS_COLUMNS & set(table.columns):
            raise ValueError(f"no way to record the table {name} is known")
    if not net.bus.in_service.all() or not net.ext_grid.in_service.all():
        raise ValueError("buses and external grids out of service are not converted")
    if len(net.gen) and net.gen.slack.any():
        raise ValueError("generators that carry the net alone are not converted")


def links(net: Any) -> list[Link]:
    """Return every link of a net, in order of its tables."""
    found = [*_lines(net), *_impedances(net), *_transformers(net), *_three_winding(net)]
    found += [
        # Where the switch sits between the two buses says nothing about sides; see `conversion`.
        Link(f"BB-{index}", (bus_tag(row.bus), bus_tag(row.element)), ((int(index),), ()))
        for index, row in net.switch[net.switch.et == "b"].iterrows()
    ]
    counted = [index for link in found for side in link.switches for index in side]
    if sorted(counted) != sorted(int(index) for index in net.switch.index):
        raise ValueError("a switch stands at no end of what it is said to switch")
    if any(link.ends[0] == link.ends[1] for link in found):
        raise ValueError("a branch joins a bus with itself")
    return found


def _at_end(net: Any, kind: str, element: int, bus: int) -> tuple[int, ...]:
    table = net.switch
    here = (table.et == kind) & (table.element == element) & (table.bus == bus)
    return tuple(int(index) for index in table.index[here])


def _lines(net: Any) -> list[Link]:
    return [
        Link(
            f"LN-{index}",
            (bus_tag(row.from_bus), bus_tag(row.to_bus)),
            (_at_end(net, "l", index, row.from_bus), _at_end(net, "l", index, row.to_bus)),
            length_m=row.length_km * 1000,
            in_service=bool(row.in_service),
        )
        for index, row in net.line.iterrows()
    ]


def _impedances(net: Any) -> list[Link]:
    return [
        Link(
            f"IM-{index}",
            (bus_tag(row.from_bus), bus_tag(row.to_bus)),
            in_service=bool(row.in_service),
        )
        for index, row in net.impedance.iterrows()
    ]


def _transformers(net: Any) -> list[Link]:
    return [
        Link(
            f"TR-{index}",
            (bus_tag(row.hv_bus), bus_tag(row.lv_bus)),
            (_at_end(net, "t", index, row.hv_bus), _at_end(net, "t", index, row.lv_bus)),
            transformer={
                "kind": "transformer",
                "rating": f"{row.sn_mva * 1000:.6g} kVA",
                "primary": f"{row.vn_hv_kv:g} kV three-phase",
                "secondary": f"{row.vn_lv_kv:g} kV three-phase",
                "impedance": f"{row.vk_percent:g} %",
            },
            in_service=bool(row.in_service),
        )
        for index, row in net.trafo.iterrows()
    ]


def _three_winding(net: Any) -> list[Link]:
    """Return a link from each winding's bus to the transformer, which stands in the middle."""
    return [
        Link(
            f"TW-{index}-{side}",
            (bus_tag(row[f"{side}_bus"]), f"TW-{index}"),
            (_at_end(net, "t3", index, row[f"{side}_bus"]), ()),
            in_service=bool(row.in_service),
        )
        for index, row in net.trafo3w.iterrows()
        for side in ("hv", "mv", "lv")
    ]
