"""Grades of evidence, by the words of the project's design.

Unverified: drawing, door card, hearsay. Traced, where the readings bear it. Confirmed: opened, and
the load went dead. A grade falls back when it is older than the owner's limit, or than a later
change of anything between the load and the circuit.
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
OPENED = {"confirmed_by_opening": "yes"}
STRONG, WEAK = "[86, 79, 74]", "[40, 20, 12]"
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


def strong_at(position: int) -> str:
    """Return readings that show one breaker of the panel: strong in three orientations there."""
    return (
        "["
        + ", ".join(
            f"{{at: LP-1/{at}, sensitivity: 4, values: {STRONG if at == position else WEAK}}}"
            for at in (14, 16, 18, 20)
        )
        + "]"
    )


def on(load: str, position: int, **more: str) -> dict[str, str]:
    return {
        "load": load,
        "concluded_circuit": f"LP-1/{position}",
        "readings": strong_at(position),
        **more,
    }


def on_14(**more: str) -> dict[str, str]:
    return on("RC-1", 14, **more)


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
    # Both stand out from LAMP, which is not on the circuit.
    read = "[{at: RC-1, %s, values: 74}, {at: RC-2, %s, values: 70}, {at: LAMP, %s, values: 9}]"
    read = read.replace("%s", "sensitivity: 4")
    found = grades(tmp_path / "1", trace(1, "2026-10-05", LIST, **listed, readings=read))
    assert grade(found, "RC-1") == grade(found, "RC-2") == ("traced", "home:T-1")
    found = grades(tmp_path / "2", trace(1, "2026-10-05", LIST, **listed, **OPENED))
    assert grade(found, "RC-1") == grade(found, "RC-2") == ("confirmed", "home:T-1")
    weak = read.replace("70", "22")
    found = grades(tmp_path / "3", trace(1, "2026-10-05", LIST, **listed, readings=weak))
    assert (grade(found, "RC-1")[0], grade(found, "RC-2")[0]) == ("traced", "unverified")
    assert "do not show it" in found.of_load("home:RC-2").reason


@pytest.mark.parametrize(
    ("fields", "reason"),
    [
        ({"load": "RC-1", "concluded_circuit": "LP-1/14"}, "no readings recorded in trace T-1"),
        # A reading at the top of the scale on two breakers: sensitivity left too high.
        (
            on_14(readings=strong_at(14).replace(WEAK, "99").replace(STRONG, "99")),
            "the readings of trace T-1 are",
        ),
        (on_14(readings=strong_at(16)), "the readings of trace T-1 point at LP-1/16"),
        (on_14(readings="[{at: LP-1/14, sensitivity: 4, values: 80}]"), "are not enough"),
    ],
)
def test_readings_that_do_not_bear_it_grade_nothing(
    tmp_path: Path, fields: dict[str, str], reason: str
) -> None:
    found = grades(tmp_path / "1", trace(1, "2026-10-05", **fields))
    answer = found.of_load("home:RC-1")
    assert (answer.name, answer.trace) == ("unverified", "home:T-1")
    assert reason in answer.reason
    # Opening the breaker bears it all the same; that the readings point elsewhere is said.
    found = grades(tmp_path / "2", trace(1, "2026-10-05", **fields, **OPENED))
    answer = found.of_load("home:RC-1")
    assert answer.name == "confirmed"
    assert ("point at LP-1/16 all the same" in answer.reason) == (
        fields == on_14(readings=strong_at(16))
    )


def test_what_was_only_named_beside_it_is_not_traced(tmp_path: Path) -> None:
    found = grades(tmp_path, trace(1, "2026-10-05", **on_14(found="RC-2")))
    assert grade(found, "RC-1")[0] == "traced"
    assert grade(found, "RC-2")[0] == "unverified"
    assert "no reading was taken at it" in found.of_load("home:RC-2").reason


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
    first = trace(1, "2026-10-05", **on("SRV", 18))
    second = trace(2, "2026-10-06", **on("SRV", 20))
    assert grade(grades(tmp_path / "1", first), "SRV") == ("unverified", None)
    assert grade(grades(tmp_path / "2", first, second), "SRV")[0] == "traced"
    found = grades(tmp_path / "3", first)
    assert found.of_claim("home:SRV", "home:LP-1/18").name == "traced"
    assert found.of_claim("home:SRV", "home:LP-1/20").name == "unverified"


def test_a_trace_passes_a_starter_and_no_transformer(tmp_path: Path) -> None:
    # A signal passes closed contacts; through a transformer it does not come (common practice).
    motor = trace(1, "2026-10-05", **on("MOTOR", 16))
    found = grades(tmp_path / "1", motor)
    assert grade(found, "MOTOR") == ("traced", "home:T-1")
    assert found.contradictions == []
    # Opened, it bears the record, and yet not which feed of the load: TX-1 may have others.
    bell = trace(1, "2026-10-05", load="BELL", concluded_circuit="LP-1/16", **OPENED)
    found = grades(tmp_path / "2", bell)
    assert grade(found, "BELL") == ("unverified", "home:T-1")
    assert "further up" in found.of_load("home:BELL").reason
    assert found.contradictions == []


def test_behind_a_drive_only_opening_shows_the_feed(tmp_path: Path) -> None:
    # A drive rectifies: the signal of a transmitter does not pass it (common practice).
    text = RECORDS.replace("kind: motor starter", "kind: variable-frequency drive")
    found = grades(tmp_path / "1", trace(1, "2026-10-05", **on("MOTOR", 16)), text=text)
    assert grade(found, "MOTOR") == ("unverified", "home:T-1")
    assert "MS-1 passes no tracer's signal" in found.of_load("home:MOTOR").reason
    opened = trace(1, "2026-10-05", load="MOTOR", concluded_circuit="LP-1/16", **OPENED)
    found = grades(tmp_path / "2", opened, text=text)
    assert grade(found, "MOTOR") == ("confirmed", "home:T-1")


@pytest.mark.parametrize(
    ("thing", "changed"),
    [
        ("MS-1: {", "MS-1: {changed: 2026-10-06, "),
        ("LP-1:\n", "LP-1:\n    changed: 2026-10-06\n"),
        ("MOTOR: {", "MOTOR: {changed: 2026-10-06, "),
        ("16: {", "16: {changed: 2026-10-06, "),
    ],
)
def test_a_later_change_of_anything_on_the_way_outdates_it(
    tmp_path: Path, thing: str, changed: str
) -> None:
    assert thing in RECORDS
    text = RECORDS.replace(thing, changed)
    dated = trace(1, "2026-10-05", **on("MOTOR", 16))
    found = grades(tmp_path / "1", dated, text=text)
    assert grade(found, "MOTOR") == ("unverified", "home:T-1")
    assert "was changed on 2026-10-06, after trace T-1" in found.of_load("home:MOTOR").reason
    found = grades(tmp_path / "2", dated.replace("10-05", "10-07"), text=text)
    assert grade(found, "MOTOR")[0] == "traced"


def test_a_change_elsewhere_outdates_nothing(tmp_path: Path) -> None:
    text = RECORDS.replace("TX-1: {", "TX-1: {changed: 2026-10-06, ").replace(
        "18: {", "18: {changed: 2026-10-06, "
    )
    found = grades(tmp_path, trace(1, "2026-10-05", **on("MOTOR", 16)), text=text)
    assert grade(found, "MOTOR")[0] == "traced"


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        ("2026-10-04", ""),
        ("2026-10-05", "changed on 2026-10-05, the day of trace T-1: which came first"),
        ("2026-10-06", "changed on 2026-10-06, after trace T-1 of 2026-10-05"),
    ],
)
def test_a_later_change_of_the_circuit_outdates_it(
    tmp_path: Path, changed: str, expected: str
) -> None:
    text = RECORDS.replace("14: {device", f"14: {{changed: {changed}, device")
    found = grades(tmp_path, trace(1, "2026-10-05", **on_14()), text=text)
    answer = found.of_load("home:RC-1")
    assert answer.name == ("unverified" if expected else "traced")
    assert expected in answer.reason


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
    assert grade(found, "RC-1") == ("unverified", "home:T-1")
    assert found.of_load("home:RC-1").reason == "trace T-1 finds it on LP-1/18"
    settled = trace(1, "2026-10-05", **elsewhere, resolved="moved back")
    assert grades(tmp_path / "2", settled).contradictions == []


def test_an_unknown_source_cannot_be_contradicted(tmp_path: Path) -> None:
    found = grades(tmp_path, trace(1, "2026-10-05", load="LAMP", concluded_circuit="LP-1/18"))
    assert found.contradictions == []


def test_what_one_trace_has_elsewhere_is_verified_by_none(tmp_path: Path) -> None:
    agreeing = trace(1, "2026-10-05", **on_14(**OPENED))
    elsewhere = trace(2, "2026-03-01", load="RC-1", concluded_circuit="LP-1/18")
    found = grades(tmp_path, agreeing, elsewhere)
    assert grade(found, "RC-1") == ("unverified", "home:T-2")
    (contradiction,) = found.contradictions
    assert [other.trace for other in contradiction.others] == ["T-1"]


def test_two_traces_may_contradict_each_other_alone(tmp_path: Path) -> None:
    first = trace(1, "2026-03-01", load="LAMP", concluded_circuit="LP-1/18")
    second = trace(2, "2026-10-05", LIST, circuit="LP-1/20", found="LAMP")
    found = grades(tmp_path / "1", first, second)
    (contradiction,) = found.contradictions
    assert (contradiction.trace, contradiction.concluded) == ("T-2", "home:LP-1/20")
    assert contradiction.recorded == ()
    assert [other.trace for other in contradiction.others] == ["T-1"]
    settled = first.replace("}", ", resolved: it was another lamp}")
    assert grades(tmp_path / "2", settled, second).contradictions == []
    # That two traces say the same is none.
    same = trace(2, "2026-10-05", LIST, circuit="LP-1/18", found="LAMP")
    assert grades(tmp_path / "3", first, same).contradictions == []


# LP-2 is fed through LP-1/16.
BELOW = """
  LP-2:
    kind: panelboard
    main: lugs
    fed_from: LP-1/16
    circuits:
      2: {device: 20 A, loads: {FAN: {kind: motor}}}
equipment:"""


def test_what_a_feeder_darkens_is_no_contradiction(tmp_path: Path) -> None:
    text = RECORDS.replace("\nequipment:", BELOW)
    listed = trace(1, "2026-10-05", LIST, circuit="LP-1/16", found="FAN", **OPENED)
    found = grades(tmp_path / "1", listed, text=text)
    assert found.contradictions == []
    assert grade(found, "FAN") == ("unverified", "home:T-1")
    assert "further up" in found.of_load("home:FAN").reason
    # Who looked for its breaker found another than the record has.
    looked = trace(1, "2026-10-05", load="FAN", concluded_circuit="LP-1/16")
    assert len(grades(tmp_path / "2", looked, text=text).contradictions) == 1
