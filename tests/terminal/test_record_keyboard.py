"""Typing at a real terminal: slips are told and asked again, Ctrl-C leaves everything."""

import sys
from pathlib import Path

import pytest

from recordgen.records.loader import load_records
from tests.terminal.shed import files, shed

if sys.platform == "win32":
    pytest.skip("pseudo-terminals are not on this system", allow_module_level=True)

from tests.terminal.keyboard import Keyboard

DIALOGUE = (
    ("trace [TR-01]: ", ""),
    ("date [2026-11-25]: ", "2026-13-45"),
    ('  ! "2026-13-45" is not a date; write year-month-day, like 2026-03-14\n', ""),
    ("by, initials or role: ", ""),
    ("  ! `by` has to be recorded", "A.B."),
    ("instrument, its tag; ? lists them (or Enter): ", "?"),
    ("IT-0  insulation tester; OUT OF CALIBRATION", "TRC1"),
    ('did you mean "TRC-1"?', "trc-1"),
    ("purpose: ", "3"),
    ("connection (or Enter): ", "<"),
    ("purpose: ", "identify the breaker"),
    ("connection (or Enter): ", ""),
    ("load, the load whose breaker is looked for (or Enter): ", "?yard"),
    ("nothing to list", "?R-"),
    ("R-1  room S1  receptacle", "R-1"),
    ("reading: ", "P1/1 99 99 99 s7"),
    ("reading: ", "P1/3 99 97 95 s7"),
    ("reading: ", ""),
    ("The program reads: ambiguous", ""),
)


def test_a_trace_is_typed_with_slips_and_measured_again(tmp_path: Path) -> None:
    records = shed(tmp_path)
    with Keyboard(records, "trace shed") as keyboard:
        for seen, line in DIALOGUE[:-1]:
            keyboard.until(seen)
            keyboard.type(line)
        keyboard.until(DIALOGUE[-1][0])
        assert "lower the sensitivity" in keyboard.until("more, or Enter to go on: ").lower()
        for line in ("P1/1 120 79 74 s4", "P1/1 86 79 74 s4", "/3 40 22 11 s4"):
            keyboard.type(line)
        keyboard.until("! 120 is off the scale of 0 to 99; the same again keeps it")
        keyboard.type("")
        keyboard.until("The program reads: identified, P1/1.")
        # The first yes was typed before anybody could see what it stands for.
        for line in ("", "", "Tür: zu # 🙂", "P1/1", "no", "", "", "yes"):
            keyboard.type(line)
        keyboard.until("yes, no, or < to go back: ")
        keyboard.type("<")
        keyboard.until("notes (or Enter): ")
        keyboard.type("seen")
        keyboard.until("yes, no, or < to go back: ")
        keyboard.type("yes")
        assert keyboard.leaves() == 0
        assert "Traceback" not in keyboard.screen
    trace = load_records(records).buildings["shed"].records.traces["TR-01"]
    assert (trace.conclusion, trace.notes) == ("Tür: zu # 🙂", "seen")
    assert [reading.sensitivity for reading in trace.readings] == [7, 7, 4, 4]


@pytest.mark.parametrize(
    ("count", "prompt"),
    [(0, "trace [TR-01]: "), (len(DIALOGUE) - 1, "more, or Enter to go on: ")],
    ids=["at the first", "after the verdict"],
)
@pytest.mark.parametrize("key", ["\x03", "\x04"], ids=["Ctrl-C", "Ctrl-D"])
def test_stopping_leaves_everything_as_it_was(
    tmp_path: Path, count: int, prompt: str, key: str
) -> None:
    records = shed(tmp_path)
    before = files(records)
    with Keyboard(records, "trace shed") as keyboard:
        for seen, line in DIALOGUE[:count]:
            keyboard.until(seen)
            keyboard.type(line)
        keyboard.until(prompt)
        assert keyboard.stop(key) == 2
        assert keyboard.screen.rstrip().endswith("Stopped. Nothing was written.")
        assert "Traceback" not in keyboard.screen
    assert files(records) == before


def test_stopping_where_yaml_alone_is_printed(tmp_path: Path) -> None:
    records = shed(tmp_path)
    with Keyboard(records, "fault shed", "--dry-run") as keyboard:
        keyboard.until("fault: ")
        assert keyboard.stop("\x03") == 2
        assert keyboard.screen.rstrip().endswith("Stopped. Nothing was written.")
