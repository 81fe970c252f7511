from pathlib import Path

import pytest

from recordgen.checks import parallel_too_small
from tests.checks.running import examples, found_by, told, with_circuit


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(parallel_too_small, "Passing")
    assert found_by(parallel_too_small, tmp_path, with_circuit(example)) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(parallel_too_small, "Failing")
    problems = found_by(parallel_too_small, tmp_path, with_circuit(example))
    assert told(problems) == [(6, 38, "warning", "parallel-too-small")]
    assert problems[0].subjects == ("home:LP-1/3",)


# NEC 310.10(G), from memory: 1/0 AWG and larger.
@pytest.mark.parametrize(
    ("size", "parallel", "codes"),
    [
        ("1/0 AWG Al", 2, []),
        ("1 AWG Cu", 1, []),
        ("1 AWG Cu", 2, ["parallel-too-small"]),
        ("50 mm2 Cu", 3, ["parallel-too-small"]),
        ("70 mm2 Cu", 3, []),
        ("250 kcmil Cu", 3, []),
    ],
)
def test_the_size_counts_where_several_are_in_parallel(
    tmp_path: Path, size: str, parallel: int, codes: list[str]
) -> None:
    circuit = f"3: {{device: 90 A, conductors: {{size: {size}, parallel: {parallel}}}}}"
    problems = found_by(parallel_too_small, tmp_path, with_circuit(circuit))
    assert [p.code for p in problems] == codes


def test_a_feeder_is_held_against_it_too(tmp_path: Path) -> None:
    text = """
sources: {UTIL: {kind: utility}}
panels:
  DP:
    kind: panelboard
    main: lugs
    fed_from: UTIL
    feeder: {size: 3 AWG Al, parallel: 2}
equipment:
  DS: {kind: disconnect, fed_from: UTIL, conductors: {size: 4 AWG Cu, parallel: 2}}
"""
    problems = found_by(parallel_too_small, tmp_path, text)
    assert [p.subjects for p in problems] == [("home:DP",), ("home:DS",)]
    assert [line for line, *_ in told(problems)] == [9, 11]
