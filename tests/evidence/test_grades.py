"""Grades of evidence, by the words of design section 5.

Unverified: drawing, door card, hearsay. Traced. Confirmed: opened, and the load went dead. A grade
falls back when it is older than the owner's limit or than a later change of the circuit.
"""

import datetime as dt
from pathlib import Path

import pytest

from recordgen.evidence.grades import Grades
from tests.network.asking import portfolio

AS_OF = dt.date(2026, 11, 25)

# RC-1 on LP-1/14, MOTOR behind a starter on LP-1/16, SRV on LP-1/18 and LP-1/20.
RECORDS = """
sources: {UTIL: {kind: utility}}
panels:
  LP-1:
    kind: panelboard
    main: lugs
    fed_from: UTIL
    circuits:
      14: {device: 20 A, loads: {RC-1: {kind: receptacle}, RC-2: {kind: receptacle}}}
      16: {device: 20 A}
      18: {device: 20 A}
      20: {device: 20 A}
equipment:
  MS-1: {kind: motor starter, fed_from: LP-1/16}
  TX-1: {kind: transformer, fed_from: LP-1/16}
loads:
  MOTOR: {kind: motor, fed_from: MS-1}
  SRV: {kind: IT, fed_from: [LP-1/18, LP-1/20], needs: any}
  BELL: {kind: other, fed_from: TX-1}
  LAMP: {kind: lighting, fed_from: unknown}
traces:
"""
BREAKER, LIST = "identify the breaker", "list what is downstream"


def trace(number: int, day: str, purpose: str = BREAKER, **more: str) -> str:
    fields = "".join(f", {key}: {value}" for key, value in more.items())
    return f"  T-{number}: {{date: {day}, by: JD, purpose: {purpose}{fields}}}\n"


def grades(
    folder: Path, *traces: str, text: str = RECORDS, as_of: dt.date = AS_OF, building: str = ""
) -> Grades:
    records = text + "".join(traces) if traces else text.replace("traces:\n", "")
    found = portfolio(folder, records, about=building)
    return Grades(found.buildings, found.network, as_of)


def grade(found: Grades, load: str) -> tuple[str, str | None]:
    answer = found.of_load(f"home:{load}")
    return answer.name, answer.trace


def on_14(**more: str) -> dict[str, str]:
    return {"load": "RC-1", "concluded_circuit": "LP-1/14", **more}


def test_without_a_trace_it_is_unverified(tmp_path: Path) -> None:
    found = grades(tmp_path)
    assert grade(found, "RC-1") == ("unverified", None)
    assert found.of_load("home:RC-1").reason == "no trace recorded"
    assert found.of_load("home:LAMP").reason == "source not recorded"


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ({}, "traced"),
        ({"confirmed_by_opening": "no"}, "traced"),
        ({"confirmed_by_opening": "yes"}, "confirmed"),
    ],
)
def test_traced_and_confirmed(tmp_path: Path, more: dict[str, str], expected: str) -> None:
    found = grades(tmp_path, trace(1, "2026-10-05", **on_14(**more)))
    assert grade(found, "RC-1") == (expected, "home:T-1")
    assert found.of_load("home:RC-1").date == dt.date(2026, 10, 5)
    # Another load of the same circuit has not been looked at.
    assert grade(found, "RC-2") == ("unverified", None)
    assert found.contradictions == []


def test_a_trace_that_concludes_nothing_grades_nothing(tmp_path: Path) -> None:
    found = grades(tmp_path, trace(1, "2026-10-05", load="RC-1"))
    assert grade(found, "RC-1") == ("unverified", None)


def test_listing_what_is_downstream_grades_what_was_found(tmp_path: Path) -> None:
    listed = {"circuit": "LP-1/14", "found": "[RC-1, RC-2]"}
    found = grades(tmp_path, trace(1, "2026-10-05", LIST, **listed))
    assert grade(found, "RC-1") == grade(found, "RC-2") == ("traced", "home:T-1")


def test_a_circuit_that_was_only_followed_grades_nothing(tmp_path: Path) -> None:
    followed = {"circuit": "LP-1/14", "load": "RC-1"}
    found = grades(tmp_path, trace(1, "2026-10-05", "follow a run", **followed))
    assert grade(found, "RC-1") == ("unverified", None)


def test_the_better_evidence_stands_and_of_equals_the_later(tmp_path: Path) -> None:
    opened = on_14(confirmed_by_opening="yes")
    found = grades(
        tmp_path / "1", trace(1, "2026-03-01", **opened), trace(2, "2026-10-05", **on_14())
    )
    assert grade(found, "RC-1") == ("confirmed", "home:T-1")
    found = grades(
        tmp_path / "2", trace(1, "2026-10-05", **on_14()), trace(2, "2026-03-01", **on_14())
    )
    assert grade(found, "RC-1") == ("traced", "home:T-1")


def test_a_load_with_two_feeds_is_known_as_well_as_the_worse(tmp_path: Path) -> None:
    first = trace(1, "2026-10-05", load="SRV", concluded_circuit="LP-1/18")
    second = trace(2, "2026-10-06", load="SRV", concluded_circuit="LP-1/20")
    assert grade(grades(tmp_path / "1", first), "SRV") == ("unverified", None)
    assert grade(grades(tmp_path / "2", first, second), "SRV")[0] == "traced"
    found = grades(tmp_path / "3", first)
    assert found.of_claim("home:SRV", "home:LP-1/18").name == "traced"
    assert found.of_claim("home:SRV", "home:LP-1/20").name == "unverified"


def test_a_trace_passes_a_starter_and_no_transformer(tmp_path: Path) -> None:
    # A signal passes closed contacts; through a transformer it does not come (common practice).
    motor = trace(1, "2026-10-05", load="MOTOR", concluded_circuit="LP-1/16")
    found = grades(tmp_path / "1", motor)
    assert grade(found, "MOTOR") == ("traced", "home:T-1")
    assert found.contradictions == []
    bell = trace(1, "2026-10-05", load="BELL", concluded_circuit="LP-1/16")
    assert grade(grades(tmp_path / "2", bell), "BELL") == ("unverified", None)


@pytest.mark.parametrize(
    ("changed", "expected"),
    # A change on the very day: which came first is not recorded; the trace is taken as the later.
    [("2026-10-04", "traced"), ("2026-10-05", "traced"), ("2026-10-06", "unverified")],
)
def test_a_later_change_of_the_circuit_outdates_it(
    tmp_path: Path, changed: str, expected: str
) -> None:
    text = RECORDS.replace("14: {device", f"14: {{changed: {changed}, device")
    found = grades(tmp_path, trace(1, "2026-10-05", **on_14()), text=text)
    answer = found.of_load("home:RC-1")
    assert answer.name == expected
    assert ("changed on 2026-10-06" in answer.reason) == (expected == "unverified")


@pytest.mark.parametrize(("days", "expected"), [(50, "unverified"), (51, "traced")])
def test_it_ages_by_the_owner_s_limit(tmp_path: Path, days: int, expected: str) -> None:
    # From 2026-10-05 to 2026-11-25 are 26 + 25 = 51 days.
    dated = trace(1, "2026-10-05", **on_14())
    found = grades(tmp_path, dated, building=f", evidence_valid_for: {days} days")
    assert grade(found, "RC-1")[0] == expected


def test_without_a_limit_it_does_not_age(tmp_path: Path) -> None:
    assert grade(grades(tmp_path, trace(1, "1999-10-05", **on_14())), "RC-1")[0] == "traced"


def test_what_is_dated_after_the_day_asked_for_is_not_known_yet(tmp_path: Path) -> None:
    early = dt.date(2026, 10, 4)
    found = grades(tmp_path, trace(1, "2026-10-05", **on_14()), as_of=early)
    assert grade(found, "RC-1") == ("unverified", None)


def test_a_trace_that_finds_it_elsewhere_contradicts_the_record(tmp_path: Path) -> None:
    elsewhere = {"load": "RC-1", "concluded_circuit": "LP-1/18"}
    found = grades(tmp_path / "1", trace(1, "2026-10-05", **elsewhere))
    (contradiction,) = found.contradictions
    assert (contradiction.trace, contradiction.load) == ("T-1", "home:RC-1")
    assert contradiction.recorded == ("home:LP-1/14",)
    assert contradiction.concluded == "home:LP-1/18"
    assert grade(found, "RC-1") == ("unverified", None)
    settled = trace(1, "2026-10-05", **elsewhere, resolved="moved back")
    assert grades(tmp_path / "2", settled).contradictions == []


def test_an_unknown_source_cannot_be_contradicted(tmp_path: Path) -> None:
    found = grades(tmp_path, trace(1, "2026-10-05", load="LAMP", concluded_circuit="LP-1/18"))
    assert found.contradictions == []
