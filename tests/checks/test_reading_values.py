from pathlib import Path

import pytest

from recordgen.checks import reading_values
from recordgen.problems import Problem
from tests.checks.running import examples, found_by, told

HOUSE = """sources: {UTIL: {kind: utility}}
panels:
  LP-1:
    {kind: panelboard, main: lugs, fed_from: UTIL,
     circuits: {1: {device: 20 A, loads: {FAN: {kind: motor}}}}}
traces:
  T-1: {date: 2026-03-01, by: JD, purpose: identify the breaker, load: FAN, readings: [
"""
# The name of the building stands in line 1.
LINE = HOUSE.count("\n") + 2


def read(folder: Path, values: str, at: str = "LP-1/1") -> list[Problem]:
    """Return what is found on one reading, in line `LINE`."""
    return found_by(
        reading_values, folder, f"{HOUSE}    {{sensitivity: 4, at: {at}, {values}}}]}}\n"
    )


def test_the_passing_example(tmp_path: Path) -> None:
    assert read(tmp_path, *examples(reading_values, "Passing")) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (problem,) = read(tmp_path, *examples(reading_values, "Failing"))
    assert told([problem]) == [(LINE, 42, "warning", "reading-off-scale")]
    assert problem.message == (
        "T-1: LP-1/1 reads 100, and the scale of a receiver goes from 0 to 99"
    )
    assert problem.subjects == ("home:FAN",)


@pytest.mark.parametrize("values", ["0", "99", "7.5", "[99, 0, 1]"])
def test_the_whole_scale_may_be_read(tmp_path: Path, values: str) -> None:
    assert read(tmp_path, f"values: {values}") == []


@pytest.mark.parametrize(
    ("values", "code", "said"),
    [
        ("-1", "reading-off-scale", "LP-1/1 reads -1"),
        ("99.5", "reading-off-scale", "LP-1/1 reads 99.5"),
        ("12 mA", "reading-with-unit", "LP-1/1 reads 12 mA"),
        ("[86, 79 V, 74]", "reading-with-unit", "LP-1/1 reads 79 V"),
        ("[86, 79]", "reading-orientations", "LP-1/1 has 2 values"),
        ("[86, 79, 74, 70]", "reading-orientations", "LP-1/1 has 4 values"),
    ],
)
def test_a_reading_that_does_not_count(tmp_path: Path, values: str, code: str, said: str) -> None:
    (problem,) = read(tmp_path, f"values: {values}")
    assert told([problem]) == [(LINE, 42, "warning", code)]
    assert problem.message.startswith(f"T-1: {said}, ")


@pytest.mark.parametrize("cover", ["LP-1", "home:LP-1"])
def test_three_orientations_at_a_cover(tmp_path: Path, cover: str) -> None:
    (problem,) = read(tmp_path, "values: [60, 40, 30]", cover)
    assert (problem.severity, problem.code) == ("note", "cover-orientations")
    assert read(tmp_path / "one", "values: 60", cover) == []
