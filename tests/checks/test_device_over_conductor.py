from pathlib import Path

import pytest

from recordgen.checks import device_over_conductor
from tests.checks.running import examples, found_by, told, with_circuit


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(device_over_conductor, "Passing")
    assert found_by(device_over_conductor, tmp_path, with_circuit(example)) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(device_over_conductor, "Failing")
    problems = found_by(device_over_conductor, tmp_path, with_circuit(example))
    assert told(problems) == [(6, 37, "warning", "device-over-conductor")]
    assert problems[0].subjects == ("home:LP-1/3",)


def test_the_finding_names_the_device_the_limit_and_the_clause(tmp_path: Path) -> None:
    (example,) = examples(device_over_conductor, "Failing")
    (problem,) = found_by(device_over_conductor, tmp_path, with_circuit(example))
    assert "LP-1/3 with 30 A is too large for 12 AWG Cu: 20 A at most (NEC 240.4)" in str(problem)
    assert [str(place) for place in problem.related] == ["buildings/home/records.yaml:6:7"]


# NEC 110.14(C)(1) and table 310.16: 3 AWG copper carries 85 A at terminals of 60 °C, 100 A at
# terminals of 75 °C; which they are decides (common knowledge of the trade).
@pytest.mark.parametrize(
    ("terminals", "found"),
    [
        ("", [(6, 38, "note", "device-over-conductor-open")]),
        (", terminals: 75 C", []),
        (", terminals: 60 C", [(6, 38, "warning", "device-over-conductor")]),
    ],
)
def test_what_hangs_on_the_terminals_is_a_note(
    tmp_path: Path, terminals: str, found: list[tuple[int, int, str, str]]
) -> None:
    conductors = f"{{size: 3 AWG Cu, insulation: THWN-2{terminals}}}"
    circuit = f"3: {{device: 100 A, conductors: {conductors}, loads: none}}"
    problems = found_by(device_over_conductor, tmp_path, with_circuit(circuit))
    assert told(problems) == found


def test_the_circuit_of_a_motor_has_its_own_rule(tmp_path: Path) -> None:
    motor = "P-1: {kind: pump, power: 5 hp}"
    circuit = f"3: {{device: 30 A, conductors: 12 AWG Cu, loads: {{{motor}}}}}"
    assert found_by(device_over_conductor, tmp_path, with_circuit(circuit)) == []


def test_what_may_allow_it_is_told(tmp_path: Path) -> None:
    circuit = "3: {device: 30 A, conductors: 12 AWG Cu}"
    (problem,) = found_by(device_over_conductor, tmp_path, with_circuit(circuit))
    assert "unless it feeds motors only, 430.52: not all that it feeds is recorded" in str(problem)
