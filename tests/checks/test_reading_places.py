from pathlib import Path

import pytest

from recordgen.checks import reading_places
from recordgen.problems import Problem
from tests.checks.running import examples, found_by, told

HOUSE = """sources: {UTIL: {kind: utility}}
panels:
  LP-1:
    kind: panelboard
    main: {rating: 100 A}
    fed_from: UTIL
    circuits: {1: {device: 20 A, loads: {FAN: {kind: motor}}}, 2-4: {spare: yes}}
cables:
  C-1: {kind: coax, bundle: B-1}
  C-2: {kind: coax, bundle: B-1}
  C-3: {kind: coax, bundle: B-2}
  C-4: {kind: coax}
runs:
  R-1:
    of: LP-1/1
    landmarks:
      - {at: 0 ft, what: LP-1}
      - {at: 40 ft, what: Box by the door}
      - {what: hatch}
      - {at: 60 ft, what: bend}
      - {at: 70 ft, what: bend}
      - {at: 90 ft, what: fan}
traces:
"""
# The name of the building stands in line 1, and the head of the trace before its readings.
FIRST = HOUSE.count("\n") + 3


def of(folder: Path, purpose: str, more: str, *places: str) -> list[Problem]:
    """Return what is found on a trace whose readings stand in line `FIRST` and on."""
    lines = "".join(f"      - {{{place}, values: 70, sensitivity: 4}}\n" for place in places)
    head = f"  T-1: {{date: 2026-03-01, by: JD, purpose: {purpose}, {more} readings: [\n"
    text = lines.replace("- ", "").replace("}\n", "},\n")
    return found_by(reading_places, folder, f"{HOUSE}{head}{text}  ]}}\n")


def along(folder: Path, *places: str, more: str = "run: R-1, circuit: LP-1/1,") -> list[Problem]:
    return of(folder, "follow a run", more, *places)


def test_the_passing_example(tmp_path: Path) -> None:
    assert along(tmp_path, *examples(reading_places, "Passing")) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (problem,) = along(tmp_path, *examples(reading_places, "Failing"))
    assert told([problem]) == [(FIRST, 12, "warning", "beyond-the-run")]
    assert problem.message == "T-1: 300 ft lies beyond the run as recorded"
    assert problem.subjects == ("home:LP-1/1",)


def test_both_ends_of_the_run_and_its_landmarks_are_places(tmp_path: Path) -> None:
    assert along(tmp_path, "at: 0 ft", "at: box  by THE door", "at: 90 ft") == []


@pytest.mark.parametrize(
    ("place", "code", "hint"),
    [
        ("at: Box by the doors", "no-such-landmark", 'did you mean "Box by the door"?'),
        ("at: hatch", "place-not-known", "write the distance"),
        ("at: bend", "place-not-known", "write the distance"),
        ("at: 90.1 ft", "beyond-the-run", "correct the distance, or the landmarks of the run"),
    ],
)
def test_a_place_that_cannot_be_told(tmp_path: Path, place: str, code: str, hint: str) -> None:
    (problem,) = along(tmp_path, place)
    assert told([problem]) == [(FIRST, 12, "warning", code)]
    assert problem.hint == hint


def test_without_a_run_only_distances_are_places(tmp_path: Path) -> None:
    (problem,) = along(tmp_path, "at: 30 ft", "at: box", more="circuit: LP-1/1,")
    assert told([problem]) == [(FIRST + 1, 12, "warning", "place-not-known")]


def test_several_wrong_places_of_a_kind_are_one_finding(tmp_path: Path) -> None:
    (problem,) = along(tmp_path, "at: here", "at: 30 ft", "at: there")
    assert problem.message == 'T-1: the run has no landmark "here"; the run has no landmark "there"'
    assert [place.line for place in problem.related] == [FIRST + 2]


def test_where_instruments_were_joined_is_a_place_too(tmp_path: Path) -> None:
    ends = (
        "run: R-1, transmitter_at: 95 ft, echo: {time: 300 ± 5 ns, from: shed}, "
        "bridge: {sound_arm: 3 ohm, faulty_arm: 1 ohm, from: barn},"
    )
    found = of(tmp_path, "locate a short", ends)
    assert [(p.code, p.message) for p in found] == [
        ("beyond-the-run", "T-1: 95 ft lies beyond the run as recorded"),
        (
            "no-such-landmark",
            'T-1: the run has no landmark "shed"; the run has no landmark "barn"',
        ),
    ]


def test_readings_are_in_order_from_either_end(tmp_path: Path) -> None:
    assert along(tmp_path, "at: 90 ft", "at: 45 ft", "at: 45 ft", "at: LP-1") == []
    (problem,) = along(tmp_path / "back", "at: 0 ft", "at: 54 ft", "at: 45 ft", "at: fan")
    assert told([problem]) == [(FIRST + 2, 12, "note", "reading-order")]
    assert problem.message.startswith("T-1: the reading at 45 ft is out of order")


def test_feet_and_metres_in_one_trace(tmp_path: Path) -> None:
    assert along(tmp_path, "at: 0 ft", "at: 100 in", "at: 30 ft") == []
    (problem,) = along(tmp_path / "both", "at: 0 ft", "at: 30 ft", "at: 12 m")
    assert told([problem]) == [(FIRST + 2, 12, "note", "places-in-two-units")]
    assert problem.message.endswith(": 0 ft, 12 m")


def breaker(folder: Path, *places: str) -> list[Problem]:
    return of(folder, "identify the breaker", "load: FAN,", *places)


def test_a_breaker_that_is_recorded(tmp_path: Path) -> None:
    read = ("at: LP-1", "at: LP-1/1", "at: LP-1/4", "at: LP-1/main", "at: home:LP-1/2-4")
    assert breaker(tmp_path, *read) == []


@pytest.mark.parametrize(
    ("place", "said"),
    [
        ("at: LP-1/9", 'LP-1 has no circuit "9"'),
        ("at: LP-9/1", '"LP-9/1" is not recorded'),
        ("at: barn:LP-1/1", '"barn:LP-1/1" is not recorded'),
        ("at: box by the door", '"box by the door" is no panel or breaker'),
    ],
)
def test_a_breaker_that_is_not_recorded(tmp_path: Path, place: str, said: str) -> None:
    (problem,) = breaker(tmp_path, "at: LP-1/1", place)
    assert told([problem]) == [(FIRST + 1, 12, "warning", "no-such-breaker")]
    assert problem.message == f"T-1: {said}"
    assert problem.subjects == ("home:FAN",)


def test_a_cable_that_is_not_recorded(tmp_path: Path) -> None:
    (problem,) = of(tmp_path, "sort a bundle", "cable: C-1,", "at: C-1", "at: C-2", "at: C-12")
    assert told([problem]) == [(FIRST + 2, 12, "warning", "no-such-cable")]
    assert problem.hint == 'did you mean "C-1"?'


def test_a_cable_of_another_bundle(tmp_path: Path) -> None:
    (problem,) = of(tmp_path, "sort a bundle", "cable: C-1,", "at: C-1", "at: C-3", "at: C-4")
    assert told([problem]) == [(FIRST + 1, 12, "note", "other-bundle")]
    assert "C-3 is recorded in bundle B-2, and C-1 in B-1" in problem.message


def test_the_loads_of_a_circuit_may_be_read_anywhere(tmp_path: Path) -> None:
    assert of(tmp_path, "list what is downstream", "circuit: LP-1/1,", "at: the next room") == []
