"""The life of a fault: days counted by hand, the order of steps by the design."""

import datetime as dt

import pytest

from recordgen.evidence.fault_life import days_open, missing_steps, status
from recordgen.records.field import Fault

AS_OF = dt.date(2026, 11, 25)


def fault(**steps: str) -> Fault:
    recorded = [
        {"step": name.replace("_", " "), "date": date, "by": "JD"} for name, date in steps.items()
    ]
    return Fault.model_validate({"kind": "open", "description": "x", "steps": recorded})


@pytest.mark.parametrize(
    ("steps", "days"),
    [
        ({"found": "2026-11-20"}, 5),
        ({"found": "2026-11-25"}, 0),
        ({"found": "2026-11-01", "closed": "2026-11-11"}, 10),
        ({"found": "2026-11-20", "closed": "2026-12-20"}, 5),  # not closed yet
        ({"found": "2026-12-01"}, None),
        ({"found": "2026-11-11", "closed": "2026-11-01"}, None),
        ({"closed": "2026-11-01"}, None),
        ({}, None),
    ],
)
def test_days_open(steps: dict[str, str], days: int | None) -> None:
    assert days_open(fault(**steps), AS_OF) == days


def test_the_furthest_step_counts_and_those_before_it_may_be_missing() -> None:
    record = fault(retested="2026-11-03", found="2026-11-01")
    assert status(record) == "retested"
    assert missing_steps(record) == ("made safe", "located", "repaired")
    assert status(fault()) is None
    assert missing_steps(fault()) == ("found",)
