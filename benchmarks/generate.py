"""Records of a made-up portfolio of any size: the same size gives the same bytes."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

PANELS_A_BUILDING = 25
POSITIONS = 42
ROOMS_A_PANEL = 12
KINDS = ("receptacle", "lighting", "IT", "HVAC", "motor", "kitchen", "medical", "heating")
FAULT_KINDS = ("open", "ground fault", "short", "nuisance trip", "overheated termination")


@dataclass(frozen=True)
class Building:
    """One building: its id, and how many lighting panels it has."""

    number: int
    panels: int

    @property
    def id(self) -> str:
        return f"b{self.number:03d}"

    @property
    def feed(self) -> str:
        """What feeds it: a service of its own, or every fourth time the building before it."""
        return f"b{self.number - 1:03d}:MSB/62" if self.number % 4 == 3 else "UTIL"

    @property
    def air_handlers(self) -> int:
        """The first position of the switchboard for air handlers, beyond those for panels."""
        return max(40, self.panels + 1)

    @property
    def transfer(self) -> int:
        """The position for the transfer switch; behind it the array and the next building."""
        return max(60, self.air_handlers + self.panels // 5 + 1)

    @property
    def has_array(self) -> bool:
        return self.number % 3 == 0


def write_portfolio(
    folder: Path, panels: int, seed: int = 7, a_building: int = PANELS_A_BUILDING
) -> None:
    """Write records of `panels` panelboards of 42 positions, and what feeds them, below `folder`.

    A building has `a_building` of them at most, with a switchboard, a generator, a transfer switch
    and a UPS.
    """
    rng = random.Random(seed)
    for number, first in enumerate(range(0, panels, a_building)):
        building = Building(number, min(a_building, panels - first))
        place = folder / building.id
        place.mkdir(parents=True)
        (place / "service.yaml").write_text("\n".join(_service(building)), "utf-8")
        for panel in range(building.panels):
            (place / f"lp-{panel}.yaml").write_text("\n".join(_panel(panel, rng)), "utf-8")


def _service(building: Building) -> Iterator[str]:
    """Yield the lines of a building: its rooms, sources, switchboards, equipment, large loads."""
    yield f"building: {{name: Building {building.number}, evidence_valid_for: 36 months,"
    yield "  code_edition: NEC 2020,"
    yield "  notify: [{role: facilities, phone: ext. 1, when: any planned outage}]}"
    yield "rooms:"
    for panel in range(building.panels):
        for room in range(ROOMS_A_PANEL):
            yield f"  R{panel}-{room}: {{name: Room {room} of panel {panel}, floor: '{panel % 4}'}}"
    yield "sources:"
    yield "  GEN: {kind: generator, system: 480Y/277, start: automatic, rating: 250 kVA}"
    if building.feed == "UTIL":
        yield "  UTIL: {kind: utility, system: 480Y/277, available_fault_current: 22 kA,"
        yield "    x_over_r: 6}"
    if building.has_array:
        yield "  PV: {kind: photovoltaic, system: 480Y/277, rating: 50 kVA}"
    yield "panels:"
    yield from _switchboards(building)
    yield "equipment:"
    yield f"  ATS: {{kind: transfer switch, normal_from: MSB/{building.transfer},"
    yield "    emergency_from: GEN, operation: automatic}"
    ups = building.transfer
    yield f"  UPS: {{kind: UPS, fed_from: EHP/{ups}, static_bypass_from: EHP/{ups + 1}, "
    yield "    ride_through: 8 min}"
    for panel in range(building.panels):
        if not _through_another(panel):
            board = "EHP" if panel % 4 == 0 else "MSB"
            yield f"  T-{panel}: {{kind: transformer, fed_from: {board}/{panel + 1},"
            yield "    rating: 75 kVA, primary: 480 delta, secondary: 208Y/120, impedance: 3.5 %,"
            yield "    x_over_r: 1.5, connection: delta-wye, conductors: {size: 1 AWG Cu,"
            yield "    insulation: THWN-2, terminals: 75 C, raceway: 2 in EMT, length: 100 ft}}"
    yield "loads:"
    for panel in range(0, building.panels, 5):
        yield f"  RACK-{panel}: {{kind: IT, room: R{panel}-0, fed_from: [UPS, LP-{panel}/1],"
        yield "    needs: any, criticality: critical, notify: [facilities]}"
        place = building.air_handlers + panel // 5
        yield f"  AHU-{panel}: {{kind: HVAC, room: R{panel}-1, fed_from: MSB/{place},"
        yield f"    control_power_from: LP-{panel}/2, local_disconnect: {{lockable: yes}}}}"
    yield f"  SIGN: {{kind: lighting, room: R{building.panels - 1}-0, fed_from: unknown}}"


def _through_another(panel: int) -> bool:
    """Say whether a panel hangs on the feed-through lugs of the one before it."""
    return panel % 5 == 4


def _switchboards(building: Building) -> Iterator[str]:
    board = "kind: switchboard, system: 480Y/277, lockable: yes, room: R0-0"
    yield f"  MSB:\n    {{{board}, main: 1600 A, fed_from: '{building.feed}', circuits: {{"
    for panel in range(building.panels):
        if panel % 4 and not _through_another(panel):
            yield f"      {panel + 1}: {{description: panel LP-{panel}, device: 100 A}},"
    for panel in range(0, building.panels, 5):
        place = building.air_handlers + panel // 5
        yield f"      {place}: {{description: air handler, device: 60 A}},"
    last = building.transfer
    yield f"      {last}: {{description: transfer switch, device: 400 A}},"
    if building.has_array:
        yield f"      {last + 1}: {{description: array, device: 80 A, backfed_from: PV}},"
    yield f"      {last + 2}: {{description: to the building behind, device: 400 A}}}}}}"
    yield f"  EHP:\n    {{{board}, main: lugs, fed_from: ATS, circuits: {{"
    for panel in range(0, building.panels, 4):
        if not _through_another(panel):
            yield f"      {panel + 1}: {{description: panel LP-{panel}, device: 100 A}},"
    yield f"      {last}: {{description: UPS input, device: 60 A}},"
    yield f"      {last + 1}: {{description: UPS bypass, device: 60 A}}}}}}"


def _panel(panel: int, rng: random.Random) -> Iterator[str]:
    """Yield the lines of a panelboard, of traces of its circuits, and of a fault."""
    tag = f"LP-{panel}"
    feed = f"LP-{panel - 1}/feed-through" if _through_another(panel) else f"T-{panel}"
    yield "panels:"
    yield f"  {tag}:"
    yield f"    kind: panelboard\n    system: 208Y/120\n    main: 225 A\n    positions: {POSITIONS}"
    yield f"    lockable: yes\n    room: R{panel}-0\n    fed_from: {feed}"
    yield "    feeder: {size: 4/0 AWG Cu, neutral: 4/0 AWG Cu, insulation: THWN-2, terminals: 75 C,"
    yield "      raceway: 2-1/2 in EMT, length: 30 ft}"
    yield "    circuits:"
    traced = []
    for position in _positions(rng):
        loads = [f"L{panel}-{position}-{index}" for index in range(rng.choice((1, 1, 2, 2)))]
        said = rng.randrange(40)
        if said == 0 and position not in ("1", "2"):
            yield f"      {position}: {{spare: yes, device: 20 A}}"
        elif said == 1:
            yield f"      {position}: {{description: door card torn, device: 20 A, loads: unknown}}"
        else:
            traced.append((position, loads))
            yield from _circuit(panel, position, loads, rng)
    yield "traces:"
    for index, (position, loads) in enumerate(traced[::2]):
        yield f"  TR-{panel}-{index}: {{date: 2026-01-15, by: R.T., connection: energized circuit,"
        yield f"    purpose: list what is downstream, circuit: {tag}/{position},"
        yield f"    found: [{', '.join(loads)}], confirmed_by_opening: yes}}"
    yield "faults:"
    yield f"  F-{panel}: {{kind: {rng.choice(FAULT_KINDS)}, circuit: {tag}/1,"
    yield "    description: found on a round, steps: [{step: found, date: 2026-02-01, by: R.T.}]}"


def _positions(rng: random.Random) -> Iterator[str]:
    """Yield the positions of both sides, most of one pole, some of two or three."""
    for side in (1, 2):
        slots = list(range(side, POSITIONS + 1, 2))
        while slots:
            # Two circuits at the top stay single: large loads take power there.
            poles = 1 if len(slots) == POSITIONS // 2 else rng.choice((1,) * 16 + (2, 2, 3))
            yield "-".join(map(str, slots[:poles]))
            slots = slots[poles:]


def _circuit(panel: int, position: str, loads: list[str], rng: random.Random) -> Iterator[str]:
    kind = rng.choice(KINDS)
    yield f"      {position}:"
    yield f"        description: {kind} {position}\n        device: 20 A"
    yield "        conductors: {size: 12 AWG Cu, raceway: 3/4 in EMT,"
    yield f"          insulation: THWN-2, terminals: 75 C, length: {rng.randint(20, 180)} ft}}"
    # Every twentieth circuit or so shares its neutral with the one above it.
    if position.isdigit() and int(position) > 2 and rng.randrange(20) == 0:
        yield f"        neutral_shared_with: [{int(position) - 2}]"
    yield "        loads:"
    for load in loads:
        room = f"R{panel}-{rng.randrange(ROOMS_A_PANEL)}"
        yield f"          {load}: {{kind: {kind}, room: {room}, power: 180 VA, quantity: 2}}"
