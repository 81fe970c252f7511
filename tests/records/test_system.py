"""Nominal systems, against the voltages of ANSI C84.1, table 1 (from memory)."""

import math

import pytest
from pydantic import TypeAdapter, ValidationError

from recordgen.records.system import NominalSystem, System


def read(text: object) -> NominalSystem:
    value = TypeAdapter(System).validate_python(text)
    assert isinstance(value, NominalSystem)
    return value


@pytest.mark.parametrize(("line", "neutral"), [(208, 120), (480, 277), (600, 347), (4160, 2400)])
def test_wye_systems(line: int, neutral: int) -> None:
    system = read(f"{line}Y/{neutral}")
    assert (system.line_v, system.neutral_v, system.phases, system.high_leg) == (
        line,
        neutral,
        3,
        False,
    )
    # 1 %: nominal voltages are rounded to whole volts.
    assert system.line_v / neutral == pytest.approx(math.sqrt(3), rel=0.01)


@pytest.mark.parametrize(
    ("text", "line_v", "neutral_v", "phases", "high_leg"),
    [
        ("120/240", 240, 120, 1, False),
        ("120/240 V", 240, 120, 1, False),
        ("240/120 high-leg delta", 240, 120, 3, True),
        ("480 delta", 480, None, 3, False),
        ("480 V corner-grounded delta", 480, None, 3, False),
        ("20 kV three-phase", 20_000, None, 3, False),
        ("240 single-phase", 240, None, 1, False),
        ("48 VDC", 48, None, 0, False),
        ("0.4 kV three-phase", 400, None, 3, False),
    ],
)
def test_other_systems(
    text: str, line_v: float, neutral_v: float | None, phases: int, high_leg: bool
) -> None:
    system = read(text)
    assert (system.line_v, system.neutral_v, system.phases, system.high_leg) == (
        line_v,
        neutral_v,
        phases,
        high_leg,
    )
    assert str(system) == text


@pytest.mark.parametrize(
    "text",
    [
        "480",
        "480/277",
        "240/120",
        "120/240 high-leg delta",
        "480 V",
        "48 VDC delta",
        "0Y/0",
        "0 delta",
        480,
        None,
    ],
)
def test_what_leaves_a_doubt_is_refused(text: object) -> None:
    with pytest.raises(ValidationError):
        read(text)
