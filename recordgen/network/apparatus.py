"""Sources and equipment, as points and devices of the network."""

from __future__ import annotations

from recordgen.network.draft import Draft, terminals, why_no_lock
from recordgen.network.model import ALL_LEGS, Device, NetworkSource, Role
from recordgen.network.poles import has_neutral, legs_of
from recordgen.problems import Problem
from recordgen.records.equipment import (
    BusTie,
    Disconnect,
    Drive,
    JunctionBox,
    Starter,
    TransferSwitch,
    Transformer,
    Ups,
)
from recordgen.records.loader import LoadedBuilding
from recordgen.records.positions import Reference

_DOES_NOT_ISOLATE = {
    "transformer": "a transformer passes energy both ways",
    "transfer switch": "a transfer switch does not isolate",
    "UPS": "a UPS passes energy every way and has a battery",
    "motor starter": "a starter does not isolate",
    "variable-frequency drive": "a drive does not isolate",
}


def add_sources(draft: Draft, loaded: LoadedBuilding) -> None:
    """Add the sources of a building."""
    for tag, source in loaded.records.sources.items():
        full = f"{loaded.id}:{tag}"
        draft.points.add(full, full, "terminals")
        draft.system_at(source.system, full)
        starts = source.kind == "utility" or source.start == "automatic"
        # Alone, photovoltaic and storage that stop with the utility, and what has to be brought
        # and connected first, keep nothing running; not recorded counts as stopping.
        carries = source.kind in ("utility", "generator") or (
            source.kind == "battery storage" and source.stops_without_utility is False
        )
        draft.sources[full] = NetworkSource(
            tag=full,
            kind=source.kind,
            zones=(full,),
            place=loaded.where("sources", tag),
            text=source.name or source.kind,
            legs=legs_of(source.system),
            neutral=has_neutral(source.system),
            starts_by_itself=starts,
            carries_load=carries,
            operator=source.operator,
        )


def add_equipment(draft: Draft, loaded: LoadedBuilding) -> None:
    """Add the equipment of a building."""
    for tag, equipment in loaded.records.equipment.items():
        owner = f"{loaded.id}:{tag}"
        path = ("equipment", tag)
        match equipment:
            case JunctionBox():
                draft.points.add(owner, owner, "conductors")
                draft.feed(loaded, owner, owner, equipment.fed_from, (*path, "fed_from"))
            case BusTie():
                _add_tie(draft, loaded, tag, equipment)
            case TransferSwitch():
                _add_transfer_switch(draft, loaded, tag, equipment)
            case _:
                _add_fed(draft, loaded, tag, equipment)
        draft.temporary(loaded, owner, equipment.temporary_feeds, path)
        draft.crossed(loaded, owner, equipment.crossed_by, path)


def _add_fed(
    draft: Draft,
    loaded: LoadedBuilding,
    tag: str,
    equipment: Transformer | Ups | Disconnect | Starter | Drive,
) -> None:
    owner = f"{loaded.id}:{tag}"
    path = ("equipment", tag)
    names = {"transformer": ("primary", "secondary"), "UPS": ("input", "output")}
    line_name, load_name = names.get(equipment.kind, ("line terminals", "load terminals"))
    line = draft.points.add(f"{owner}/line", owner, line_name)
    draft.points.add(owner, owner, load_name)
    draft.feed(loaded, owner, line, equipment.fed_from, (*path, "fed_from"))
    ends: list[tuple[Role, str]] = [("line", line), ("load", owner)]
    if isinstance(equipment, Transformer):
        draft.system_at(equipment.primary, line)
        draft.system_at(equipment.secondary, owner)
    if isinstance(equipment, Ups):
        ends += _ups_bypasses(draft, loaded, tag, equipment)
        battery = f"{owner}/battery"
        text = f"battery of {tag}"
        place = loaded.where(*path)
        draft.sources[battery] = NetworkSource(battery, "UPS battery", (owner,), place, text)
    if isinstance(equipment, Drive) and equipment.bypass_from is not None:
        ends += _side(draft, loaded, tag, "bypass", equipment.bypass_from, "bypass_from")
    if isinstance(equipment, Disconnect):
        _add_disconnect(draft, loaded, tag, equipment, ends)
        return
    if isinstance(equipment, Starter):
        draft.control_power(loaded, owner, equipment.control_power_from, path)
    draft.devices[owner] = Device(
        tag=owner,
        kind=equipment.kind,
        terminals=terminals(*ends),
        enclosure=owner,
        place=loaded.where(*path),
        present=equipment.present.position if equipment.present else None,
        locks_open=False,
        bars=_DOES_NOT_ISOLATE[equipment.kind],
        automatic=equipment.kind == "UPS",
        makes=legs_of(equipment.secondary) if isinstance(equipment, Transformer) else ALL_LEGS,
        line_makes=legs_of(equipment.primary) if isinstance(equipment, Transformer) else ALL_LEGS,
        makes_neutral=isinstance(equipment, Transformer) and has_neutral(equipment.secondary),
        rating=_rating(equipment),
        title=equipment.name or equipment.kind,
    )


def _rating(equipment: Transformer | Ups | Starter | Drive) -> str:
    if isinstance(equipment, Transformer | Ups):
        return equipment.rating_va.written if equipment.rating_va is not None else ""
    return equipment.rating_w.written if equipment.rating_w is not None else ""


def _side(
    draft: Draft, loaded: LoadedBuilding, tag: str, role: Role, reference: Reference, key: str
) -> list[tuple[Role, str]]:
    owner = f"{loaded.id}:{tag}"
    point = draft.points.add(f"{owner}/{role}", owner, f"{role} terminals")
    draft.feed(loaded, owner, point, (reference,), ("equipment", tag, key))
    return [(role, point)]


def _ups_bypasses(
    draft: Draft, loaded: LoadedBuilding, tag: str, ups: Ups
) -> list[tuple[Role, str]]:
    ends: list[tuple[Role, str]] = []
    if ups.static_bypass_from is not None:
        ends += _side(draft, loaded, tag, "bypass", ups.static_bypass_from, "static_bypass_from")
    if ups.maintenance_bypass_from is not None:
        key = "maintenance_bypass_from"
        ends += _side(draft, loaded, tag, "maintenance", ups.maintenance_bypass_from, key)
    return ends


def _add_disconnect(
    draft: Draft,
    loaded: LoadedBuilding,
    tag: str,
    switch: Disconnect,
    ends: list[tuple[Role, str]],
) -> None:
    owner = f"{loaded.id}:{tag}"
    racks_out = bool(switch.draw_out)
    usable = not switch.electrically_operated or racks_out
    locks_open = switch.lockable if usable else False
    rating = [switch.rating_a.written] if switch.rating_a is not None else []
    rating += [f"{switch.poles}P"] if switch.poles else []
    rating += [f"fused {switch.fuse_a.written}"] if switch.fuse_a is not None else []
    draft.devices[owner] = Device(
        tag=owner,
        kind="disconnect",
        terminals=terminals(*ends),
        enclosure=owner,
        place=loaded.where("equipment", tag),
        poles=switch.poles,
        closed=switch.normal == "closed",
        present=switch.present.position if switch.present else None,
        locks_open=locks_open,
        bars=why_no_lock(
            locks_open,
            electrically_operated=switch.electrically_operated,
            draw_out=racks_out,
        ),
        rating=" ".join(rating),
        title=switch.name or "disconnect",
    )


def _add_transfer_switch(
    draft: Draft, loaded: LoadedBuilding, tag: str, switch: TransferSwitch
) -> None:
    owner = f"{loaded.id}:{tag}"
    draft.points.add(owner, owner, "load terminals")
    ends = _side(draft, loaded, tag, "normal", switch.normal_from, "normal_from")
    ends += _side(draft, loaded, tag, "emergency", switch.emergency_from, "emergency_from")
    draft.devices[owner] = Device(
        tag=owner,
        kind="transfer switch",
        terminals=terminals(*ends, ("output", owner)),
        enclosure=owner,
        place=loaded.where("equipment", tag),
        present=switch.present.position if switch.present else None,
        locks_open=False,
        bars=_DOES_NOT_ISOLATE["transfer switch"],
        automatic=switch.operation == "automatic",
        neutral_follows=switch.neutral != "solid",
        rating=switch.rating_a.written if switch.rating_a is not None else "",
        title=switch.name or f"{switch.operation or ''} transfer switch".strip(),
    )


def _add_tie(draft: Draft, loaded: LoadedBuilding, tag: str, tie: BusTie) -> None:
    owner = f"{loaded.id}:{tag}"
    ends: list[tuple[Role, str]] = []
    reached = []
    for index, (role, reference) in enumerate(zip(("a", "b"), tie.between, strict=True)):
        point = draft.points.add(f"{owner}/{role}", owner, f"side {role.upper()} terminals")
        place = loaded.where("equipment", tag, "between", index)
        target = draft.resolver.resolve_bus(reference, loaded.id, place)
        if target is not None:
            draft.joins.append((point, target.point))
            reached.append(target.tag)
        ends.append(("a" if role == "a" else "b", point))
    if len(reached) == 2 and reached[0] == reached[1]:
        place = loaded.where("equipment", tag, "between")
        message = f"the tie {tag} joins {reached[0].partition(':')[2]} with itself"
        hint = "name the two buses that it joins"
        draft.problems.append(Problem("error", "refers-to-itself", message, place, hint))
    racks_out = bool(tie.draw_out)
    locks_open = tie.lockable if racks_out or not tie.electrically_operated else False
    draft.devices[owner] = Device(
        tag=owner,
        kind="bus tie",
        terminals=terminals(*ends),
        enclosure=owner,
        place=loaded.where("equipment", tag),
        closed=tie.normal == "closed",
        present=tie.present.position if tie.present else None,
        locks_open=locks_open,
        bars=why_no_lock(
            locks_open,
            electrically_operated=tie.electrically_operated,
            draw_out=racks_out,
        ),
        automatic=tie.operation == "automatic",
        neutral_follows=True,
        rating=tie.rating_a.written if tie.rating_a is not None else "",
        title=tie.name or "bus tie",
    )
