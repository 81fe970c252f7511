"""Small portfolios for what random ones seldom come to, and every choice of up to three devices."""

from __future__ import annotations

import tempfile
from itertools import combinations
from pathlib import Path

from recordgen.network.ways import Positions
from tests.network.asking import portfolio
from tests.planner.running import Asked

CORNERS = {
    # A load with two legs and control power from elsewhere.
    "legs and control": """
sources: {UTIL: {kind: utility, system: 208Y/120}}
panels:
  P1:
    {kind: panelboard, system: 208Y/120, fed_from: UTIL, circuits: {1: {}, 3: {}, 5: {}}}
  P2: {kind: panelboard, system: 208Y/120, fed_from: UTIL, circuits: {1: {}}}
loads:
  M-1: {kind: motor, fed_from: [P1/1, P1/3], needs: all, control_power_from: P2/1}
""",
    # One of two feeds of a transformer brings A, the other one B; a main with too few poles makes
    # the answer go by conductors.
    "half of what a transformer takes": """
sources: {UTIL: {kind: utility, system: 208Y/120}}
panels:
  P1: {kind: panelboard, system: 208Y/120, fed_from: UTIL, circuits: {1: {}, 3: {}}}
  P2:
    kind: panelboard
    system: 208Y/120
    main: {rating: 100 A, poles: 2}
    fed_from: UTIL
    circuits: {1: {loads: {L-2: {kind: other}}}}
  P3: {kind: panelboard, fed_from: T-1, circuits: {1: {loads: {L-3: {kind: other}}}}}
equipment:
  T-1: {kind: transformer, fed_from: [P1/1, P1/3], secondary: 208Y/120}
""",
    # The other side of a transfer switch hangs on a switch with too few poles: not to be relied on.
    "a standby side that is incomplete": """
sources: {UTIL: {kind: utility, system: 208Y/120}, UTIL-2: {kind: utility, system: 208Y/120}}
panels:
  P1: {kind: switchboard, system: 208Y/120, fed_from: UTIL, main: 100 A, circuits: {1: {}}}
  P2: {kind: switchboard, fed_from: ATS-1, circuits: {1: {loads: {L-1: {kind: other}}}}}
equipment:
  DS-1: {kind: disconnect, fed_from: UTIL-2, poles: 2}
  ATS-1:
    {kind: transfer switch, normal_from: P1/1, emergency_from: DS-1, operation: automatic}
""",
    # One leg of a load hangs on a source of its own, past a device that stands open.
    "a leg from another source": """
sources:
  UTIL: {kind: utility, system: 208Y/120}
  BAT: {kind: battery storage, system: 208Y/120, stops_without_utility: no, start: automatic}
panels:
  P1:
    kind: panelboard
    system: 208Y/120
    fed_from: UTIL
    main: 100 A
    circuits: {1: {loads: {L-1: {kind: other}}}, 3: {normal: open, backfed_from: BAT}}
loads:
  M-1: {kind: motor, fed_from: [P1/1, P1/3], needs: all}
""",
    # The generator runs while a transfer switch stands on its side, and only then.
    "a transfer switch on its emergency side": """
sources:
  UTIL: {kind: utility, system: 208Y/120}
  GEN: {kind: generator, start: automatic, system: 208Y/120}
panels:
  P1: {kind: switchboard, fed_from: UTIL, main: 100 A, circuits: {1: {}}}
  P2: {kind: switchboard, fed_from: GEN, main: 100 A, circuits: {1: {}, 2: {}}}
  P3: {kind: switchboard, fed_from: ATS-1, circuits: {1: {loads: {L-1: {kind: other}}}}}
loads:
  L-2: {kind: other, fed_from: P2/2}
equipment:
  ATS-1:
    kind: transfer switch
    normal_from: P1/1
    emergency_from: P2/1
    operation: automatic
    present: {position: emergency, since: 2026-11-01}
""",
    # Another part's generator stands ready all the same, and carries nothing yet.
    "two transfer switches, one of them on its emergency side": """
sources:
  UTIL: {kind: utility, system: 208Y/120}
  GEN-1: {kind: generator, start: manual, system: 208Y/120}
  GEN-2: {kind: generator, start: automatic, system: 208Y/120}
panels:
  P1: {kind: switchboard, fed_from: UTIL, main: 100 A, circuits: {1: {}, 2: {}}}
  P2: {kind: switchboard, fed_from: GEN-1, main: 100 A, circuits: {1: {}}}
  P3: {kind: switchboard, fed_from: ATS-1, circuits: {1: {loads: {L-1: {kind: other}}}}}
  P4: {kind: switchboard, fed_from: GEN-2, main: 100 A, circuits: {1: {}}}
  P5: {kind: switchboard, fed_from: ATS-2, circuits: {1: {loads: {L-2: {kind: other}}}}}
loads:
  L-3: {kind: other, fed_from: P4/1}
equipment:
  ATS-1:
    kind: transfer switch
    normal_from: P1/1
    emergency_from: P2/1
    operation: manual
    present: {position: emergency, since: 2026-11-01}
  ATS-2: {kind: transfer switch, normal_from: P1/2, emergency_from: P4/1, operation: automatic}
""",
    # A generator on the secondary side is no standby for the primary side.
    "a generator behind a transformer": """
sources:
  UTIL: {kind: utility, system: 480Y/277}
  GEN: {kind: generator, start: manual, system: 208Y/120}
panels:
  P1:
    kind: switchboard
    system: 480Y/277
    fed_from: UTIL
    main: 200 A
    circuits: {1: {}, 2: {loads: {L-1: {kind: other}}}}
  P2: {kind: switchboard, fed_from: [T-1, P3/1], circuits: {1: {loads: {L-2: {kind: other}}}}}
  P3: {kind: switchboard, fed_from: GEN, main: 100 A, circuits: {1: {}}}
equipment:
  T-1: {kind: transformer, fed_from: P1/1, primary: 480Y/277, secondary: 208Y/120}
""",
}


def corners() -> list[Asked]:
    """Return the portfolios, each asked about every choice of one, two or three devices."""
    found = []
    for text in CORNERS.values():
        with tempfile.TemporaryDirectory() as folder:
            made = portfolio(Path(folder), text)
        tags = list(made.network.devices)
        choices = [list(c) for size in (1, 2, 3) for c in combinations(tags, size)]
        positions: tuple[Positions, ...] = ("normal", "present")
        found.append(Asked(made, [(c, each) for each in positions for c in choices]))
    return found
