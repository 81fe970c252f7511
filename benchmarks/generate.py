"""Records of a made-up portfolio of any size: the same size gives the same bytes."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

PANELS_A_BUILDING = 25
POSITIONS = 42
ROOMS_A_PANEL = 12
KINDS = ("receptacle", "lighting", "IT", "HVAC", "motor", "kitchen", "medical", "heating")
FAULT_KINDS = ("open", "ground fault", "short", "nuisance trip", "overheated termination")


def write_portfolio(folder: Path, panels: int, seed: int = 7) -> None:
    """Write records of about `panels` panelboards of 42 positions below `folder`."""
    rng = random.Random(seed)
    for number, first in enumerate(range(0, panels, PANELS_A_BUILDING)):
        count = min(PANELS_A_BUILDING, panels - first)
        building = folder / f"b{number:03d}"
        building.mkdir(parents=True)
        (building / "service.yaml").write_text("\n".join(_service(number, count)), "utf-8")
        for panel in range(count):
            text = "\n".join(_panel(panel, rng))
            (building / f"lp-{panel}.yaml").write_text(text, "utf-8")


def _service(number: int, count: int) -> Iterator[str]:
    """Yield the lines of a service: utility, generator, transfer switch, transformers, UPS, PV."""
    yield f"building: {{name: Building {number}, notify: [{{role: facilities, phone: ext. 1}}]}}"
    yield "rooms:"
    for panel in range(count):
        for room in range(ROOMS_A_PANEL):
            yield f"  R{panel}-{room}: {{name: Room {room} of panel {panel}, floor: '{panel % 4}'}}"
    yield "sources:"
    yield "  UTIL: {kind: utility, system: 480Y/277, available_fault_current: 22 kA}"
    yield "  GEN: {kind: generator, start: automatic, rating: 250 kVA}"
    yield "  PV: {kind: photovoltaic, rating: 50 kVA}"
    yield "panels:"
    yield "  MSB:"
    yield "    {kind: switchboard, system: 480Y/277, main: 1600 A, lockable: yes, fed_from: UTIL,"
    yield "     circuits: {"
    for panel in range(count):
        yield f"       {panel + 1}: {{description: feeder {panel}, device: 100 A}},"
    yield f"       {count + 1}: {{description: transfer switch, device: 400 A}},"
    yield f"       {count + 2}: {{description: array, device: 80 A, backfed_from: PV}}}}}}"
    yield "  EHP:"
    yield "    {kind: switchboard, system: 480Y/277, main: lugs, lockable: yes, fed_from: ATS,"
    yield "     circuits: {"
    for panel in range(0, count, 4):
        yield f"       {panel + 1}: {{description: feeder {panel}, device: 100 A}},"
    yield "       100: {description: UPS, device: 60 A}}}"
    yield "equipment:"
    yield f"  ATS: {{kind: transfer switch, normal_from: MSB/{count + 1}, emergency_from: GEN,"
    yield "    operation: automatic}"
    yield "  UPS: {kind: UPS, fed_from: EHP/100, ride_through: 8 min}"
    for panel in range(count):
        feeder = f"EHP/{panel + 1}" if panel % 4 == 0 else f"MSB/{panel + 1}"
        yield f"  T-{panel}: {{kind: transformer, fed_from: {feeder}, rating: 75 kVA}}"
    yield "loads:"
    for panel in range(0, count, 5):
        yield f"  RACK-{panel}: {{kind: IT, room: R{panel}-0, fed_from: [UPS, LP-{panel}/1],"
        yield "    needs: any, criticality: critical}"


def _panel(panel: int, rng: random.Random) -> Iterator[str]:
    """Yield the lines of a panelboard, of traces of its circuits, and of a fault."""
    tag = f"LP-{panel}"
    yield "panels:"
    yield f"  {tag}:"
    yield f"    kind: panelboard\n    system: 208Y/120\n    main: 225 A\n    positions: {POSITIONS}"
    yield f"    lockable: yes\n    room: R{panel}-0\n    fed_from: T-{panel}\n    circuits:"
    position = 1
    traced: list[tuple[str, list[str]]] = []
    while position <= POSITIONS - 4:
        poles = 3 if position % 12 == 7 else 1
        own = "-".join(str(position + 2 * pole) for pole in range(poles))
        # The even neighbours of a three-pole device on the odd side come as single poles.
        between = [position + 1, position + 3, position + 5] if poles == 3 else []
        for name in (own, *map(str, between)):
            loads = [f"{tag}-{name}-{index}" for index in range(rng.choice((1, 1, 2, 2)))]
            traced.append((name, loads))
            yield from _circuit(panel, name, loads, rng)
        position += 2 * poles if between else 1
    yield "traces:"
    for index, (name, loads) in enumerate(traced[::2]):
        yield f"  TR-{panel}-{index}: {{date: 2026-01-15, by: R.T.,"
        yield "    purpose: list what is downstream,"
        yield f"    circuit: {tag}/{name}, found: [{', '.join(loads)}], confirmed_by_opening: yes}}"
    yield "faults:"
    kind = rng.choice(FAULT_KINDS)
    yield f"  F-{panel}: {{kind: {kind}, circuit: {tag}/1, description: found on a round,"
    yield "    steps: [{step: found, date: 2026-02-01, by: R.T.}]}"


def _circuit(panel: int, name: str, loads: list[str], rng: random.Random) -> Iterator[str]:
    kind = rng.choice(KINDS)
    yield f"      {name}:"
    yield f"        description: {kind} {name}\n        device: 20 A"
    yield f"        conductors: {{size: 12 AWG Cu, length: {rng.randint(20, 180)} ft}}"
    # About one circuit in twenty shares its neutral with the one below it.
    if name.isdigit() and int(name) in (13, 26):
        yield f"        neutral_shared_with: [{int(name) + 2}]"
    yield "        loads:"
    for load in loads:
        room = f"R{panel}-{rng.randrange(ROOMS_A_PANEL)}"
        yield f"          {load}: {{kind: {kind}, room: {room}, power: 180 VA, quantity: 2}}"
