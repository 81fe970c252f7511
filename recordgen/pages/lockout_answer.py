"""Where to lock to make a target dead, put together for readers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from recordgen.network.isolation import Isolation, IsolationTarget, LockPoint, isolate, target_of
from recordgen.network.model import Coupling, building_of, local
from recordgen.pages.answer_values import DownstreamAnswer
from recordgen.pages.dead_test import points_to_test
from recordgen.pages.known import Known
from recordgen.pages.live import live_lines
from recordgen.pages.lock_remarks import lock_hardware, lock_notes, notes_on
from recordgen.pages.lockout_facts import LockoutFacts, goes_dark
from recordgen.pages.lockout_values import Elsewhere, Fewest, IsolationAnswer, LockLine, ProofLine
from recordgen.pages.locks_in_force import locks_on
from recordgen.pages.outage_answer import outage_answer
from recordgen.pages.self_acting import self_acting
from recordgen.pages.temporary import temporary_on
from recordgen.records.parts import StoredEnergy


def lockout_answer(known: Known, facts: LockoutFacts, tags: Iterable[str]) -> IsolationAnswer:
    """Return where to lock to make loads, circuits, equipment or panels (full tags) dead together.

    Raises
    ------
    KeyError
        Nothing of that name can be isolated.
    """
    network = known.network
    target = target_of(network, *tags)
    found = isolate(known.portfolio.hazard, target)
    between = known.portfolio.hazard.between(target.zones)
    locks = [point.device for point in found.points]
    dark = outage_answer(known, locks)
    circuits = [circuit for tag in target.tags for circuit in known.circuits_of(tag)]
    own = [network.devices[t].enclosure for t in target.tags if t not in target.enclosures]
    boxes = [*target.enclosures, *(network.devices[lock].enclosure for lock in locks), *own]
    subjects = [*target.tags, *boxes, *locks, *circuits]
    return IsolationAnswer(
        isolation=found,
        points=tuple(_lock_line(known, facts, point) for point in found.points),
        ways=tuple(known.devices_on(way) for way in found.reaching),
        proof=tuple(_proof(known, found)),
        fewest=_fewest(known, facts, found, dark),
        dark=dark,
        self_acting=self_acting(facts.self_acting, found, between),
        elsewhere=tuple(
            Elsewhere(tag, where, "; ".join(text for _, text in locks_on(facts.in_force, [tag])))
            for tag, where in facts.elsewhere.items()
            if between.holds(tag)
        ),
        temporary=tuple(temporary_on(known, facts.temporary, between)),
        acting=tuple(_acting(known, found)),
        crossing=tuple(_crossing(known, target)),
        in_force=tuple(locks_on(facts.in_force, [*target.tags, *circuits])),
        test_points=points_to_test(network, facts.conductors, target, known.circuits_at),
        still_live=live_lines(known, locks, boxes, ()),
        stored_energy=tuple(_stored_energy(facts, found, dark)),
        passed=tuple(_passed(known, found)),
        remarks=tuple(dict.fromkeys(note for tag in target.tags for note in notes_on(known, tag))),
        notes=tuple(_not_looked_for(known, [*target.tags, *circuits])),
        stops=known.stops([*subjects, *(line.tag for line in dark.loads)], locks),
        doubts=known.stops([*target.tags, *locks, *circuits]),
    )


def _lock_line(known: Known, facts: LockoutFacts, point: LockPoint) -> LockLine:
    return LockLine(
        device=known.device_line(point.device),
        source=point.way[0],
        way=known.devices_on(point.way),
        because=_because(known, point),
        in_force="; ".join(text for _, text in locks_on(facts.in_force, [point.device])),
        hardware=lock_hardware(known, point.device),
        notes=lock_notes(known, point.device),
    )


def _because(known: Known, point: LockPoint) -> str:
    """Return which shared neutrals make a lock necessary, in words; empty where none does."""
    couplings = [known.network.couplings[n] for n in point.inward if n in known.network.couplings]
    shared = [coupling for coupling in couplings if coupling.kind == "shared neutral"]
    if not shared:
        return ""
    zones = [zone for zone in point.inward if zone in known.network.zones]
    own = [known.network.circuit_zone.get(point.device)]
    texts: list[str] = []
    for coupling in shared:
        outer, inner = sorted(coupling.zones, key=zones.index)
        there, here = _circuits(known, outer, coupling), _circuits(known, inner, coupling)
        texts.append(
            f"shares its neutral with {here}"
            if outer in own and not texts
            else f"{there} shares its neutral with {here}"
        )
    return "; ".join(texts)


def _circuits(known: Known, zone: str, coupling: Coupling) -> str:
    """Return the circuits whose conductors a zone is; the coupling's own text where none is."""
    return ", ".join(map(local, known.circuits_at.get(zone, ()))) or coupling.text


def _proof(known: Known, found: Isolation) -> Iterator[ProofLine]:
    for line in found.proof:
        what = known.network.sources[line.source].text
        yield ProofLine(line.source, what, known.devices_on(line.way), line.broken_by)


def _fewest(
    known: Known, facts: LockoutFacts, found: Isolation, near: DownstreamAnswer
) -> Fewest | None:
    if len(found.fewest) >= len(found.points):
        return None
    dark = facts.dark(found.fewest)
    anyway = (line.tag for line in near.loads if goes_dark(line.outcome))
    return Fewest(
        devices=tuple(map(known.device_line, found.fewest)),
        dark=dark.keys(),
        dark_anyway=frozenset(tag for tag in anyway if tag in dark),
    )


def _acting(known: Known, found: Isolation) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield each source that no lock stops, and the devices right behind it."""
    network = known.network
    for line in found.proof:
        source = network.sources[line.source]
        if line.broken_by is not None or source.kind == "unknown":
            continue
        ups = source.tag.removesuffix("/battery")
        if source.kind == "UPS battery" and ups in network.devices:
            yield source.tag, (ups,)
        else:
            behind = (near for zone in source.zones for near in network.hazard[zone])
            yield source.tag, tuple(dict.fromkeys(tag for tag in behind if tag in network.devices))


def _crossing(known: Known, target: IsolationTarget) -> Iterator[tuple[str, str]]:
    for tag in target.enclosures:
        for zone in known.network.enclosures[tag].crossing:
            named = known.circuits_at.get(zone, ())
            names = [
                f"{local(circuit) if building_of(circuit) == target.home else circuit}"
                f"{f' ({title})' if (title := known.network.devices[circuit].title) else ''}"
                for circuit in named
            ]
            yield tag, ", ".join(names) or "conductors of no recorded circuit"


def _passed(known: Known, found: Isolation) -> Iterator[tuple[str, str]]:
    # In a whole enclosure its own devices are no news; those beyond it are.
    boxes = set(found.target.enclosures)
    for tag in found.passed:
        device = known.network.devices[tag]
        if device.bars and (device.enclosure not in boxes or found.target.kind != "enclosure"):
            yield tag, device.bars


def _stored_energy(
    facts: LockoutFacts, found: Isolation, dark: DownstreamAnswer
) -> Iterator[tuple[str, StoredEnergy]]:
    """Yield stored energy of the target, of what is near it, and of loads that go dark."""
    near = [*found.target.tags, *found.passed, *facts.energy_within(found.target.zones)]
    for tag in dict.fromkeys([*near, *(line.tag for line in dark.loads)]):
        for energy in facts.energy_of(tag):
            yield tag, energy


def _not_looked_for(known: Known, tags: Iterable[str]) -> Iterator[str]:
    """Yield what a sheet leans on that nobody has recorded as looked for."""
    for tag in dict.fromkeys(tags):
        name, _, position = local(tag).partition("/")
        records = known.portfolio.buildings[building_of(tag)].records
        panel, equipment = records.panels.get(name), records.equipment.get(name)
        if panel is not None and position:
            for own, entry in panel.circuits.items():
                looked_for = entry.neutral_checked or entry.neutral_shared_with
                if str(own) == position and not looked_for:
                    yield f"whether {name}/{position} shares its neutral"
        box = equipment if panel is None else panel
        if box is not None and not position and box.pass_through_checked is None:
            yield f"whether conductors of other circuits pass through {name}"
