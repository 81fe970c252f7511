"""What is not recorded about generators, transfer switches and UPSs is said."""

from pathlib import Path

import pytest

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
            "ATS-1: whether it transfers by itself is not recorded; it counts as not; "
            "add `operation:`",
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
