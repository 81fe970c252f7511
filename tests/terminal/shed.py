"""A small building that records are typed into, and ways to type."""

import io
from collections.abc import Iterable
from pathlib import Path

from click.testing import CliRunner, Result

from recordgen import cli
from recordgen.terminal.record_console import Console

AS_OF = "2026-11-25"
BUILDING = """\
building: {name: Tool shed}
rooms: {S1: Bench room, S2: Yard}
sources: {UTIL: {kind: utility, system: 120/240, available_fault_current: 10 kA, room: S1}}
panels:
  P1:
    kind: load centre
    system: 120/240
    fed_from: UTIL
    lockable: yes
    positions: 8
    main: {rating: 60 A, poles: 2}
    circuits:
      1: {description: bench outlets, device: 20 A, loads: {R-1: {kind: receptacle, room: S1}}}
      3: {description: yard outlets, device: 20 A GFCI breaker, loads: {R-2: {kind: receptacle}}}
      2-4: {description: heater, device: {rating: 20 A, poles: 2}, loads: {H-1: {kind: heating}}}
cables:
  C-1: {kind: category, bundle: B}
  C-2: {kind: category, bundle: B}
runs:
  RUN-1:
    of: P1/3
    landmarks:
      - {at: 0 ft, what: P1}
      - {at: 20 ft, what: box above door 117}
      - {at: 50 ft, what: elbow}
      - {at: 80 ft, what: elbow}
instruments:
  TRC-1: {kind: tracer}
  IT-1: {kind: insulation tester, calibrated: 2026-01-05, due: 2027-01-05}
  IT-0: {kind: insulation tester, calibrated: 2024-01-05, due: 2025-01-05}
"""
FAULTS = """\
# Kept by the keeper.
faults:
  F-09: {kind: ground fault, circuit: P1/3, description: trips,
    steps: [{step: found, date: 2026-11-01, by: A.B.}]}

  F-10:   # the yard
    kind: ground fault
    circuit: P1/3
    description: trips in the rain
    steps:
      - step: found
        date: 2026-11-02
        by: A.B.
        measured: {quantity: insulation resistance, value: 0.1 Mohm, between: hot to ground,
          test_voltage: 500 V, temperature: 20 C, instrument: IT-1}
      - {step: made safe, date: 2026-11-02, by: A.B.}   # locked
    # still open
"""


def shed(folder: Path, faults: str | None = FAULTS) -> Path:
    """Return a folder of buildings that holds the shed."""
    home = folder / "buildings" / "shed"
    (home / "field").mkdir(parents=True)
    (home / "shed.yaml").write_text(BUILDING, encoding="utf-8")
    if faults is not None:
        (home / "field" / "faults.yaml").write_text(faults, encoding="utf-8")
    return home.parent


def typed_in(records: Path, command: str, lines: Iterable[str], *options: str) -> Result:
    """Return what a `record` command says when lines come by a pipe."""
    given = ["record", *command.split(), *options, "--records", str(records), "--as-of", AS_OF]
    return CliRunner().invoke(cli.main, given, input="".join(f"{line}\n" for line in lines))


def files(records: Path) -> dict[str, bytes]:
    """Return path → content of everything below a folder, hidden files too."""
    found = (path for path in records.rglob("*") if path.is_file())
    return {str(path.relative_to(records)): path.read_bytes() for path in found}


class Typing(Console):
    """Somebody at a keyboard, as far as the questions can tell; `said` is what stood there."""

    def __init__(self, *lines: str) -> None:
        self.said = io.StringIO()
        super().__init__(self.said, io.StringIO("".join(f"{line}\n" for line in lines)))
        self.typed = True
