from pathlib import Path

from recordgen.checks import lockable_not_recorded
from tests.checks.running import examples, found_by, told, with_section


def with_circuits(example: str) -> str:
    """Give the panel of an example two circuits and a main."""
    inside = "main: 100 A, fed_from: MSB/5, circuits: {1: {device: 20 A}, 3: {device: 20 A}}"
    return with_section(example.replace("kind: panelboard", f"kind: panelboard, {inside}"))


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(lockable_not_recorded, "Passing")
    assert found_by(lockable_not_recorded, tmp_path, with_circuits(example)) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(lockable_not_recorded, "Failing")
    problems = found_by(lockable_not_recorded, tmp_path, with_circuits(example))
    assert told(problems) == [(4, 3, "warning", "lockable-not-recorded")]
    # The main and two circuits: one entry mends the sheets of all three.
    assert "3 devices" in problems[0].message
    assert "3 sheets" in str(problems[0].hint)
    assert problems[0].subjects == ("home:LP-1",)


def test_a_device_that_says_so_itself_is_recorded(tmp_path: Path) -> None:
    (example,) = examples(lockable_not_recorded, "Failing")
    text = with_circuits(example).replace("device: 20 A", "device: {rating: 20 A, lockable: no}")
    (problem,) = found_by(lockable_not_recorded, tmp_path, text)
    assert "1 device " in problem.message
