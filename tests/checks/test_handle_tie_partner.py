from pathlib import Path

import pytest

from recordgen.checks import handle_tie_partner
from tests.checks.running import examples, found_by, told

PANEL = """
sources: {{UTIL: {{kind: utility}}}}
panels:
  LP-1:
    kind: panelboard
    system: 120/240
    main: lugs
    fed_from: UTIL
    circuits:
      {first}
      {second}
"""
OTHER = "5: {device: {rating: 20 A, handle: handle tie}}"


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(handle_tie_partner, "Passing")
    # Said once, it holds for both.
    records = PANEL.format(first=example, second=OTHER)
    assert found_by(handle_tie_partner, tmp_path, records) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(handle_tie_partner, "Failing")
    problems = found_by(
        handle_tie_partner, tmp_path, PANEL.format(first=example, second="5: spare")
    )
    assert [told([p])[0][2:] for p in problems] == [("warning", "tie-partner-not-recorded")]
    assert problems[0].subjects == ("home:LP-1/3",)


@pytest.mark.parametrize(
    "first",
    [
        "3: {device: {rating: 20 A, handle: common trip}}",
        "3: {device: 20 A}",
        # One device of two poles, whose handles are tied to each other.
        "7-9: {device: {rating: 20 A, poles: 2, handle: handle tie}}",
    ],
)
def test_what_needs_no_partner(tmp_path: Path, first: str) -> None:
    records = PANEL.format(first=first, second="5: spare")
    assert found_by(handle_tie_partner, tmp_path, records) == []
