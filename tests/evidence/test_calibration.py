"""Calibration on the day of use, by common practice: both days of the sticker count as good."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.evidence.calibration import Use, calibration_on, uses
from recordgen.records.building import BuildingRecords
from recordgen.records.field import Instrument

days = st.dates(dt.date(2000, 1, 1), dt.date(2060, 12, 31))


def meter(**dates: str) -> Instrument:
    return Instrument.model_validate({"kind": "multimeter", **dates})


@pytest.mark.parametrize(
    ("day", "verdict"),
    [
        ("2025-09-14", "not shown"),  # the sticker before that one is not recorded
        ("2025-09-15", "in calibration"),
        ("2026-09-15", "in calibration"),
        ("2026-09-16", "out of calibration"),
    ],
)
def test_both_days_of_the_sticker_are_good(day: str, verdict: str) -> None:
    found = calibration_on(
        meter(calibrated="2025-09-15", due="2026-09-15"), dt.date.fromisoformat(day)
    )
    assert found.verdict == verdict


@pytest.mark.parametrize(
    ("dates", "day", "verdict", "reason"),
    [
        ({}, "2026-01-01", "not shown", "`calibrated` is not recorded"),
        ({"calibrated": "2025-01-01"}, "2026-01-01", "not shown", "`due` is not recorded"),
        ({"due": "2026-06-30"}, "2026-01-01", "not shown", "`calibrated` is not recorded"),
        # What ran out has run out, whenever it began.
        ({"due": "2026-06-30"}, "2026-07-01", "out of calibration", "held until 2026-06-30"),
        ({"calibrated": "2026-06-30", "due": "2025-06-30"}, "2026-01-01", "not shown", "before"),
    ],
)
def test_what_is_not_recorded_is_never_taken_for_good(
    dates: dict[str, str], day: str, verdict: str, reason: str
) -> None:
    found = calibration_on(meter(**dates), dt.date.fromisoformat(day))
    assert found.verdict == verdict
    assert reason in found.reasons[0]
    assert found.next


@given(days | st.none(), days | st.none(), days)
def test_good_only_between_two_recorded_days(
    calibrated: dt.date | None, due: dt.date | None, day: dt.date
) -> None:
    recorded = {"calibrated": calibrated, "due": due}
    dates = {name: value.isoformat() for name, value in recorded.items() if value}
    good = calibration_on(meter(**dates), day).verdict == "in calibration"
    assert good == (calibrated is not None and due is not None and calibrated <= day <= due)


def test_every_use_is_found_once() -> None:
    records = BuildingRecords.model_validate(
        {
            "building": {"name": "House"},
            "faults": {
                "F-1": {
                    "kind": "open",
                    "description": "dead",
                    "steps": [
                        {
                            "step": "found",
                            "date": "2026-01-01",
                            "by": "JD",
                            "instrument": "T-1",
                            "measured": [
                                {"quantity": "voltage", "value": "0 V", "instrument": "M-1"},
                                {"quantity": "current", "value": "0 A", "instrument": "M-1"},
                            ],
                        },
                        {
                            "step": "located",
                            "date": "2026-01-02",
                            "by": "JD",
                            "instrument": "T-1",
                            "measured": {"quantity": "distance", "value": "9 ft"},
                        },
                    ],
                }
            },
            "traces": {
                "TR-1": {
                    "date": "2026-01-02",
                    "by": "JD",
                    "purpose": "locate an open",
                    "instrument": "T-1",
                },
                "TR-2": {
                    "date": "2026-01-02",
                    "by": "JD",
                    "purpose": "locate an open",
                    "instrument": "R-1",
                    "echo": {"time": "412 ± 5 ns"},
                },
            },
            "inspections": {
                "I-1": {
                    "kind": "thermographic survey",
                    "of": "LP-1",
                    "date": "2026-01-03",
                    "by": "JD",
                    "instrument": "C-1",
                }
            },
        }
    )
    first, second, third = (dt.date(2026, 1, day) for day in (1, 2, 3))
    step = ("faults", "F-1", "steps")
    assert list(uses(records)) == [
        Use("T-1", first, "faults", "F-1", (*step, 0, "instrument"), False),
        Use("M-1", first, "faults", "F-1", (*step, 0, "measured", 0, "instrument"), True),
        Use("T-1", second, "faults", "F-1", (*step, 1, "instrument"), True),
        Use("T-1", second, "traces", "TR-1", ("traces", "TR-1", "instrument"), False),
        Use("R-1", second, "traces", "TR-2", ("traces", "TR-2", "instrument"), True),
        Use("C-1", third, "inspections", "I-1", ("inspections", "I-1", "instrument"), True),
    ]
