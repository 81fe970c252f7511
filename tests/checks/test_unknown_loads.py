from pathlib import Path

import pytest

from recordgen.checks import unknown_loads
from tests.checks.running import examples, found_by, told, with_circuit


def test_the_passing_examples(tmp_path: Path) -> None:
    whole, part = examples(unknown_loads, "Passing")
    assert found_by(unknown_loads, tmp_path / "1", with_circuit(whole)) == []
    none = f"14: {{device: 20 A, {part}}}"
    assert found_by(unknown_loads, tmp_path / "2", with_circuit(none)) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(unknown_loads, "Failing")
    problems = found_by(unknown_loads, tmp_path, with_circuit(example))
    assert told(problems) == [(6, 7, "stop", "load-unknown")]
    assert problems[0].subjects == ("home:LP-1/14",)


def test_a_circuit_that_says_nothing_is_a_warning(tmp_path: Path) -> None:
    problems = found_by(unknown_loads, tmp_path, with_circuit("14: {device: 20 A}"))
    assert told(problems) == [(6, 7, "warning", "loads-not-recorded")]


@pytest.mark.parametrize(
    "circuit", ["14: spare", "14: space", "14: {device: 20 A, loads: unknown, normal: open}"]
)
def test_spares_spaces_and_open_circuits_are_fine(tmp_path: Path, circuit: str) -> None:
    assert found_by(unknown_loads, tmp_path, with_circuit(circuit)) == []


def test_a_circuit_that_feeds_a_panel_has_its_load(tmp_path: Path) -> None:
    text = with_circuit("14: {device: 60 A}") + ("  LP-2: {kind: panelboard, fed_from: LP-1/14}\n")
    assert found_by(unknown_loads, tmp_path, text) == []
