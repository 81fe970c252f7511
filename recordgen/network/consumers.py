"""Loads, as points, zones and local disconnects of the network."""

from __future__ import annotations

from recordgen.network.draft import Draft, terminals, why_no_lock
from recordgen.network.model import Device, NetworkLoad, NetworkSource
from recordgen.network.references import Target
from recordgen.problems import Location, Problem
from recordgen.records.loader import LoadedBuilding
from recordgen.records.supply import Load

Path = tuple[str, ...]


def add_loads(draft: Draft, loaded: LoadedBuilding) -> None:
    """Add every load of a building, those written in circuits and those with feeds of their own."""
    for tag, recorded in loaded.loads.items():
        path = recorded.path
        place = loaded.where_key(path[0], path[1], *path[2:])
        _add_load(draft, loaded, _Named(tag, recorded.load, path, place), recorded.circuit)


class _Named:
    def __init__(self, tag: str, load: Load, path: Path, place: Location) -> None:
        self.tag, self.load, self.path, self.place = tag, load, path, place


def _add_load(draft: Draft, loaded: LoadedBuilding, named: _Named, circuit: str | None) -> None:
    full = f"{loaded.id}:{named.tag}"
    load = named.load
    feeds = [Target(circuit, circuit)] if circuit else _feeds(draft, loaded, named)
    if circuit and load.fed_from is not None:
        draft.problems.append(_fed_twice(loaded, named, circuit))
    points = [_land(draft, loaded, named, target, index) for index, target in enumerate(feeds)]
    if not points:
        points = [draft.points.add(full, full, "supply terminals")]
        if not load.fed_from:
            draft.sources[f"{full}/unknown-source"] = NetworkSource(
                f"{full}/unknown-source",
                "unknown",
                (full,),
                named.place,
                f"what feeds {named.tag}: not recorded",
            )
    control = draft.control_power(loaded, full, load.control_power_from, named.path)
    several = len(points) > 1
    any_one = not several or load.needs == "any"
    groups = (tuple(points),) if any_one else tuple((point,) for point in points)
    if several and not any_one:
        # Legs of one supply meet inside the load; where it is not recorded whether they do, they
        # count as if they did.
        draft.couplings.extend(("through a load", points[0], point) for point in points[1:])
    draft.loads[full] = NetworkLoad(
        tag=full,
        groups=groups + tuple((point,) for point in control),
        circuits=tuple(target.tag for target in feeds),
        zones=(*points, *control),
        place=named.place,
        legs_together=several
        and load.needs == "all"
        and len({target.tag.split("/")[0] for target in feeds}) == 1,
        line_to_line=_stands_between_lines(loaded, load, feeds[0].tag if feeds else ""),
    )


def _stands_between_lines(loaded: LoadedBuilding, load: Load, feed: str) -> bool:
    """Say whether the recorded voltage is that between the ungrounded conductors of its feed."""
    building, _, tag = feed.split("/")[0].partition(":")
    panel = loaded.records.panels.get(tag) if building == loaded.id else None
    equipment = loaded.records.equipment.get(tag) if building == loaded.id else None
    system = panel.system if panel is not None else getattr(equipment, "secondary", None)
    return system is not None and load.voltage_v == system.line_v


def _fed_twice(loaded: LoadedBuilding, named: _Named, circuit: str) -> Problem:
    return Problem(
        "error",
        "fed-twice",
        f"{named.tag} is written in circuit {circuit.partition(':')[2]} and has `fed_from` too",
        loaded.where_key(named.path[0], named.path[1], *named.path[2:], "fed_from"),
        "one fact in one place: drop `fed_from`, or move the load to the `loads` section",
    )


def _feeds(draft: Draft, loaded: LoadedBuilding, named: _Named) -> list[Target]:
    found = []
    references = named.load.fed_from or ()
    for index, reference in enumerate(references):
        steps = ("fed_from", index) if len(references) > 1 else ("fed_from",)
        place = loaded.where(named.path[0], named.path[1], *named.path[2:], *steps)
        target = draft.resolver.resolve(reference, loaded.id, place)
        if target is not None:
            found.append(target)
            draft.feeds.append((target.tag, f"{loaded.id}:{named.tag}", place))
    return found


def _land(draft: Draft, loaded: LoadedBuilding, named: _Named, target: Target, index: int) -> str:
    """Bring one feed to the load's terminals, through its local disconnect if it is the first."""
    full = f"{loaded.id}:{named.tag}"
    own = full if index == 0 else f"{full}/feed-{index + 1}"
    label = "supply terminals" if index == 0 else f"supply terminals, feed {index + 1}"
    draft.points.add(own, full, label)
    switch = named.load.local_disconnect
    if switch is None or index > 0:
        draft.joins.append((own, target.point))
        return own
    box = f"{full}/disconnect"
    line = draft.points.add(f"{box}/line", box, "line terminals")
    draft.points.add(f"{box}/load", box, "load terminals")
    draft.joins += [(line, target.point), (f"{box}/load", own)]
    rating = switch.rating_a.written if switch.rating_a is not None else ""
    draft.devices[box] = Device(
        tag=box,
        kind="local disconnect",
        terminals=terminals(("line", line), ("load", f"{box}/load")),
        enclosure=box,
        place=loaded.where(named.path[0], named.path[1], *named.path[2:], "local_disconnect"),
        locks_open=switch.lockable,
        bars=why_no_lock(switch.lockable, electrically_operated=False, draw_out=False),
        rating=f"{rating} {switch.kind}".strip(),
        title=f"disconnect at {named.tag}",
    )
    return own
