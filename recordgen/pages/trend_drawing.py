"""Tests of an insulation drawn over time: each decade of resistance is as high as the next.

What is drawn stands in the table beside it, too.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from recordgen.evidence.insulation_trend import InsulationTrend
from recordgen.pages.calculated import rounded

WIDTH: Final = 360.0
HEIGHT: Final = 184.0
_LEFT: Final = 62.0
_RIGHT: Final = 330.0
_TOP: Final = 24.0
_BOTTOM: Final = 140.0
_BESIDE: Final = 46.0  # closer than this, two labels would touch


@dataclass(frozen=True)
class DrawnPoint:
    """A test; its label stands at `label_y`, above or below the mark."""

    x: float
    y: float
    label: str
    label_y: float


@dataclass(frozen=True)
class TrendDrawing:
    """A drawing whose y counts downwards from the upper edge.

    Attributes
    ----------
    title, description : str
    decades : tuple of (float, str)
        Height and label of each line of the scale.
    points : tuple of DrawnPoint
        In order of date.
    line : str
        The path from point to point.
    first, last : str
        The days at either end.
    minimum_y : float or None
        Height of the published minimum.
    minimum : str
    """

    title: str
    description: str
    decades: tuple[tuple[float, str], ...]
    points: tuple[DrawnPoint, ...]
    line: str
    first: str
    last: str
    minimum_y: float | None
    minimum: str
    width: float = WIDTH
    height: float = HEIGHT
    left: float = _LEFT
    right: float = _RIGHT
    bottom: float = _BOTTOM


def trend_drawing(trend: InsulationTrend) -> TrendDrawing | None:
    """Return the drawing of a trend, of what is brought to one temperature.

    Parameters
    ----------
    trend : InsulationTrend

    Returns
    -------
    TrendDrawing or None
        None with tests on fewer than two days; a test that reads zero has no place on the scale,
        and stands in the table only.
    """
    known = [
        (point.date, point.corrected_megohm)
        for point in trend.points
        if point.corrected_megohm is not None and point.corrected_megohm > 0
    ]
    if len({day for day, _ in known}) < 2:
        return None
    least = trend.minimum.minimum_megohm if trend.minimum else None
    values = [value for _, value in known] + ([least] if least else [])
    low = math.floor(math.log10(min(values)))
    high = max(math.ceil(math.log10(max(values))), low + 1)
    first, last = known[0][0], known[-1][0]

    def height(megohm: float) -> float:
        share = (math.log10(megohm) - low) / (high - low)
        return round(_BOTTOM - share * (_BOTTOM - _TOP), 1)

    points: list[DrawnPoint] = []
    for day, value in known:
        x = round(_LEFT + (day - first) / (last - first) * (_RIGHT - _LEFT), 1)
        y = height(value)
        crowded = bool(points) and x - points[-1].x < _BESIDE and points[-1].label_y < points[-1].y
        label_y = round(y + 17, 1) if crowded else round(y - 8, 1)
        points.append(DrawnPoint(x, y, rounded(value), label_y))
    said = "; ".join(f"{rounded(value)} MΩ on {day}" for day, value in known)
    return TrendDrawing(
        title=f"Insulation resistance at {trend.base_c:g} °C from test to test",
        description=f"{said}. All of it is in the table that follows.",
        decades=tuple((height(10.0**n), f"{10.0**n:g} MΩ") for n in range(low, high + 1)),
        points=tuple(points),
        line="M" + "L".join(f"{point.x} {point.y}" for point in points),
        first=first.isoformat(),
        last=last.isoformat(),
        minimum_y=height(least) if least else None,
        minimum=f"minimum {rounded(least)} MΩ" if least else "",
    )
