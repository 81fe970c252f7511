from pathlib import Path

import pytest

from recordgen.checks import duplicate_entry
from tests.checks.running import examples, found_by, told, with_circuit

HALL = "12: {description: Hall lights, device: 20 A, loads: none},\n      "


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(duplicate_entry, "Passing")
    assert found_by(duplicate_entry, tmp_path, with_circuit(HALL + example)) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(duplicate_entry, "Failing")
    problems = found_by(duplicate_entry, tmp_path, with_circuit(HALL + example))
    # At the description of the first; the other one is named.
    assert told(problems) == [(6, 25, "warning", "duplicate-entry")]
    assert [(place.line, place.column) for place in problems[0].related] == [(7, 25)]
    assert problems[0].subjects == ("home:LP-1/12", "home:LP-1/14")
    assert "12 and 14" in problems[0].message


@pytest.mark.parametrize(
    "other", ["14: {description: HALL LIGHTS., loads: none}", "14: {description: Hall lights?}"]
)
def test_capitals_and_stops_tell_nothing_apart(tmp_path: Path, other: str) -> None:
    assert len(found_by(duplicate_entry, tmp_path, with_circuit(HALL + other))) == 1


def test_spares_may_be_alike(tmp_path: Path) -> None:
    circuits = "12: {description: Kitchen, spare: yes},\n 14: {description: Kitchen, spare: yes}"
    assert found_by(duplicate_entry, tmp_path, with_circuit(circuits)) == []
