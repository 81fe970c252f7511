"""Where to lock to make a target dead, put together for readers."""

from __future__ import annotations

from collections.abc import Iterable

from recordgen.network.isolation import isolate, target_of
from recordgen.network.model import building_of, local
from recordgen.pages.answer_values import DownstreamAnswer, IsolationAnswer, LockLine
from recordgen.pages.known import Known
from recordgen.pages.live import live_lines
from recordgen.pages.outage_answer import outage_answer
from recordgen.records.parts import StoredEnergy


def lockout_answer(known: Known, tag: str) -> IsolationAnswer:
    """Return where to lock to make a load, circuit, equipment or panel (full tag) dead.

    Raises
    ------
    KeyError
        Nothing of that name can be isolated.
    """
    target = target_of(known.network, tag)
    found = isolate(known.portfolio.hazard, target)
    points = tuple(
        LockLine(known.device_line(p.device), p.way[0], known.devices_on(p.way))
        for p in found.points
    )
    locks = [point.device for point in found.points]
    dark = outage_answer(known, locks)
    boxes = [*target.enclosures]
    boxes += [known.network.devices[lock].enclosure for lock in locks]
    if target.kind == "circuit":
        boxes.append(known.network.devices[tag].enclosure)
    subjects = [tag, *boxes, *locks, *(known.circuits_of(tag))]
    return IsolationAnswer(
        isolation=found,
        points=points,
        ways=tuple(known.devices_on(way) for way in found.reaching),
        sources=tuple((source, known.network.sources[source].text) for source in found.sources),
        dark=dark,
        still_live=live_lines(known, locks, boxes, ()),
        stored_energy=_stored_energy(known, [tag, *found.passed], dark),
        passed=tuple(
            (device, known.network.devices[device].bars)
            for device in found.passed
            if known.network.devices[device].bars
        )
        if target.kind != "enclosure"
        else (),
        notes=tuple(_not_looked_for(known, tag)),
        stops=known.stops([*subjects, *(line.tag for line in dark.loads)]),
        doubts=known.stops([tag, *locks, *known.circuits_of(tag)]),
    )


def _stored_energy(
    known: Known, nearby: Iterable[str], dark: DownstreamAnswer
) -> tuple[tuple[str, StoredEnergy], ...]:
    """Return stored energy of the target, of what is near it, and of loads that go dark."""
    tags = dict.fromkeys([*nearby, *(line.tag for line in dark.loads)])
    found = []
    for name in tags:
        record = known.record_of(name)
        for energy in getattr(record, "stored_energy", ()) if "/" not in local(name) else ():
            found.append((name, energy))
    return tuple(found)


def _not_looked_for(known: Known, tag: str) -> Iterable[str]:
    """Yield what a sheet leans on that nobody has recorded as looked for."""
    for circuit in dict.fromkeys((tag, *known.circuits_of(tag))):
        panel, _, position = local(circuit).partition("/")
        loaded = known.portfolio.buildings[building_of(circuit)]
        record = loaded.records.panels.get(panel)
        if record is None:
            continue
        if not position:
            if record.pass_through_checked is None:
                yield f"whether conductors of other circuits pass through {panel}"
            continue
        for own, entry in record.circuits.items():
            looked_for = entry.neutral_checked or entry.neutral_shared_with
            if str(own) == position and not looked_for:
                yield f"whether {panel}/{position} shares its neutral"
    box = known.portfolio.buildings[building_of(tag)].records.equipment.get(local(tag))
    if box is not None and box.pass_through_checked is None:
        yield f"whether conductors of other circuits pass through {local(tag)}"
