"""Panels and their circuits, as points and devices of the network."""

from __future__ import annotations

from recordgen.network.draft import Draft, terminals, why_no_lock
from recordgen.network.model import NO_LEGS, Device, Legs
from recordgen.network.poles import legs_of
from recordgen.problems import Problem
from recordgen.records import parts
from recordgen.records.loader import LoadedBuilding
from recordgen.records.phase import Numbering, position_phase
from recordgen.records.positions import Position
from recordgen.records.supply import Circuit, Panel


def add_panels(draft: Draft, loaded: LoadedBuilding) -> None:
    """Add every panel of a building: line terminals, main device, bus, circuits."""
    for tag, panel in loaded.records.panels.items():
        owner = f"{loaded.id}:{tag}"
        line = draft.points.add(f"{owner}/line", owner, "line terminals")
        bus = draft.points.add(f"{owner}/bus", owner, "bus")
        draft.system_at(panel.system, line, bus)
        _add_main(draft, loaded, tag, panel)
        draft.feed(loaded, owner, line, panel.fed_from, ("panels", tag, "fed_from"))
        draft.temporary(loaded, bus, panel.temporary_feeds, ("panels", tag))
        draft.crossed(loaded, owner, panel.crossed_by, ("panels", tag))
        for position, circuit in panel.circuits.items():
            if not circuit.space:
                _add_circuit(draft, loaded, tag, panel, position, circuit)


def _add_main(draft: Draft, loaded: LoadedBuilding, tag: str, panel: Panel) -> None:
    owner = f"{loaded.id}:{tag}"
    main = panel.main_device
    if main is None:
        # Lugs, or nothing recorded: either way no device is known to be in between.
        draft.joins.append((f"{owner}/line", f"{owner}/bus"))
        return
    locks_open = panel.locks_open(main)
    draft.devices[f"{owner}/main"] = Device(
        tag=f"{owner}/main",
        kind="main device",
        terminals=terminals(("line", f"{owner}/line"), ("load", f"{owner}/bus")),
        enclosure=owner,
        place=loaded.where("panels", tag, "main"),
        present=panel.main_present.position if panel.main_present else None,
        locks_open=locks_open,
        poles=main.poles,
        bars=_bars(main, locks_open),
        rating=rating_text(main, main.poles),
        title=f"main device of {tag}",
    )


def _bars(device: parts.Device, locks_open: bool | None) -> str:
    if device.kind == "contactor":
        return "a contactor does not isolate"
    return why_no_lock(
        locks_open,
        electrically_operated=device.electrically_operated,
        draw_out=bool(device.draw_out),
    )


def rating_text(device: parts.Device | None, poles: int | None) -> str:
    """Return a device's rating, poles and kind as pages show them, without what is not recorded."""
    if device is None:
        return ""
    found = [device.rating_a.written] if device.rating_a is not None else []
    if poles:
        found.append(f"{poles}P")
    if device.kind != "breaker":
        found.append(device.kind)
    return " ".join(found)


def _add_circuit(
    draft: Draft,
    loaded: LoadedBuilding,
    tag: str,
    panel: Panel,
    position: Position,
    circuit: Circuit,
) -> None:
    owner = f"{loaded.id}:{tag}"
    own = f"{owner}/{position}"
    path = ("panels", tag, "circuits", str(position))
    draft.points.add(own, owner, f"load terminals of {position}")
    device = circuit.device
    poles = (device.poles if device else None) or (
        None if panel.counts_by_device else len(position.slots)
    )
    if poles is not None:
        draft.circuit_conductors[own] = poles
    locks_open = panel.locks_open(device) if device else panel.lockable
    draft.devices[own] = Device(
        tag=own,
        kind="circuit device",
        terminals=terminals(("line", f"{owner}/bus"), ("load", own)),
        enclosure=owner,
        place=loaded.where_key(*path),
        closed=circuit.normal == "closed",
        present=circuit.present.position if circuit.present else None,
        locks_open=locks_open,
        poles=poles,
        bars=_bars(device or parts.Device(), locks_open),
        legs=legs_at(panel, position),
        bus_legs=legs_of(panel.system),
        opens_with=_tied(draft, loaded, path, circuit),
        rating=rating_text(device, poles),
        title=circuit.description or ("spare" if circuit.spare else ""),
    )
    if circuit.backfed_from is not None:
        place = loaded.where(*path, "backfed_from")
        target = draft.resolver.resolve(circuit.backfed_from, loaded.id, place)
        if target is not None:
            draft.joins.append((own, target.point))
    _share_neutral(draft, loaded, path, circuit, own)
    if circuit.loads_unknown or (circuit.loads is None and not circuit.spare):
        draft.unknown_load_circuits[own] = circuit.loads_unknown


def legs_at(panel: Panel, position: Position) -> Legs:
    """Return the conductors that a position takes; none where the record does not tell."""
    if panel.counts_by_device or panel.system is None:
        return NO_LEGS
    numbering: Numbering = "odd left"
    if panel.numbering == "down the columns":
        numbering = "down the columns"
    phases = [
        position_phase(number, panel.system.phases, numbering, panel.positions)
        for number in position.numbers
    ]
    if None in phases:
        return NO_LEGS
    return sum(1 << "ABC".index(phase) for phase in set(phases) if phase)


def _tied(
    draft: Draft, loaded: LoadedBuilding, path: tuple[str, str, str, str], circuit: Circuit
) -> tuple[str, ...]:
    """Return the neighbours whose handles are tied to a circuit's."""
    found = []
    own = f"{loaded.id}:{path[1]}/{path[3]}"
    for index, reference in enumerate(circuit.handle_tied_with):
        place = loaded.where(*path, "handle_tied_with", index)
        target = draft.resolver.resolve_neighbour(reference, loaded, path[1], place)
        if target == own:
            message = f"position {path[3]} is said to be tied to itself"
            hint = "name the other circuit whose handle is tied to this one"
            draft.problems.append(Problem("error", "refers-to-itself", message, place, hint))
        elif target is not None:
            found.append(target)
    return tuple(dict.fromkeys(found))


def _share_neutral(
    draft: Draft,
    loaded: LoadedBuilding,
    path: tuple[str, str, str, str],
    circuit: Circuit,
    own: str,
) -> None:
    for index, reference in enumerate(circuit.neutral_shared_with):
        place = loaded.where(*path, "neutral_shared_with", index)
        target = draft.resolver.resolve(reference, loaded.id, place, panel=path[1])
        if target is not None and target.tag == own:
            message = f"position {path[3]} is said to share its neutral with itself"
            hint = "name the other circuit of the shared neutral"
            draft.problems.append(Problem("error", "refers-to-itself", message, place, hint))
        elif target is not None:
            draft.couplings.append(("shared neutral", own, target.point))
