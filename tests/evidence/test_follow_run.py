"""Whether a run was followed: the demo's kind of readings, gaps, losses, depths and cautions."""

from collections.abc import Sequence
from typing import Any

import pytest

from recordgen.evidence.follow_run import FollowedRun, followed_run
from recordgen.evidence.run_places import Stretch
from recordgen.records.field import Run, Trace

RUN = Run.model_validate(
    {
        "of": "SP-1/2-4",
        "landmarks": [
            {"at": "0 m", "what": "panel"},
            {"at": "4 m", "what": "elbow down", "underground": "yes", "depth": "24 in"},
            {"at": "12 m", "what": "under the drive", "underground": "yes"},
            {"at": "20 m", "what": "garage"},
        ],
    }
)


def followed(
    readings: Sequence[tuple[str, Any]],
    run: Run | None = RUN,
    purpose: str = "follow an underground cable",
) -> FollowedRun:
    rows = [{"at": at, "values": str(value), "sensitivity": "4"} for at, value in readings]
    head = {"date": "2026-01-01", "by": "A.B.", "purpose": purpose}
    return followed_run(Trace.model_validate({**head, "readings": rows}), run)


WHOLE = (("panel", 80), ("elbow down", 78), ("8 m", 77), ("12 m", 75), ("16 m", 76), ("garage", 74))


def test_readings_from_end_to_end_show_the_run() -> None:
    found = followed(WHOLE)
    assert (found.verdict, found.gaps) == ("followed", ())
    assert [stop.what for stop in found.stops] == [
        "panel",
        "elbow down",
        "8 m",
        "under the drive",
        "16 m",
        "garage",
    ]


def test_depth_is_as_recorded_and_where_not_recorded_that_is_said() -> None:
    found = followed(WHOLE)
    depths = {stop.what: stop.depth_m for stop in found.stops if stop.underground}
    assert depths == {"elbow down": pytest.approx(24 * 0.0254), "under the drive": None}
    cautions = " ".join(found.cautions)
    assert "no utility locator" in cautions
    assert "Before digging" in cautions
    assert "Depth not recorded at: under the drive." in cautions


def test_a_run_above_ground_has_no_caution_for_digging() -> None:
    run = Run.model_validate(
        {"of": "A/1", "landmarks": [{"at": "0 m", "what": "a"}, {"at": "8 m", "what": "b"}]}
    )
    found = followed((("a", 70), ("4 m", 70), ("b", 69)), run, "follow a run")
    assert found.verdict == "followed"
    assert "digging" not in " ".join(found.cautions)
    assert "test before touch" in " ".join(found.cautions)


def test_a_stretch_without_readings_is_a_gap_and_so_is_an_end_not_read() -> None:
    found = followed((("elbow down", 78), ("6 m", 77), ("16 m", 75)))
    assert found.verdict == "followed in part"
    assert found.gaps == (Stretch(0, 4), Stretch(6, 16), Stretch(16, 20))
    assert len(found.measure_next) == len(found.gaps)
    # Landmarks that nobody read stay in the list, without a value.
    assert [stop.what for stop in found.stops if not stop.values] == [
        "panel",
        "under the drive",
        "garage",
    ]


def test_beyond_a_fall_nothing_is_shown() -> None:
    found = followed((*WHOLE[:4], ("16 m", 20), ("garage", 15)))
    assert found.verdict == "signal lost"
    assert found.gaps == (Stretch(12, 20),)
    assert "Beyond it is not shown" in " ".join(found.reasons)


def test_a_reading_of_zero_is_a_loss_even_with_few_readings() -> None:
    found = followed((("panel", 80), ("elbow down", 78), ("8 m", 0), ("12 m", 0)))
    assert found.verdict == "signal lost"
    assert found.gaps == (Stretch(4, 20),)


def test_too_little_is_said_to_be_so() -> None:
    assert followed((("panel", 80),)).verdict == "not enough"
    assert followed((("behind the shed", 80), ("by the fence", 81))).verdict == "not enough"
    assert followed(WHOLE, None).verdict == "not enough"
    full = followed([(at, 99) for at, _ in WHOLE])
    assert full.verdict == "not enough"
    assert "Lower the sensitivity" in full.measure_next[0]
    assert all(stop.pegged for stop in full.stops)


def test_a_record_that_is_out_of_order_is_told() -> None:
    found = followed((WHOLE[0], WHOLE[2], WHOLE[1], *WHOLE[3:], ("22 m", 74)))
    reasons = " ".join(found.reasons)
    assert "not taken in the order of the run" in reasons
    assert "beyond the ends of the run" in reasons
    assert "not taken" not in " ".join(followed(WHOLE[::-1]).reasons)


def test_other_purposes_are_refused() -> None:
    with pytest.raises(ValueError, match="locate an open"):
        followed(WHOLE, RUN, "locate an open")


def test_a_rise_on_the_way_is_not_taken_for_the_same_run() -> None:
    values = (15, 16, 15, 14, 80, 79)
    found = followed([(at, value) for (at, _), value in zip(WHOLE, values, strict=True)])
    assert found.verdict == "followed in part"
    assert "something stronger" in " ".join(found.reasons)
