from pathlib import Path

import pytest

from recordgen.checks import ground_too_small
from tests.checks.running import examples, found_by, told, with_circuit


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(ground_too_small, "Passing")
    assert found_by(ground_too_small, tmp_path, with_circuit(example)) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(ground_too_small, "Failing")
    problems = found_by(ground_too_small, tmp_path, with_circuit(example))
    assert told(problems) == [(6, 37, "warning", "ground-too-small")]
    assert problems[0].subjects == ("home:LP-1/3",)


def test_the_finding_names_what_is_needed(tmp_path: Path) -> None:
    (example,) = examples(ground_too_small, "Failing")
    (problem,) = found_by(ground_too_small, tmp_path, with_circuit(example))
    assert "the equipment ground of 12 AWG Cu is too small for 60 A: at least 10 AWG Cu" in str(
        problem
    )


# NEC 250.122(B), from memory: 60 A in 3 AWG for its length instead of 6 AWG asks for a ground of
# 10,380 × 52,620 / 26,240 = 20,815 circular mils: 8 AWG has 16,510, 6 AWG has 26,240.
@pytest.mark.parametrize(("ground", "codes"), [("8", ["ground-not-increased"]), ("6", [])])
def test_a_ground_that_was_not_increased_with_the_others(
    tmp_path: Path, ground: str, codes: list[str]
) -> None:
    size = f"size: 3 AWG Cu, insulation: THWN-2, terminals: 75 C, ground: {ground} AWG Cu"
    circuit = f"3: {{device: 60 A, conductors: {{{size}}}, loads: none}}"
    problems = found_by(ground_too_small, tmp_path, with_circuit(circuit))
    assert [(p.severity, p.code) for p in problems] == [("note", code) for code in codes]
    assert all("20,815 circular mils" in str(p) for p in problems)
