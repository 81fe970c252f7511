"""What is not recorded about generators, transfer switches and UPSs is said."""

from pathlib import Path

import pytest

from recordgen.checks import operation_not_recorded
from tests.checks.running import examples, found_by, told
from tests.network.asking import loaded

RECORDS = """
sources:
  UTIL: {{kind: utility}}
  GEN-1: {{kind: generator{start}}}
panels:
  MSB: {{kind: switchboard, main: lugs, fed_from: UTIL, circuits: {{1: {{device: 30 A}}}}}}
equipment:
  ATS-1: {{kind: transfer switch, normal_from: MSB/1, emergency_from: GEN-1{operation}}}
  UPS-1: {{kind: UPS, fed_from: ATS-1{ride}}}
"""
KNOWN = {
    "start": ", start: automatic",
    "operation": ", operation: automatic",
    "ride": ", ride_through: 8 min",
}


def said(folder: Path, text: str) -> list[str]:
    return [
        str(p).partition("]: ")[2]
        for p in loaded(folder, text).problems
        if p.code == "operation-not-recorded"
    ]


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(operation_not_recorded, "Passing")
    assert found_by(operation_not_recorded, tmp_path, f"{example}\n") == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(operation_not_recorded, "Failing")
    problems = found_by(operation_not_recorded, tmp_path, f"{example}\n")
    # Line 2: `sources: {GEN-1: {kind: generator}}`, at the tag.
    assert told(problems) == [(2, 11, "warning", "operation-not-recorded")]
    assert problems[0].subjects == ("home:GEN-1",)


def test_nothing_is_said_where_all_is_recorded(tmp_path: Path) -> None:
    assert said(tmp_path, RECORDS.format(**KNOWN)) == []


@pytest.mark.parametrize(
    ("left_out", "expected"),
    [
        (
            "start",
            "GEN-1: whether it starts by itself is not recorded; it counts as not; add `start:`",
        ),
        (
            "operation",
            (
                "ATS-1: whether it transfers by itself is not recorded; it counts as not; "
                "add `operation:`"
            ),
        ),
        (
            "ride",
            "UPS-1: how long its battery carries the load is not recorded; add `ride_through:`",
        ),
    ],
)
def test_what_is_left_out_is_named(tmp_path: Path, left_out: str, expected: str) -> None:
    text = RECORDS.format(**{**KNOWN, left_out: ""})
    assert said(tmp_path, text) == [expected]
