from pathlib import Path

import pytest

from recordgen.checks import multiwire_circuit
from tests.checks.running import examples, found_by, told

# The circuits stand from line 7 on, from column 7.
PANEL = """
sources: {{UTIL: {{kind: utility}}}}
panels:
  LP-1: {{kind: panelboard, system: {system}, main: lugs, fed_from: UTIL, numbering: odd left,
    circuits: {{
      {circuits}
    }}}}
"""
PARTNER = "14: {device: 20 A, loads: none},\n      "
TIED = "device: {rating: 20 A, handle: handle tie}, loads: none"


def panel(circuits: str, system: str = "208Y/120") -> str:
    return PANEL.format(system=system, circuits=circuits)


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(multiwire_circuit, "Passing")
    assert found_by(multiwire_circuit, tmp_path, panel(PARTNER + example)) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(multiwire_circuit, "Failing")
    problems = found_by(multiwire_circuit, tmp_path, panel(PARTNER + example))
    # At the list of those it shares with.
    assert told(problems) == [(8, 47, "warning", "multiwire-disconnect")]
    assert problems[0].subjects == ("home:LP-1/14", "home:LP-1/16")
    assert "210.4(B)" in problems[0].message


def test_one_of_three_left_out_of_the_tie(tmp_path: Path) -> None:
    circuits = """14: {device: 20 A, neutral_shared_with: [16, 18], handle_tied_with: [16]},
      16: {device: 20 A}, 18: {device: 20 A}"""
    problems = found_by(multiwire_circuit, tmp_path, panel(circuits))
    assert [p.code for p in problems] == ["multiwire-disconnect"]
    assert problems[0].subjects == ("home:LP-1/14", "home:LP-1/16", "home:LP-1/18")


def test_sharing_goes_on_from_circuit_to_circuit(tmp_path: Path) -> None:
    circuits = """14: {device: 20 A, neutral_shared_with: [16]},
      16: {device: 20 A, neutral_shared_with: [18]}, 18: {device: 20 A}"""
    (problem,) = found_by(multiwire_circuit, tmp_path, panel(circuits))
    assert "LP-1/14, LP-1/16 and LP-1/18 share a neutral" in problem.message


def test_a_tie_that_is_recorded_in_part_is_told_elsewhere(tmp_path: Path) -> None:
    circuits = f"14: {{{TIED}}}, 16: {{{TIED}, neutral_shared_with: [14]}}"
    assert found_by(multiwire_circuit, tmp_path, panel(circuits)) == []


def test_a_tie_of_one_of_them_is_none(tmp_path: Path) -> None:
    circuits = f"14: {{device: 20 A}}, 16: {{{TIED}, neutral_shared_with: [14]}}"
    (problem,) = found_by(multiwire_circuit, tmp_path, panel(circuits))
    assert problem.code == "multiwire-disconnect"


def test_handles_recorded_as_apart_are_said_to_be(tmp_path: Path) -> None:
    circuits = """14: {device: {rating: 20 A, handle: independent}, neutral_shared_with: [16]},
      16: {device: 20 A}"""
    (problem,) = found_by(multiwire_circuit, tmp_path, panel(circuits))
    assert "one by one" in problem.message


# Rows of two positions follow A, B, C (NEC 408.3(E) and common practice): 14 and 20 stand on one
# phase of three, 14 and 18 on one of two.
@pytest.mark.parametrize(
    ("system", "other", "codes"),
    [
        ("208Y/120", 16, []),
        ("208Y/120", 20, ["neutral-carries-sum"]),
        ("120/240", 16, []),
        ("120/240", 18, ["neutral-carries-sum"]),
    ],
)
def test_two_on_one_phase(tmp_path: Path, system: str, other: int, codes: list[str]) -> None:
    tied = f"neutral_shared_with: [{other}], handle_tied_with: [{other}]"
    circuits = f"14: {{device: 20 A, {tied}}}, {other}: {{device: 20 A}}"
    problems = found_by(multiwire_circuit, tmp_path, panel(circuits, system))
    assert [p.code for p in problems] == codes


def test_a_phase_that_rests_on_assumed_numbers_says_so(tmp_path: Path) -> None:
    circuits = "14: {device: 20 A, neutral_shared_with: [20], handle_tied_with: [20]}, 20: {}"
    text = panel(circuits).replace(" numbering: odd left,", "")
    (problem,) = found_by(multiwire_circuit, tmp_path, text)
    assert "assuming odd numbers on the left" in problem.message


def test_circuits_of_two_panels(tmp_path: Path) -> None:
    text = panel("14: {device: 20 A, neutral_shared_with: [LP-2/3]}, 16: {device: 60 A}")
    text += "  LP-2: {kind: panelboard, main: lugs, fed_from: LP-1/16, circuits: {3: {}}}\n"
    problems = found_by(multiwire_circuit, tmp_path, text)
    assert told(problems) == [(7, 47, "warning", "neutral-of-two-panels")]
    assert problems[0].subjects == ("home:LP-1/14", "home:LP-2/3")
