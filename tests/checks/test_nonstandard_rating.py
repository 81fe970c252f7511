from pathlib import Path

import pytest

from recordgen.checks import nonstandard_rating
from tests.checks.running import examples, facts, found_by, told, with_circuit
from tests.network.asking import portfolio


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(nonstandard_rating, "Passing")
    assert found_by(nonstandard_rating, tmp_path, with_circuit(example)) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(nonstandard_rating, "Failing")
    problems = found_by(nonstandard_rating, tmp_path, with_circuit(example))
    assert told(problems) == [(6, 19, "note", "nonstandard-rating")]
    assert problems[0].subjects == ("home:LP-1/3",)


# NEC 240.6(A), from memory, widely known: breakers 15 to 6000 A; fuses 1, 3, 6, 10 and 601 A
# besides; 10 A breakers since the 2023 edition.
@pytest.mark.parametrize(
    ("device", "edition", "codes"),
    [
        ("10 A", "NEC 2020", ["nonstandard-rating"]),
        ("10 A", "NEC 2023", []),
        ("10 A", "not known", []),
        ("10 A fuse", "NEC 2020", []),
        ("6 A fused switch", "NEC 2020", []),
        ("6 A AFCI breaker", "NEC 2020", ["nonstandard-rating"]),
        ("65 A switch", "NEC 2020", []),
        ("{rating: 760 A, trip: electronic}", "NEC 2020", []),
    ],
)
def test_the_list_of_the_kind_of_device_counts(
    tmp_path: Path, device: str, edition: str, codes: list[str]
) -> None:
    text = with_circuit(f"3: {{device: {device}}}")
    found = portfolio(tmp_path, text, about=f", code_edition: {edition}")
    assert [p.code for p in nonstandard_rating.check(facts(found))] == codes


def test_main_devices_and_fuses_are_read_too(tmp_path: Path) -> None:
    text = """
sources: {UTIL: {kind: utility}}
panels:
  DP: {kind: panelboard, main: 190 A, fed_from: UTIL}
equipment:
  DS: {kind: disconnect, fed_from: UTIL, fuses: 75 A}
"""
    problems = found_by(nonstandard_rating, tmp_path, text)
    assert [p.subjects for p in problems] == [("home:DP/main",), ("home:DS",)]
    assert [line for line, *_ in told(problems)] == [5, 7]
