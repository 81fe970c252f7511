"""A trace held against the records: places, what is recorded, opening (design section 5)."""

from pathlib import Path

import pytest

from recordgen.evidence.breaker_readings import BreakerReading
from tests.network.asking import portfolio

RECORDS = """
sources: {UTIL: {kind: utility}}
panels:
  DP-1:
    kind: panelboard
    fed_from: UTIL
    circuits: {1-3-5: {device: 60 A}, 2-4: {device: 30 A}, 6: {device: 20 A}}
  LP-1:
    kind: panelboard
    main: 60 A
    fed_from: DP-1/1-3-5
    circuits:
      14: {device: 20 A, loads: {RC-1: {kind: receptacle}}}
      16: {device: 20 A}
      18-20: {device: 20 A, loads: {HEATER: {kind: HVAC}}}
      22: space
      24: {device: 20 A}
equipment:
  MS-1: {kind: motor starter, fed_from: LP-1/24}
loads:
  MOTOR: {kind: motor, fed_from: MS-1}
  LAMP: {kind: lighting, fed_from: unknown}
traces:
  T-1:
    date: 2026-10-05
    by: JD
    purpose: identify the breaker
    load: %s
    readings: [%s]
    %s
"""
RIGHT, COUPLED = "[86, 79, 74]", "[61, 33, 22]"


def asked(
    folder: Path, *places: tuple[str, str], load: str = "RC-1", more: str = ""
) -> tuple[BreakerReading, BreakerReading]:
    """Return what the readings say alone, and what the trace shows."""
    readings = ", ".join(f"{{at: {at}, values: {values}, sensitivity: 4}}" for at, values in places)
    found = portfolio(folder, RECORDS % (load, readings, more))
    reader = found.trace_verdicts.reader
    loaded = found.buildings["home"]
    trace = loaded.records.traces["T-1"]
    return reader.readings_say(loaded, trace), reader.breaker(loaded, trace)


def test_readings_that_agree_with_the_record(tmp_path: Path) -> None:
    alone, shown = asked(tmp_path, ("LP-1/14", RIGHT), ("LP-1/16", COUPLED))
    assert (alone.verdict, alone.breaker) == ("identified", "home:LP-1/14")
    assert shown == alone


def test_readings_that_contradict_the_record(tmp_path: Path) -> None:
    alone, _ = asked(tmp_path, ("LP-1/16", RIGHT), ("LP-1/14", COUPLED), ("LP-1/18", "30"))
    assert (alone.verdict, alone.breaker) == ("contradicts the record", "home:LP-1/16")
    assert alone.reasons[-1] == "the record says LP-1/14"


def test_a_load_of_unknown_source_contradicts_nothing(tmp_path: Path) -> None:
    alone, _ = asked(tmp_path, ("LP-1/14", RIGHT), ("LP-1/16", COUPLED), load="LAMP")
    assert alone.verdict == "identified"


def test_a_signal_passes_a_starter(tmp_path: Path) -> None:
    alone, _ = asked(tmp_path, ("LP-1/24", RIGHT), ("LP-1/14", COUPLED), load="MOTOR")
    assert (alone.verdict, alone.breaker) == ("identified", "home:LP-1/24")


def test_the_poles_of_one_device_are_one_breaker(tmp_path: Path) -> None:
    places = (("LP-1/18", RIGHT), ("LP-1/20", "[84, 78, 72]"), ("LP-1/16", COUPLED))
    alone, _ = asked(tmp_path, *places, load="HEATER")
    assert (alone.verdict, alone.breaker) == ("identified", "home:LP-1/18-20")


def test_a_breaker_beside_it_that_nobody_read(tmp_path: Path) -> None:
    alone, _ = asked(tmp_path, ("LP-1/16", RIGHT), ("LP-1/24", COUPLED))
    assert alone.verdict == "not enough"
    assert alone.measure_next == "read LP-1/14 and LP-1/18-20 at sensitivity 4"


def test_a_space_beside_it_holds_no_breaker(tmp_path: Path) -> None:
    places = (("LP-1/18", RIGHT), ("LP-1/16", COUPLED))
    assert asked(tmp_path, *places, load="HEATER")[0].verdict == "identified"


def test_a_breaker_that_feeds_a_panel_is_not_the_answer(tmp_path: Path) -> None:
    alone, _ = asked(tmp_path, ("DP-1/1", RIGHT), ("DP-1/2", COUPLED))
    assert (alone.verdict, alone.breaker) == ("ambiguous", None)
    assert alone.measure_next == "read the breakers of LP-1"


@pytest.mark.parametrize("at", ["LP-1/main", "LP-9/3", "above the door", "RC-1"])
def test_a_place_that_is_no_breaker_is_said_and_does_not_count(tmp_path: Path, at: str) -> None:
    alone, _ = asked(tmp_path, ("LP-1/14", RIGHT), ("LP-1/16", COUPLED), (at, "[99, 99, 99]"))
    assert alone.verdict == "identified"
    assert any(reason.startswith(f"{at} does not count") for reason in alone.reasons)


def test_a_breaker_that_is_not_recorded_may_be_read(tmp_path: Path) -> None:
    alone, _ = asked(tmp_path, ("LP-1/26", RIGHT), ("LP-1/24", COUPLED))
    assert (alone.verdict, alone.breaker) == ("contradicts the record", "home:LP-1/26")


def test_opening_confirms_what_readings_leave_open(tmp_path: Path) -> None:
    more = "concluded_circuit: LP-1/14\n    confirmed_by_opening: yes"
    alone, shown = asked(tmp_path, ("LP-1/14", "80"), ("LP-1/16", "78"), more=more)
    assert alone.verdict == "ambiguous"
    assert (shown.verdict, shown.breaker, shown.confirmed) == ("identified", "home:LP-1/14", True)
    assert shown.measure_next is None


def test_opening_another_than_the_recorded_one(tmp_path: Path) -> None:
    more = "concluded_circuit: LP-1/16\n    confirmed_by_opening: yes"
    _, shown = asked(tmp_path, ("LP-1/14", RIGHT), ("LP-1/16", COUPLED), more=more)
    assert (shown.verdict, shown.breaker) == ("contradicts the record", "home:LP-1/16")
    assert "the readings point at LP-1/14 all the same" in shown.reasons


@pytest.mark.parametrize("more", ["", "confirmed_by_opening: no"])
def test_what_was_not_opened_is_not_confirmed(tmp_path: Path, more: str) -> None:
    more = f"concluded_circuit: LP-1/14\n    {more}"
    _, shown = asked(tmp_path, ("LP-1/14", RIGHT), ("LP-1/16", COUPLED), more=more)
    assert not shown.confirmed
