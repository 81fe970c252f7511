"""What happens when devices are opened, put together for readers."""

from __future__ import annotations

from collections.abc import Iterable

from recordgen.network.downstream import Affected, downstream
from recordgen.network.impaired import Impaired
from recordgen.network.model import building_of, local
from recordgen.network.opening import opening_of, split_conductor
from recordgen.network.outcomes import OUTCOMES
from recordgen.network.ways import Positions
from recordgen.pages.answer_values import GRAVE, DownstreamAnswer, LeaningLine, LoadLine, Notice
from recordgen.pages.known import Known
from recordgen.pages.live import live_lines
from recordgen.pages.wording import NEUTRAL_LIVE


def outage_answer(
    known: Known, tags: Iterable[str], positions: Positions = "normal"
) -> DownstreamAnswer:
    """Return what happens when devices, or single conductors of them, are opened (full tags)."""
    portfolio, network = known.portfolio, known.network
    supply = portfolio.supply if positions == "normal" else portfolio.present_supply
    found = downstream(supply, portfolio.hazard, tags)
    opening = opening_of(network, found.opened)
    devices = [split_conductor(network, tag)[0] for tag in found.opened] + [*found.tied]
    loads = tuple(sorted((_load_line(known, a) for a in found.affected), key=_gravity))
    boxes = [network.devices[tag].enclosure for tag in devices]
    subjects = [*devices, *boxes, *found.unknown_loads, *(line.tag for line in loads)]
    buildings = {building_of(tag) for tag in devices}
    own = [tag for tag in devices if tag in opening.whole or tag in opening.partial]
    neutrals = [tag for tag in devices if tag in opening.neutrals]
    return DownstreamAnswer(
        opened=tuple(known.opened_line(tag) for tag in found.opened),
        positions=positions,
        loads=loads,
        unknown_loads=found.unknown_loads,
        nowhere=tuple(
            tag for building, tags in known.nowhere.items() if building in buildings for tag in tags
        ),
        still_live=live_lines(known, opening.whole, boxes, own, neutrals),
        notify=_notify(known, devices, loads),
        stops=known.stops(subjects, devices),
        tied=tuple(known.device_line(tag) for tag in found.tied),
        leaning=tuple(_leaning_line(known, one) for one in found.impaired),
    )


def _leaning_line(known: Known, one: Impaired) -> LeaningLine:
    source = known.network.sources.get(one.tag)
    if source is not None:
        return LeaningLine(one.tag, source.text, True, one.needs)
    load = known.load(one.tag)
    return LeaningLine(one.tag, load.description or load.kind, False, one.needs)


def _load_line(known: Known, affected: Affected) -> LoadLine:
    load = known.load(affected.load)
    return LoadLine(
        tag=affected.load,
        kind=load.kind,
        description=load.description or "",
        room=load.room or "",
        circuits=known.network.loads[affected.load].circuits,
        outcome=affected.outcome,
        detail=_detail(known, affected),
        again=affected.again,
        grade=known.portfolio.grades.of_load(affected.load),
        criticality=load.criticality or "",
        stop=bool(known.stops([affected.load])),
    )


def _detail(known: Known, affected: Affected) -> str:
    if affected.floating:
        return NEUTRAL_LIVE
    texts = []
    for tag in affected.carried_by:
        record = known.record_of(tag)
        minutes = getattr(record, "ride_through_min", None)
        how_long = minutes.written if minutes is not None else "time not recorded"
        texts.append(f"{local(tag)}: {how_long}")
    return "; ".join(texts)


def _notify(known: Known, opened: Iterable[str], loads: Iterable[LoadLine]) -> tuple[Notice, ...]:
    """Return whom to tell, everyone once: those named for a load first."""
    named: dict[tuple[str, str], list[str]] = {}
    buildings = dict.fromkeys(building_of(tag) for tag in opened)
    for line in loads:
        building = building_of(line.tag)
        buildings.setdefault(building)
        for role in known.load(line.tag).notify:
            named.setdefault((building, role), []).append(local(line.tag))
    contacts = {
        (building, contact.role.lower()): contact
        for building in buildings
        for contact in known.portfolio.buildings[building].records.building.notify
    }
    found = []
    for (building, role), tags in named.items():
        contact = contacts.pop((building, role.lower()), None)
        when = f"{contact.when}; " if contact is not None and contact.when else ""
        phone = (contact.phone if contact is not None else None) or ""
        found.append(Notice(building, role, phone, f"{when}for {', '.join(tags)}"))
    for (building, _), contact in contacts.items():
        when = contact.when or "any outage"
        found.append(Notice(building, contact.role, contact.phone or "", when))
    return tuple(found)


def _gravity(line: LoadLine) -> tuple[int, int]:
    grave = GRAVE.index(line.criticality) if line.criticality in GRAVE else len(GRAVE)
    return grave, OUTCOMES.index(line.outcome)
