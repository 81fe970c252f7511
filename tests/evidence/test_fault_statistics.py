"""Recurrence and time to repair, counted by hand."""

import datetime as dt
from pathlib import Path

import pytest

from recordgen.evidence.fault_statistics import Recurrence, RepairTime, recurrences, repair_time
from recordgen.portfolio import Portfolio
from tests.network.asking import AS_OF, portfolio

HOUSE = """
sources: {UTIL: {kind: utility}}
panels:
  LP-1:
    kind: panelboard
    main: lugs
    fed_from: UTIL
    circuits: {1-3: {device: 20 A}, 5: {device: 20 A}}
faults:
"""


def fault(tag: str, *steps: str, circuit: str = "LP-1/1-3", kind: str = "short") -> str:
    """Return a fault; each step is a name and a day."""
    lines = "".join(
        f"      - {{step: {name}, date: {day}, by: JD}}\n"
        for name, _, day in (step.rpartition(" ") for step in steps)
    )
    about = f"    circuit: {circuit}\n" if circuit else ""
    steps_key = "    steps:\n" if steps else ""
    return f"  {tag}:\n    kind: {kind}\n    description: x\n{about}{steps_key}{lines}"


def times(folder: Path, *faults: str) -> RepairTime:
    return repair_time(portfolio(folder, HOUSE + "".join(faults)).buildings, AS_OF)


def test_what_comes_back_on_a_circuit_is_counted_by_its_kind(tmp_path: Path) -> None:
    faults = [
        fault("F-3", "found 2026-03-01"),
        fault("F-1", "found 2026-01-01", circuit="LP-1/3"),  # the same circuit by its other number
        fault("F-2", "found 2026-02-20"),
        fault("F-4", "found 2026-02-21", kind="open"),
        fault("F-5", "found 2026-02-22", circuit="LP-1/5"),
        fault("F-6", "found 2026-02-23", circuit=""),
    ]
    found = recurrences(portfolio(tmp_path, HOUSE + "".join(faults)).buildings)
    # 1 January to 20 February are 50 days, and then to 1 March 9.
    assert found == (Recurrence("home:LP-1/1-3", "short", ("home:F-1", "home:F-2", "home:F-3"), 9),)


def test_without_their_days_they_still_come_back(tmp_path: Path) -> None:
    faults = [fault("F-1"), fault("F-2", "found 2026-01-01")]
    (found,) = recurrences(portfolio(tmp_path, HOUSE + "".join(faults)).buildings)
    assert (found.faults, found.shortest_d) == (("home:F-2", "home:F-1"), None)


def test_the_mean_is_of_those_repaired_and_says_who_waits(tmp_path: Path) -> None:
    found = times(
        tmp_path,
        fault("F-1", "found 2026-01-01", "repaired 2026-01-01"),
        fault("F-2", "found 2026-01-01", "repaired 2026-01-04", "repaired 2026-01-11"),
        fault("F-3", "found 2026-11-15"),
    )
    assert found == RepairTime(5.0, 10, 2, 1, 10, 0)


@pytest.mark.parametrize(
    "steps",
    [
        ("made safe 2026-01-01", "repaired 2026-01-02"),  # found when?
        ("found 2026-02-01", "repaired 2026-01-01"),
        ("found 2027-02-01",),
        ("found 2026-01-01", "closed 2026-01-05"),
    ],
)
def test_days_that_do_not_tell_are_left_out_and_counted(
    tmp_path: Path, steps: tuple[str, ...]
) -> None:
    assert times(tmp_path, fault("F-1", *steps)) == RepairTime(None, None, 0, 0, None, 1)


def test_a_repair_after_the_day_asked_about_has_not_happened(tmp_path: Path) -> None:
    found = times(tmp_path, fault("F-1", "found 2026-11-20", "repaired 2026-12-01"))
    assert (found.counted, found.waiting, found.longest_wait_d) == (0, 1, 5)


def test_the_demo(demo: Portfolio) -> None:
    """The ice machine came back twice; the garage had one repair, 22 November to 13 December."""
    buildings = demo.buildings
    worst, *_ = recurrences(buildings)
    assert (worst.circuit, worst.kind) == ("clinic:LP-1/26", "nuisance trip")
    assert worst.faults == ("clinic:F-04", "clinic:F-05", "clinic:F-06")
    # 9 February to 8 September 2026: 28 - 9 + 31 + 30 + 31 + 30 + 31 + 31 + 8 = 211 days.
    assert worst.shortest_d == 211
    garage = repair_time({"garage": buildings["garage"]}, AS_OF)
    assert (garage.mean_d, garage.counted, garage.waiting) == (21.0, 1, 1)
    assert garage.longest_wait_d == (AS_OF - dt.date(2026, 11, 14)).days
    overload = repair_time(buildings, AS_OF, "overload")
    assert (overload.mean_d, overload.waiting) == (28.0, 1)
