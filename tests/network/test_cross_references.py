"""What runs and inspections may be of: anything in the network, and a cable."""

from pathlib import Path

import pytest

from tests.network.asking import loaded

RECORDS = """
sources: {UTIL: {kind: utility}}
panels:
  LP-1: {kind: panelboard, main: lugs, fed_from: UTIL, circuits: {1: {device: 20 A}}}
loads: {FAN: {kind: motor, fed_from: LP-1/1}}
cables:
  C-1: {kind: category}
"""
ANNEX = "cables: {C-9: {kind: coax}}\nloads: {}\n"
INSPECTION = (
    "inspections: {I-1: {kind: directory walk-through, date: 2026-01-05, by: A.B., of: %s}}"
)
RUN = "runs: {R-1: {of: %s}}"


def messages(folder: Path, text: str) -> list[str]:
    found = loaded(folder, RECORDS + text, annex=ANNEX)
    return [str(problem) for problem in found.problems if problem.severity == "error"]


@pytest.mark.parametrize(
    "text",
    [
        INSPECTION % "C-1",
        INSPECTION % "[C-1]",
        INSPECTION % "[LP-1, C-1, LP-1/1, FAN]",
        INSPECTION % "['annex:C-9']",
        RUN % "C-1",
        RUN % "'annex:C-9'",
        RUN % "LP-1/1",
        RUN % "LP-1",
        RUN % "FAN",
    ],
)
def test_what_is_recorded_may_be_named(tmp_path: Path, text: str) -> None:
    assert messages(tmp_path, text) == []


@pytest.mark.parametrize(
    ("text", "named", "hint"),
    [
        (INSPECTION % "[LP-1, C-2]", '"C-2"', 'did you mean "C-1"?'),
        (RUN % "C-2", '"C-2"', 'did you mean "C-1"?'),
        (RUN % "LP-1/7", '"LP-1/7"', "define it, or correct the name"),
        # A cable has no positions.
        (RUN % "C-1/1", '"C-1/1"', "define it, or correct the name"),
        (INSPECTION % "[C-1/1]", '"C-1/1"', "define it, or correct the name"),
        # A tag of this building is none of the other one.
        (RUN % "'annex:C-1'", '"annex:C-1"', 'did you mean "C-9"?'),
        (INSPECTION % "['annex:FAN']", '"annex:FAN"', "define it, or correct the name"),
    ],
)
def test_what_is_not_recorded_is_an_error_with_its_place(
    tmp_path: Path, text: str, named: str, hint: str
) -> None:
    (message,) = messages(tmp_path, text)
    assert f"error[no-such-thing]: {named} is not recorded" in message
    assert message.endswith(hint)
    line = (RECORDS + text).count("\n") + 2
    assert message.startswith(f"buildings/home/records.yaml:{line}:")


def test_a_circuit_of_a_trace_or_a_fault_is_no_cable(tmp_path: Path) -> None:
    trace = "traces: {T-1: {date: 2026-01-05, by: A.B., purpose: follow a run, circuit: C-1}}"
    (message,) = messages(tmp_path, trace)
    assert '"C-1" is not recorded' in message
