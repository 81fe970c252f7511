"""Evidence as it should not be written: missing, off the scale, out of order, in mixed units.

Whatever is wrong with a reading, it must not make an answer surer than without it; and it is told.
The readings are constructed, none was measured.
"""

from collections.abc import Callable
from typing import Any

import pytest

from recordgen.evidence.breaker_readings import BreakerReading, Panels, breaker_reading
from recordgen.evidence.bundle_readings import bundle_reading
from recordgen.evidence.follow_run import followed_run
from recordgen.evidence.run_readings import run_readings
from recordgen.evidence.signals import comparable
from recordgen.records.field import Reading, Run, Trace

Written = dict[str, Any]
COVERS = [
    {"at": "LP-1", "values": "64", "sensitivity": "5"},
    {"at": "HP-1", "values": "21", "sensitivity": "5"},
]
RIGHT = {"at": "LP-1/14", "values": ["86", "79", "74"], "sensitivity": "4"}
COUPLED = {"at": "LP-1/16", "values": ["61", "33", "22"], "sensitivity": "4"}
RIVAL = {"at": "LP-1/18", "values": ["80", "76", "70"], "sensitivity": "4"}

SPOILS: dict[str, Callable[[Written], Written]] = {
    "value missing": lambda row: row | {"values": []},
    "off the scale": lambda row: row | {"values": "130"},
    "below the scale": lambda row: row | {"values": "-4"},
    "unit": lambda row: row | {"values": "70 mA"},
    "sensitivity unknown": lambda row: {key: row[key] for key in ("at", "values")},
}
spoilt = pytest.mark.parametrize("spoil", SPOILS.values(), ids=SPOILS)


def breaker(*rows: Written) -> BreakerReading:
    readings = [Reading.model_validate(row) for row in rows]
    panel_of = {row["at"]: row["at"].partition("/")[0] for row in rows if "/" in row["at"]}
    return breaker_reading(comparable(readings), Panels(panel_of, {}))


def test_the_sound_reading_is_called_and_a_rival_makes_it_ambiguous() -> None:
    assert breaker(*COVERS, RIGHT, COUPLED).breaker == "LP-1/14"
    assert breaker(*COVERS, RIGHT, COUPLED, RIVAL).verdict == "ambiguous"


@spoilt
def test_a_rival_whose_reading_is_spoilt_does_not_drop_out_of_the_running(
    spoil: Callable[[Written], Written],
) -> None:
    found = breaker(*COVERS, RIGHT, COUPLED, spoil(RIVAL))
    assert (found.verdict, found.breaker) == ("ambiguous", None)
    assert found.measure_next == "read LP-1/18 at sensitivity 4"
    assert any("LP-1/18 does not count" in reason for reason in found.reasons)


@spoilt
def test_the_right_breaker_spoilt_calls_no_other(spoil: Callable[[Written], Written]) -> None:
    assert breaker(*COVERS, spoil(RIGHT), COUPLED, RIVAL).breaker is None
    assert breaker(*COVERS, spoil(RIGHT), COUPLED).breaker is None


@spoilt
def test_covers_spoilt_ask_for_more_and_never_for_less(spoil: Callable[[Written], Written]) -> None:
    close = RIGHT | {"values": ["86", "72", "68"]}, COUPLED | {"values": ["66", "48", "44"]}
    assert breaker(*COVERS, *close).breaker == "LP-1/14"
    found = breaker(spoil(COVERS[0]), COVERS[1], *close)
    assert (found.verdict, found.breaker) == ("not enough", None)
    assert "read the cover of LP-1" in (found.measure_next or "")


def test_a_place_read_twice_that_differs_counts_for_nothing() -> None:
    found = breaker(*COVERS, RIGHT, RIGHT | {"values": ["60", "55", "50"]}, COUPLED)
    assert found.breaker is None
    assert any("read 2 times" in reason for reason in found.reasons)


@spoilt
def test_a_cable_whose_reading_is_spoilt_keeps_the_bundle_open(
    spoil: Callable[[Written], Written],
) -> None:
    rows = [{"at": at, "values": v, "sensitivity": "2"} for at, v in (("C-1", "88"), ("C-2", "30"))]
    last = spoil({"at": "C-3", "values": "80", "sensitivity": "2"})
    found = bundle_reading([Reading.model_validate(row) for row in (*rows, last)])
    assert (found.verdict, found.cable) == ("not enough", None)
    assert any("C-3 does not count" in reason for reason in found.reasons)


HEAD = {"date": "2026-01-01", "by": "A.B.", "connection": "dead conductor with remote return"}
ALONG = [
    {"at": f"{10 * i} ft", "values": str(value), "sensitivity": "4"}
    for i, value in enumerate((78, 77, 75, 76, 22, 12, 10))
]


def along(rows: list[Written], purpose: str = "locate an open") -> Trace:
    return Trace.model_validate({**HEAD, "purpose": purpose, "readings": rows})


def test_the_sound_run_is_located_in_any_order_and_in_mixed_units() -> None:
    found = run_readings(along(ALONG), None)
    assert found.verdict == "located"
    backwards = run_readings(along(ALONG[::-1]), None)
    assert (backwards.interval, backwards.segment) == (found.interval, found.segment)
    metres = [row | {"at": f"{3.048 * i:.3f} m"} if i % 2 else row for i, row in enumerate(ALONG)]
    mixed = run_readings(along(metres), None)
    assert mixed.segment is not None
    assert found.segment is not None
    assert mixed.segment.low_m == pytest.approx(found.segment.low_m)
    assert mixed.segment.high_m == pytest.approx(found.segment.high_m)


@spoilt
@pytest.mark.parametrize("number", range(len(ALONG)))
def test_one_reading_spoilt_never_narrows_where_the_fault_lies(
    spoil: Callable[[Written], Written], number: int
) -> None:
    rows = [spoil(row) if i == number else row for i, row in enumerate(ALONG)]
    without = run_readings(along([row for i, row in enumerate(ALONG) if i != number]), None)
    found = run_readings(along(rows), None)
    assert (found.verdict, found.interval) == (without.verdict, without.interval)
    assert any(f'"{ALONG[number]["at"]}" is left out' in reason for reason in found.reasons)


@spoilt
def test_too_few_sound_readings_are_no_answer(spoil: Callable[[Written], Written]) -> None:
    rows = [spoil(row) if i % 2 else row for i, row in enumerate(ALONG)]
    assert run_readings(along(rows), None).verdict == "not enough"


@spoilt
def test_a_run_with_spoilt_readings_shows_no_more_than_without_them(
    spoil: Callable[[Written], Written],
) -> None:
    marks = [{"at": "0 ft", "what": "panel"}, {"at": "60 ft", "what": "far end"}]
    run = Run.model_validate({"of": "LP-1/3", "landmarks": marks})
    rows = [row | {"values": "74"} for row in ALONG]
    assert followed_run(along(rows, "follow a run"), run).verdict == "followed"
    spoilt_rows = [spoil(row) if 2 <= i <= 5 else row for i, row in enumerate(rows)]
    found = followed_run(along(spoilt_rows, "follow a run"), run)
    assert any("left out" in reason for reason in found.reasons)
    assert found.verdict in {"followed in part", "signal lost", "not enough"}
