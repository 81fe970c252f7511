"""Faults along a run: constructed examples, made-up signals with known truth, and what is refused.

The reference example and the example below are constructed, NOT MEASURED: what they show is that
the rule answers as the trade would, not that an instrument behaves so.
"""

from collections.abc import Sequence
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from recordgen.evidence.change_point import Gap, weighed
from recordgen.evidence.fault_stretch import change, fall_segment, fault_interval
from recordgen.evidence.line_fit import Point
from recordgen.evidence.run_places import Stretch
from recordgen.evidence.run_readings import RunReadings, run_readings
from recordgen.records.field import Run, Trace
from tests.evidence.simulator_run import PURPOSES

FOOT_M = 0.3048
RUN = Run.model_validate(
    {
        "of": "LP-1/3",
        "landmarks": [
            {"at": "0 ft", "what": "LP-1"},
            {"at": "34 ft", "what": "box above the door"},
            {"at": "50 ft", "what": "gate", "underground": "yes"},
            {"what": "somewhere"},
        ],
    }
)


def traced(
    readings: Sequence[tuple[Any, ...]], purpose: str = "locate an open", **more: Any
) -> Trace:
    """Return a trace of (place, value or values, sensitivity or None)."""
    rows = [
        {"at": at, "values": [str(v) for v in (values if isinstance(values, tuple) else (values,))]}
        | ({} if sensitivity is None else {"sensitivity": str(sensitivity)})
        for at, values, sensitivity in readings
    ]
    head = {
        "date": "2026-01-01",
        "by": "A.B.",
        "purpose": purpose,
        "connection": "dead conductor with remote return",
    }
    return Trace.model_validate({**head, "readings": rows, **more})


def along_feet(values: Sequence[int], *, sensitivity: int = 4, **more: Any) -> Trace:
    return traced([(f"{10 * i} ft", v, sensitivity) for i, v in enumerate(values)], **more)


def told(found: RunReadings) -> str:
    return " ".join(found.reasons)


def test_the_constructed_example_of_a_break_between_30_and_40_feet() -> None:
    # NOT MEASURED: constructed example of the reference data, "largest drop".
    found = run_readings(along_feet((78, 77, 75, 76, 22, 6)), RUN)
    assert found.verdict == "located"
    assert found.segment
    assert found.interval
    assert found.segment.low_m == pytest.approx(30 * FOOT_M)
    assert found.segment.high_m == pytest.approx(40 * FOOT_M)
    assert 29 * FOOT_M < found.interval.low_m < found.interval.high_m < 40 * FOOT_M
    assert found.nearest_landmark == "box above the door"
    assert "30 to 40 ft (9.1 to 12.2 m)" in told(found)
    assert "90 of 100" in told(found)
    assert any("35 ft" in then for then in found.measure_next)


@pytest.mark.parametrize("purpose", PURPOSES)
def test_every_purpose_is_read_and_others_are_refused(purpose: str) -> None:
    values = (78, 77, 75, 76, 22, 6)
    assert run_readings(along_feet(values, purpose=purpose), None).verdict == "located"
    with pytest.raises(ValueError, match="follow a run"):
        run_readings(along_feet(values, purpose="follow a run"), None)


@pytest.mark.parametrize(
    "values",
    [(80, 79, 77, 76, 75, 74), (70, 71, 70, 45, 71, 70, 69, 70), (90, 82, 75, 66, 58, 50, 43)],
    ids=["level", "one low reading", "steady slope"],
)
def test_no_clear_drop_gives_no_place(values: tuple[int, ...]) -> None:
    found = run_readings(along_feet(values), RUN)
    assert found.verdict == "no clear drop"
    assert found.segment is found.interval is found.nearest_landmark is None
    assert "does not prove this stretch sound" in told(found)
    assert found.measure_next


def test_four_places_are_not_enough_however_clear_they_look() -> None:
    found = run_readings(along_feet((80, 79, 12, 10)), RUN)
    assert found.verdict == "not enough"
    assert found.interval is None
    # Nor do two readings at one place make a fifth.
    rows = [("0 ft", 80, 4), ("10 ft", 79, 4), ("20 ft", 12, 4), ("30 ft", 9, 4), ("30 ft", 10, 4)]
    assert run_readings(traced(rows), RUN).verdict == "not enough"


def test_a_drop_that_a_change_of_sensitivity_explains_is_not_called() -> None:
    rows = [(f"{10 * i} ft", v, 5 if i < 3 else 4) for i, v in enumerate((80, 79, 78, 50, 49, 48))]
    found = run_readings(traced(rows), RUN)
    assert found.verdict == "no clear drop"
    assert "both settings at the same place" in found.measure_next[0]


def test_a_second_reading_at_the_change_of_sensitivity_tells_the_drop() -> None:
    # The signal is cut between 20 and 30 ft, where the receiver is also turned down by 10.
    values = [("0 ft", 80, 5), ("10 ft", 79, 5), ("20 ft", 78, 5), ("20 ft", 68, 4)]
    values += [("30 ft", 20, 4), ("40 ft", 19, 4), ("50 ft", 17, 4)]
    found = run_readings(traced(values), RUN)
    assert found.verdict == "located"
    assert found.segment
    assert found.segment.low_m == pytest.approx(20 * FOOT_M)
    assert found.segment.high_m == pytest.approx(30 * FOOT_M)


def test_readings_that_cannot_be_compared_are_left_out_and_named() -> None:
    rows = [(f"{10 * i} ft", v, 4) for i, v in enumerate((78, 77, 75, 76, 22, 6))]
    odd = [
        ("behind the shelf", 70, 4),
        ("somewhere", 70, 4),
        ("45 ft", 70, None),
        ("46 ft", "70 mA", 4),
        ("47 ft", 120, 4),
    ]
    found = run_readings(traced([*rows, *odd]), RUN)
    alone = run_readings(traced(rows), RUN)
    assert (found.segment, found.interval) == (alone.segment, alone.interval)
    for at, why in zip(
        odd, ("where on the run", "where on the run", "sensitivity", "unit", "scale"), strict=True
    ):
        assert any(at[0] in reason and why in reason for reason in found.reasons)


def test_readings_without_sensitivity_are_no_answer() -> None:
    rows = [(f"{10 * i} ft", v, None) for i, v in enumerate((78, 77, 75, 76, 22, 6))]
    assert run_readings(traced(rows), RUN).verdict == "not enough"


def test_a_scale_that_is_full_is_no_answer_and_a_bound_is_one() -> None:
    full = run_readings(along_feet((99, 99, 99, 99, 60, 40), sensitivity=8), RUN)
    assert full.verdict == "not enough"
    assert "Lower the sensitivity" in full.measure_next[0]
    # Two at the top and two at the foot are bounds: the fall between 20 and 30 ft is still seen.
    found = run_readings(along_feet((99, 99, 90, 88, 3, 0, 0)), RUN)
    assert found.segment
    assert found.segment.high_m == pytest.approx(40 * FOOT_M)


def test_a_landmark_is_a_place_and_the_highest_of_three_values_counts() -> None:
    rows = [("lp-1", (78, 30, 12), 4)]
    rows += [("10 ft", 77, 4), ("20 ft", 75, 4), ("30 ft", 76, 4), ("40 ft", 22, 4), ("Gate", 6, 4)]
    found = run_readings(traced(rows), RUN)
    assert found.segment
    assert found.segment.low_m == pytest.approx(30 * FOOT_M)


def test_connection_and_digging_are_minded() -> None:
    values = (78, 77, 75, 76, 22, 6)
    plain = run_readings(along_feet(values), RUN)
    assert "remote return" not in told(plain)
    assert "Before digging" in told(plain)  # the gate, next along the run, is underground
    assert "not recorded" in told(run_readings(along_feet(values, connection=None), None))
    assert "Before digging" not in told(run_readings(along_feet(values), None))


@pytest.mark.parametrize(
    ("marks", "low_ft", "high_ft"),
    [
        (
            ((285, 74), (310, 73), (335, 71), (360, 72), (380, 31), (405, 27), (450, 24)),
            360,
            380,
        ),
        (((0, 83), (20, 81), (40, 80), (55, 78), (62, 22), (75, 14)), 55, 62),
        (((0, 79), (25, 78), (50, 75), (63, 76), (66, 19), (80, 13)), 63, 66),
    ],
    ids=["car park", "smoke damper", "glue bench"],
)
def test_the_demo_falls_where_its_technicians_concluded(
    marks: tuple[tuple[int, int], ...], low_ft: int, high_ft: int
) -> None:
    # Invented readings of the demo, NOT MEASURED: the conclusions are those written beside them.
    found = run_readings(traced([(f"{at} ft", value, 4) for at, value in marks]), None)
    assert found.segment
    assert found.segment.low_m == pytest.approx(low_ft * FOOT_M)
    assert found.segment.high_m == pytest.approx(high_ft * FOOT_M)


def test_the_demo_without_a_fall_stays_without_one() -> None:
    # Invented, NOT MEASURED: "no clear drop along the run"; turned up one step on the way.
    rows = [("0 ft", 72, 5), ("30 ft", 66, 5), ("60 ft", 59, 5)]
    rows += [("75 ft", 58, 6), ("90 ft", 51, 6), ("104 ft", 47, 6)]
    assert run_readings(traced(rows), None).verdict == "no clear drop"


def test_a_fall_at_the_very_last_reading_may_be_too_little_and_asks_for_more() -> None:
    # As in the demo: 100 ft without a fall, then one low reading 6 ft on.
    marks = ((0, 80), (50, 79), (100, 76), (140, 78), (146, 35))
    found = run_readings(traced([(f"{at} ft", value, 4) for at, value in marks]), None)
    assert found.interval is None or found.interval.low_m > 120 * FOOT_M
    assert any(
        "140 to 146 ft" in then or "Only one place past" in then for then in found.measure_next
    )


def test_one_reading_past_the_fall_asks_for_more() -> None:
    found = run_readings(along_feet((80, 79, 80, 78, 79, 20)), None)
    assert found.verdict == "located"
    assert any("Only one place past" in then for then in found.measure_next)


HUMP = (60, 61, 59, 60, 84, 82, 61, 59, 60, 58)


@pytest.mark.parametrize(
    "values",
    [HUMP, (60, 61, 59, 60, 36, 38, 59, 60, 61, 59), (70, 70, 69, 68, 66, 62, 55, 44, 28)],
    ids=["hump", "hollow", "sag"],
)
def test_a_fall_that_a_hump_or_a_sag_explains_as_well_is_not_called(
    values: tuple[int, ...],
) -> None:
    found = run_readings(along_feet(values), None)
    assert (found.verdict, found.interval) == ("no clear drop", None)


def test_a_fall_from_a_hump_that_goes_on_down_is_still_located() -> None:
    found = run_readings(along_feet((*HUMP[:6], 24, 22, 23, 21, 22, 20)), None)
    assert found.segment
    assert found.segment.low_m == pytest.approx(50 * FOOT_M)


def test_a_fall_that_does_not_stand_is_told_with_what_else_explains_it() -> None:
    # Made up: no fault, a hollow some metres wide that begins at once and fades out, much wavering.
    values = (61, 60, 67, 61, 56, 68, 60, 62, 64, 67, 68, 58, 63, 52, 52, 27, 39, 44, 39, 45)
    values += (50, 49, 33, 48, 56, 52, 56, 61, 55, 51)
    rows = [(f"{1.2 * i:.1f} m", value, 4) for i, value in enumerate(values)]
    found = change([Point(1.2 * i, float(value), 4) for i, value in enumerate(values)])
    assert (found.kind, found.stands) == ("falls", False)
    answer = run_readings(traced(rows), None)
    assert (answer.verdict, answer.interval) == ("no clear drop", None)
    assert "humps and hollows" in told(answer)


@given(
    st.lists(st.integers(0, 99), min_size=5, max_size=12),
    st.lists(st.integers(3, 5), min_size=12, max_size=12),
)
@settings(max_examples=30, deadline=None)
def test_a_place_never_comes_without_an_interval(values: list[int], turned: list[int]) -> None:
    rows = [(f"{3 * i} m", v, turned[i]) for i, v in enumerate(values)]
    found = run_readings(traced(rows), None)
    assert (found.verdict == "located") == (found.interval is not None)
    assert (found.segment is None) == (found.interval is None)
    assert found.measure_next
    if found.interval:
        assert 0 <= found.interval.low_m < found.interval.high_m <= 3 * (len(values) - 1)
        assert found.interval.high_m - found.interval.low_m <= 1.5 * (len(values) - 1)
    assert run_readings(traced(rows[::-1]), None) == found


def test_weights_add_up_and_their_order_does_not_matter() -> None:
    points = [Point(3.0 * i, v, 4) for i, v in enumerate((70, 72, 69, 30, 28))]
    found = weighed(points)
    assert sum(gap.share for gap in found.gaps) == pytest.approx(1)
    assert weighed(reversed(points)) == found
    assert weighed(points[:1]).gaps == ()


def test_the_interval_of_an_even_weight_is_what_is_left_after_the_cuts() -> None:
    gaps = [Gap(0, 50, 0.5), Gap(50, 100, 0.5)]
    found = fault_interval(gaps)
    # 6.5 % cut at either end, and on the mean 0.18 m back for the fading.
    assert found.low_m == pytest.approx(6.5 - 0.18, abs=0.05)
    assert found.high_m == pytest.approx(93.5 - 0.18, abs=0.05)
    assert fall_segment(gaps) == Stretch(0, 100)


def test_a_rise_is_no_fault_and_asks_where_the_transmitter_stood() -> None:
    found = run_readings(along_feet((6, 22, 76, 75, 77, 78, 76)), None)
    assert found.verdict == "no clear drop"
    assert "far end" in told(found)
    assert "far end" not in told(run_readings(along_feet((80, 79, 77, 76, 75, 74)), None))
