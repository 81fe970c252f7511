"""The drawing of a trend: to a scale of equal ratios, and nothing drawn that is not known."""

import datetime as dt

import pytest

from recordgen.calc.insulation_resistance import InsulationMinimum
from recordgen.evidence.insulation_trend import InsulationPoint, InsulationTrend
from recordgen.pages.trend_drawing import trend_drawing
from recordgen.records.field import Measurement

WRITTEN = Measurement.model_validate({"quantity": "insulation resistance", "value": "1 Mohm"})


def trend(*tests: tuple[str, float | None], minimum: float | None = None) -> InsulationTrend:
    points = tuple(
        InsulationPoint(dt.date.fromisoformat(day), "b:F", "found", 1.0, 20.0, value, WRITTEN)
        for day, value in tests
    )
    least = InsulationMinimum(1000.0, minimum, 20.0) if minimum else None
    return InsulationTrend(
        "b:LP-1/1", "a to b", "500 V", 20.0, points, "falling", None, least, None, (), ""
    )


def test_equal_ratios_are_equally_far_apart_and_days_to_scale() -> None:
    drawn = trend_drawing(trend(("2025-01-01", 100), ("2025-01-11", 10), ("2025-01-21", 1)))
    assert drawn is not None
    first, middle, last = drawn.points
    assert middle.y - first.y == pytest.approx(last.y - middle.y, abs=0.1)
    assert first.y < middle.y < last.y
    assert middle.x - first.x == pytest.approx(last.x - middle.x, abs=0.1)
    assert [label for _, label in drawn.decades] == ["1 MΩ", "10 MΩ", "100 MΩ"]
    assert [y for y, _ in drawn.decades] == [last.y, middle.y, first.y]
    assert (drawn.first, drawn.last) == ("2025-01-01", "2025-01-21")


def test_the_minimum_is_on_the_drawing_wherever_it_lies() -> None:
    drawn = trend_drawing(trend(("2025-01-01", 2), ("2025-02-01", 3), minimum=100))
    assert drawn is not None
    assert drawn.minimum_y == {label: y for y, label in drawn.decades}["100 MΩ"]
    assert drawn.minimum == "minimum 100 MΩ"


def test_what_has_no_place_is_not_drawn() -> None:
    tests = (("2025-01-01", 5.0), ("2025-02-01", None), ("2025-03-01", 0.0), ("2025-04-01", 7.0))
    drawn = trend_drawing(trend(*tests))
    assert drawn is not None
    assert [point.label for point in drawn.points] == ["5", "7"]
    assert drawn.minimum_y is None


@pytest.mark.parametrize("tests", [(), (("2025-01-01", 5.0),), (("2025-01-01", 5.0),) * 2])
def test_one_day_is_no_trend(tests: tuple[tuple[str, float], ...]) -> None:
    assert trend_drawing(trend(*tests)) is None


def test_a_label_gives_way_to_the_one_before() -> None:
    drawn = trend_drawing(trend(("2024-01-01", 100), ("2025-12-25", 12), ("2026-01-01", 11)))
    assert drawn is not None
    _, before, last = drawn.points
    assert before.label_y < before.y
    assert last.label_y > last.y
