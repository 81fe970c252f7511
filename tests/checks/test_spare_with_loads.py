from pathlib import Path

from recordgen.checks import spare_with_loads
from tests.checks.running import examples, found_by, told, with_circuit


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(spare_with_loads, "Passing")
    assert found_by(spare_with_loads, tmp_path, with_circuit(example)) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(spare_with_loads, "Failing")
    problems = found_by(spare_with_loads, tmp_path, with_circuit(example))
    assert told(problems) == [(6, 7, "stop", "spare-with-loads")]
    assert problems[0].subjects == ("home:LP-1/18",)


def test_a_spare_where_somebody_looked_is_fine(tmp_path: Path) -> None:
    circuit = "18: {spare: yes, device: 20 A, loads: none}"
    assert found_by(spare_with_loads, tmp_path, with_circuit(circuit)) == []
