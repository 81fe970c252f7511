"""Two small buildings with faults of every stage, for the pages and files made of them."""

from __future__ import annotations

from pathlib import Path

from recordgen.pages.view import View
from tests.network.asking import portfolio

# Insulation: halves for each 10 °C of warming (common practice), so 40 Mohm at 30 °C are 80 Mohm
# at 20 °C.
HOUSE = """
rooms: {R1: Workshop}
sources: {UTIL: {kind: utility}}
panels:
  LP-1:
    kind: panelboard
    system: 480Y/277
    main: lugs
    lockable: yes
    fed_from: UTIL
    room: R1
    circuits:
      1: {device: 20 A, loads: {FAN: {kind: motor, room: R1}}}
      2: {device: 20 A, loads: {SAW: {kind: motor, room: R1}}}
      3: {device: 20 A, loads: none}
runs:
  RUN:
    of: LP-1/1
    landmarks:
      - {at: 0 ft, what: LP-1}
      - {at: 35 ft, what: corner box, room: R1}
      - {at: 50 ft, what: fan}
traces:
  T-1:
    date: 2026-03-03
    by: JD
    instrument: TRC
    purpose: locate a ground fault
    connection: dead conductor with remote return
    circuit: LP-1/1
    run: RUN
    conclusion: near the corner
    readings:
      - {at: 0 ft, values: 78, sensitivity: 4}
      - {at: 10 ft, values: 77, sensitivity: 4}
      - {at: 20 ft, values: 75, sensitivity: 4}
      - {at: 30 ft, values: 76, sensitivity: 4}
      - {at: 40 ft, values: 22, sensitivity: 4}
      - {at: 50 ft, values: 6, sensitivity: 4}
faults:
  F-1:
    kind: ground fault
    circuit: LP-1/1
    load: FAN
    room: R1
    description: Fan trips
    cause: "a nail"
    photos: [fan-1.jpg, fan-2.jpg]
    notes: "=see the file"
    steps:
      - step: found
        date: 2026-03-01
        by: JD
        measured: {quantity: insulation resistance, value: 0.5 Mohm, between: phase to ground,
                   test_voltage: 1000 V, temperature: 20 C, instrument: IT}
      - {step: made safe, date: 2026-03-02, by: AB, what: locked open}
      - {step: located, date: 2026-03-03, by: JD, instrument: TRC, trace: T-1}
      - {step: repaired, date: 2026-03-05, by: AB, what: new conductor}
      - step: retested
        date: 2026-03-05
        by: JD
        measured:
          - {quantity: insulation resistance, value: 40 Mohm, between: phase to ground,
             test_voltage: 1000 V, temperature: 30 C, instrument: IT}
          - {quantity: voltage, value: 277 V}
      - {step: closed, date: 2026-03-11, by: JD}
  F-2:
    kind: ground fault
    circuit: LP-1/1
    description: Fan trips again
    steps:
      - {step: found, date: 2026-06-01, by: JD}
      - {step: repaired, date: 2026-06-09, by: AB}
  F-3:
    kind: open
    load: SAW
    description: Saw is dead
    steps: [{step: found, date: 2025-11-20, by: JD}]
  F-4: {kind: short, circuit: LP-1/3, description: "+cmd|' /C calc'!A0"}
  F-5:
    kind: overload
    circuit: LP-1/1
    description: Breaker warm
    steps:
      - {step: found, date: 2025-01-02, by: JD}
      - {step: made safe, date: 2025-01-02, by: JD}
      - {step: located, date: 2025-01-01, by: JD}
instruments:
  IT: {kind: insulation tester, serial: S-9, calibrated: 2025-03-04, due: 2026-03-04}
  TRC: {kind: tracer}
"""
SHED = """
faults:
  S-1:
    kind: short
    circuit: home:LP-1/2
    description: Lamp in the shed
    steps: [{step: found, date: 2024-02-29, by: MK}]
"""


def house(folder: Path, records: str = HOUSE, shed: str = SHED) -> View:
    """Return the view of the two buildings, of 2026-11-25."""
    return View(portfolio(folder, records, shed=shed))
