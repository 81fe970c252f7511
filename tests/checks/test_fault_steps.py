from pathlib import Path

import pytest

from recordgen.checks import fault_steps
from recordgen.problems import Problem
from tests.checks.running import examples, found_by, told

HOUSE = """sources: {UTIL: {kind: utility}}
panels:
  LP-1:
    kind: panelboard
    main: lugs
    fed_from: UTIL
    circuits: {1: {device: DEVICE, loads: {FAN: {kind: motorLOAD}}}}
faults:
  F-1:
    kind: KIND
    circuit: LP-1/1
    load: FAN
    description: trips
    steps:
      - {step: found, date: 2026-01-01, by: JD}
      - {step: made safe, date: 2026-01-01, by: JD}
      - {step: located, date: 2026-01-02, by: JD}
      - {step: repaired, date: REPAIRED, by: JD}
      - {step: retested, date: 2026-01-04, by: JD, measured: {MEASURED, instrument: M-1}}
instruments: {M-1: {kind: insulation tester}}
"""
GOOD = "quantity: insulation resistance, value: 220 Mohm"


def repaired(
    folder: Path,
    measured: str = GOOD,
    kind: str = "ground fault",
    device: str = "20 A",
    load: str = "",
    repaired: str = "2026-01-03",
) -> list[Problem]:
    records = HOUSE.replace("MEASURED", measured).replace("KIND", kind).replace("DEVICE", device)
    return found_by(
        fault_steps, folder, records.replace("LOAD", load).replace("REPAIRED", repaired)
    )


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(fault_steps, "Passing")
    assert repaired(tmp_path, example) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(fault_steps, "Failing")
    (problem,) = repaired(tmp_path, example)
    assert told([problem]) == [(20, 16, "warning", "fault-not-measured")]
    assert problem.subjects == ("home:LP-1/1", "home:FAN")
    assert "F-1: the retest of 2026-01-04 after a ground fault records no insulation" in str(
        problem
    )


def test_a_retest_before_the_repair_is_found_at_its_date(tmp_path: Path) -> None:
    (problem,) = repaired(tmp_path, repaired="2026-01-05")
    assert told([problem]) == [(20, 32, "warning", "fault-step-order")]


@pytest.mark.parametrize(
    ("device", "load", "count"),
    [
        ("20 A GFCI breaker", "", 1),
        ("{rating: 20 A, kind: dual-function breaker}", "", 1),
        ("20 A", ", gfci: yes", 1),
        ("20 A", "", 0),
    ],
)
def test_an_interrupter_wants_its_trip_time(
    tmp_path: Path, device: str, load: str, count: int
) -> None:
    found = repaired(tmp_path, kind="nuisance trip", device=device, load=load)
    assert [problem.code for problem in found] == ["fault-not-measured"] * count
    time = "quantity: trip time, value: 24 ms"
    assert repaired(tmp_path / "timed", time, "nuisance trip", device, load) == []


def test_missing_steps_are_found_at_the_fault(tmp_path: Path) -> None:
    start = HOUSE.index("      - {step: made safe")
    end = HOUSE.index("      - {step: retested")
    records = (HOUSE[:start] + HOUSE[end:]).replace("MEASURED", GOOD).replace("KIND", "short")
    found = found_by(fault_steps, tmp_path, records.replace("DEVICE", "20 A").replace("LOAD", ""))
    assert told(found) == [(10, 3, "warning", "fault-step-missing")]
    assert "without made safe, located and repaired before that" in found[0].message


def test_a_gap_that_hurts_nobody_is_a_note(tmp_path: Path) -> None:
    records = HOUSE.replace("      - {step: located, date: 2026-01-02, by: JD}\n", "")
    filled = {
        "MEASURED": GOOD,
        "KIND": "short",
        "DEVICE": "20 A",
        "LOAD": "",
        "REPAIRED": "2026-01-03",
    }
    for word, text in filled.items():
        records = records.replace(word, text)
    found = found_by(fault_steps, tmp_path, records)
    assert told(found) == [(10, 3, "note", "fault-step-missing")]
