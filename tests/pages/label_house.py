"""A small portfolio with everything that is labelled, hostile text, and a building it hangs on."""

RECORDS = """
rooms: {101: {name: Shop}}
sources: {UTIL: {kind: utility, system: 208Y/120}, PV: {kind: photovoltaic}}
panels:
  LP-1:
    name: Shop panel
    kind: panelboard
    system: 208Y/120
    main: 100 A
    room: 101
    fed_from: UTIL
    positions: 42
    recorded_fault: {current: 14.2 kA, date: 2024-03-01}
    arc_flash: {study_date: 2023-05-01, ppe: category 2}
    circuits:
CIRCUITS
  LP-2:
    kind: panelboard
    main: lugs
    fed_from: [LP-1/41, yard:YP/1]
    circuits:
      1: {description: "=cmd|' /C calc'!A0 <b>bold</b>", device: 20 A, loads: unknown}
      2: spare
      4: space
equipment:
  DS-1: {kind: disconnect, fed_from: LP-1/39, lockable: yes}
loads:
  AHU-1: {kind: HVAC, fed_from: DS-1, description: Air handler, local_disconnect: {lockable: yes}}
  R-LOST: {kind: receptacle, room: 101, fed_from: unknown}
faults:
  F-01:
    kind: nuisance trip
    description: trips in the morning
    circuit: LP-1/1
    steps:
      - {step: found, date: 2026-09-01, by: R.T.}
      - {step: made safe, date: 2026-11-20, by: "<img src=x onerror=alert(1)>"}
"""
YARD = """
sources: {U2: {kind: utility}}
panels:
  YP:
    kind: panelboard
    main: lugs
    fed_from: U2
    changed: 2026-11-22
    circuits: {1: {description: To the shop, device: 60 A}}
"""
LONG = "Receptacles at the north bench, " * 12


def records() -> str:
    lines = []
    for position in range(1, 43):
        text = LONG if position == 7 else f"Bench {position} outlets"
        outlet = f"R-{position}: {{kind: receptacle, room: 101, description: at bench {position}}}"
        loads = "" if position in (39, 41) else f", loads: {{{outlet}}}"
        lines.append(f"      {position}: {{description: '{text}', device: 20 A{loads}}}")
    return RECORDS.replace("CIRCUITS", "\n".join(lines))
