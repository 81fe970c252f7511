"""Figures with how far off they may be.

Notation of uncertainty: JCGM 100:2008, 7.2.4 (from memory).
Prefixes are those of the SI Brochure (9th edition), table 7; the foot is 0.3048 m by definition.
"""

from typing import Any

import pytest
from pydantic import TypeAdapter, ValidationError

from recordgen.pages.describe import text_of
from recordgen.records import bounds as b
from recordgen.records.field import Trace


def read(kind: Any, text: object) -> b.Bounds:
    found: b.Bounds = TypeAdapter(kind).validate_python(text)
    return found


@pytest.mark.parametrize(
    ("text", "best", "low", "high"),
    [
        ("412 ± 5 ns", 412, 407, 417),
        ("412 +- 5 ns", 412, 407, 417),
        ("412 ns +/- 5 ns", 412, 407, 417),
        ("0.412 ± 0.005 us", 412, 407, 417),
        ("0.412 µs ± 5 ns", 412, 407, 417),
        ("405 to 419 ns", 412, 405, 419),
        ("405 ns to 419 ns", 412, 405, 419),
    ],
)
def test_bounds_however_they_are_written(text: str, best: float, low: float, high: float) -> None:
    found = read(b.EchoTime, text)
    assert (found.best, found.low, found.high) == pytest.approx((best, low, high))
    assert text_of(found) == text


def test_a_figure_without_bounds_keeps_them_unknown() -> None:
    found = read(b.BoundedMetres, "390 ft")
    assert found.best == pytest.approx(390 * 0.3048)
    assert found.low is None
    assert found.high is None


def test_shares_are_read_as_numbers_or_percent() -> None:
    assert read(b.BoundedRatio, "66 ± 2 %").low == pytest.approx(0.64)
    assert read(b.BoundedRatio, "0.66 ± 0.02").low == pytest.approx(0.64)


@pytest.mark.parametrize(
    ("kind", "text", "code"),
    [
        (b.EchoTime, "412", "no-unit"),
        (b.EchoTime, "412 ft", "wrong-unit"),
        (b.EchoTime, "412 ± 500 ns", "out-of-range"),
        (b.EchoTime, "0 ns", "out-of-range"),
        (b.EchoTime, "419 to 405 ns", "not-in-order"),
        (b.EchoTime, "405 to 412 to 419 ns", "quantity"),
        (b.EchoTime, "about 412 ns", "quantity"),
        (b.EchoTime, ["412 ns"], "quantity"),
        (b.EchoTime, None, "quantity"),
        (b.BoundedOhms, "3 ± 0.1", "no-unit"),
        (b.BoundedOhms, "3 ± -0.1 ohm", "not-in-order"),
    ],
)
def test_what_is_no_figure_is_said(kind: Any, text: object, code: str) -> None:
    with pytest.raises(ValidationError) as refused:
        read(kind, text)
    assert refused.value.errors()[0]["type"] == code


def test_a_trace_with_echo_and_bridge() -> None:
    trace = Trace.model_validate(
        {
            "date": "2026-03-14",
            "by": "A.B.",
            "purpose": "locate a ground fault",
            "transmitter_at": "LP-1",
            "echo": {"from": "LP-1", "towards": "end", "time": "412 ± 5 ns"},
            "bridge": {"sound_arm": "3 ohm", "faulty_arm": "1 ohm", "loop": "390 ± 4 ft"},
        }
    )
    assert trace.echo is not None
    assert trace.echo.from_ == "LP-1"
    assert trace.echo.velocity_factor is None
    assert trace.bridge is not None
    assert trace.bridge.loop_m is not None
    assert trace.bridge.loop_m.high == pytest.approx(394 * 0.3048)
