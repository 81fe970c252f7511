"""A small building that has one of everything a worksheet is made out for."""

from __future__ import annotations

from pathlib import Path

from recordgen.portfolio import Portfolio, load_portfolio
from tests.conftest import AS_OF

_CIRCUITS = "\n".join(
    f"      {n}: {{description: Outlets of bay {n} and the passage, device: {{rating: 20 A}}, "
    f"loads: {{R-{n}: {{kind: receptacle, room: W}}, R-{n}B: {{kind: receptacle}}}}}}"
    for n in range(7, 39)
)
YARD = f"""
building: {{name: Yard}}
rooms: {{W: , E: }}
sources: {{U: {{kind: utility, system: 208Y/120}}}}
panels:
  MSB:
    kind: switchboard
    system: 208Y/120
    fed_from: U
    circuits:
      1: {{description: Panel LP}}
      2: {{description: Yard pump, loads: {{PUMP: {{kind: motor}}}}}}
  LP:
    kind: panelboard
    name: Light and power
    system: 208Y/120
    positions: 42
    room: E
    key: K4
    fed_from: MSB/1
    circuits:
      1-3-5:
        description: Saw
        device: {{rating: 60 A, poles: 3}}
        loads: {{SAW: {{kind: motor}}}}
      2: {{loads: {{X-2: {{kind: fan}}}}}}
      4A: {{description: Bell, device: {{rating: 15 A}}, loads: none}}
      4B: {{description: Clock, device: {{rating: 15 A}}, loads: unknown}}
{_CIRCUITS}
      39: spare
      40: space
      42: {{description: Shed panel}}
  SP: {{kind: load centre, fed_from: LP/42}}
cables:
  C-1: {{kind: category, bundle: "Bundle left/right", ends: [{{room: W, at: jack 1}}, {{room: E}}]}}
  C-2: {{kind: fibre, bundle: "BUNDLE LEFT/right"}}
  C-3: {{kind: coax, bundle: B7}}
  C-4: {{kind: fibre}}
runs:
  RN-1:
    of: LP/7
    description: Yard lights
    landmarks:
      - {{at: 0 ft, what: panel LP, room: E}}
      - {{at: 30 ft, what: sleeve, underground: yes, depth: 24 in}}
      - {{at: 90 ft, what: gate, underground: yes}}
      - {{what: last pole}}
  RN-2: {{of: C-4, landmarks: [{{at: 0 m, what: rack}}, {{at: 9 m, what: box}}]}}
  RN-3: {{of: MSB}}
traces:
  T-1:
    date: 2026-10-01
    by: A.B.
    purpose: identify the breaker
    load: R-9
    concluded_circuit: LP/11
    confirmed_by_opening: yes
faults:
  F-1:
    kind: ground fault
    circuit: LP/7
    description: Yard lights trip in the rain
    steps:
      - step: found
        date: 2026-11-01
        by: A.B.
        what: tripped at night
        measured: {{quantity: insulation resistance, value: 0.2 Mohm, between: hot to ground}}
  F-2:
    kind: open
    description: old one
    steps: [{{step: closed, date: 2026-01-01, by: A.B.}}]
instruments:
  TR: {{kind: tracer, category: CAT III 600 V}}
  IT: {{kind: insulation tester, category: CAT III 600 V, calibrated: 2025-01-31, due: 2026-01-31}}
  MM: {{kind: multimeter, category: CAT IV 600 V, calibrated: 2026-01-31, due: 2027-01-31}}
  VT: {{kind: voltage tester, category: CAT IV 600 V, calibrated: 2026-01-31}}
  PU: {{kind: proving unit}}
  TC: {{kind: thermal camera}}
inspections:
  I-1: {{kind: lockout sheet, of: MSB/2, date: 2025-06-01, by: C.D., employees: A.B.}}
"""


def yard(folder: Path, text: str = YARD) -> Portfolio:
    """Return the yard, written into a folder and loaded."""
    place = folder / "buildings" / "yard"
    place.mkdir(parents=True, exist_ok=True)
    (place / "all.yaml").write_text(text, encoding="utf-8")
    portfolio = load_portfolio(folder / "buildings", AS_OF)
    assert [str(p) for p in portfolio.problems if p.severity == "error"] == []
    return portfolio
