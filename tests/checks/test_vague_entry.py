from pathlib import Path

import pytest

from recordgen.checks import vague_entry
from tests.checks.running import examples, found_by, told, with_circuit


def entry(description: str) -> str:
    return with_circuit(f'14: {{description: "{description}", device: 20 A, loads: none}}')


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(vague_entry, "Passing")
    assert found_by(vague_entry, tmp_path, with_circuit(example)) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(vague_entry, "Failing")
    problems = found_by(vague_entry, tmp_path, with_circuit(example))
    assert told(problems) == [(6, 25, "warning", "vague-entry")]
    assert problems[0].subjects == ("home:LP-1/14",)
    assert '14 "lights"' in problems[0].message


# What NEC 408.4(A) asks is a matter of judgement; these are entries that are common and useless, or
# good (common practice).
@pytest.mark.parametrize(
    "description",
    ["lights", "Plugs", "misc.", "receptacles", "?", "spare", "unit with no label", "plugs, west?"],
)
def test_words_that_say_nothing(tmp_path: Path, description: str) -> None:
    (problem,) = found_by(vague_entry, tmp_path, entry(description))
    assert problem.code == "vague-entry"


@pytest.mark.parametrize("description", ["Range", "plugs, east", "Exam 1", "Kiln", "clock + bell"])
def test_words_that_say_something(tmp_path: Path, description: str) -> None:
    assert found_by(vague_entry, tmp_path, entry(description)) == []


def test_a_circuit_in_use_without_words_is_found_at_its_position(tmp_path: Path) -> None:
    problems = found_by(vague_entry, tmp_path, with_circuit("14: {device: 20 A, loads: none}"))
    assert told(problems) == [(6, 7, "note", "entry-not-recorded")]


@pytest.mark.parametrize("circuit", ["14: spare", "14: space"])
def test_spares_and_spaces_need_no_words(tmp_path: Path, circuit: str) -> None:
    assert found_by(vague_entry, tmp_path, with_circuit(circuit)) == []


def test_all_of_a_panel_are_one_finding(tmp_path: Path) -> None:
    circuits = "12: {description: lights},\n      14: {description: plugs}"
    (problem,) = found_by(vague_entry, tmp_path, with_circuit(circuits))
    assert problem.subjects == ("home:LP-1/12", "home:LP-1/14")
    assert [place.line for place in problem.related] == [7]


def test_a_name_of_who_sits_there_is_a_note(tmp_path: Path) -> None:
    problems = found_by(vague_entry, tmp_path, entry("Clerk's desk"))
    assert told(problems) == [(6, 25, "note", "entry-names-occupant")]


def test_the_name_of_a_room_is_none(tmp_path: Path) -> None:
    rooms = "rooms: {7: {name: Clerk's desk}}\n"
    assert found_by(vague_entry, tmp_path, entry("Clerk's desk") + rooms) == []
