from pathlib import Path

import pytest

from recordgen.checks import photo_path
from recordgen.problems import Problem
from tests.checks.running import examples, found_by, told

HOUSE = """sources: {UTIL: {kind: utility}}
panels:
  LP-1: {kind: panelboard, main: lugs, fed_from: UTIL, circuits: {1: {device: 20 A}}}
faults:
  F-1: {kind: open, circuit: LP-1/1, description: dead, steps: [],
"""


def shown(folder: Path, photos: str) -> list[Problem]:
    return found_by(photo_path, folder, f"{HOUSE}    {photos}}}\n")


def test_the_passing_example(tmp_path: Path) -> None:
    assert shown(tmp_path, *examples(photo_path, "Passing")) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (problem,) = shown(tmp_path, *examples(photo_path, "Failing"))
    assert told([problem]) == [(7, 14, "warning", "photo-path")]
    assert problem.subjects == ("home:LP-1/1",)


@pytest.mark.parametrize(
    "photo", ["'../other/1.jpg'", "/srv/1.jpg", "'photos/../../1.jpg'", r"a\b.jpg", "'file:///1'"]
)
def test_a_photo_that_is_elsewhere(tmp_path: Path, photo: str) -> None:
    assert [problem.code for problem in shown(tmp_path, f"photos: [{photo}]")] == ["photo-path"]


@pytest.mark.parametrize("photo", ["box above the scrub door", "a/b..c.jpg", "'1.jpg'"])
def test_a_photo_in_words_or_below_the_building(tmp_path: Path, photo: str) -> None:
    assert shown(tmp_path, f"photos: [{photo}]") == []
