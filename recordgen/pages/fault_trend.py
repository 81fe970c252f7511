"""The insulation resistance of a circuit from test to test: recorded, and brought to one base."""

from __future__ import annotations

from dataclasses import dataclass

from recordgen.evidence.insulation_trend import InsulationPoint, InsulationTrend
from recordgen.pages.calculated import rounded
from recordgen.pages.fault_values import FaultBook, FaultFacts
from recordgen.pages.trend_drawing import TrendDrawing, trend_drawing

_MINIMUM_SOURCE = "NETA table of insulation minimums, 100.1, from memory; for apparatus"


@dataclass(frozen=True)
class TrendPoint:
    """A test: `recorded` and `at` as in the record, `corrected` calculated or empty.

    `fault` is a full tag; `own` says that it is this page's.
    """

    date: str
    fault: str
    own: bool
    step: str
    recorded: str
    at: str
    corrected: str


@dataclass(frozen=True)
class TrendTable:
    """The tests that may be held against each other.

    `verdict`, `ratio` and what follows are in words; `ratio` and `minimum` are empty where none
    holds, and `below` says whether the last test lies below the minimum.
    """

    between: str
    test_v: str
    base: str
    points: tuple[TrendPoint, ...]
    verdict: str
    ratio: str
    falling: bool
    below: bool
    reasons: tuple[str, ...]
    then: str
    minimum: str
    minimum_source: str
    drawing: TrendDrawing | None


def trend_tables(book: FaultBook, facts: FaultFacts) -> tuple[TrendTable, ...]:
    """Return the trends of the circuit that a fault is on; empty where nothing was measured."""
    return tuple(_table(trend, facts) for trend in book.trends(facts.circuit))


def _table(trend: InsulationTrend, facts: FaultFacts) -> TrendTable:
    minimum = ""
    if trend.minimum is not None:
        minimum = f"{rounded(trend.minimum.minimum_megohm)} MΩ at {trend.minimum.base_c:g} °C"
    ratio = ""
    if trend.ratio is not None:
        ratio = f"the last is {rounded(trend.ratio)} times the highest before it"
    return TrendTable(
        between=trend.between,
        test_v=trend.test_v,
        base=f"{trend.base_c:g} °C",
        points=tuple(_point(point, facts) for point in trend.points),
        verdict="not enough to tell" if trend.verdict == "not enough" else trend.verdict,
        ratio=ratio,
        falling=trend.verdict == "falling",
        below=bool(trend.below_minimum),
        reasons=trend.reasons,
        then=trend.next,
        minimum=minimum,
        minimum_source=_MINIMUM_SOURCE if minimum else "",
        drawing=trend_drawing(trend),
    )


def _point(point: InsulationPoint, facts: FaultFacts) -> TrendPoint:
    corrected = point.corrected_megohm
    return TrendPoint(
        date=point.date.isoformat(),
        fault=point.fault,
        own=point.fault == facts.tag,
        step=point.step,
        recorded=point.written.value.written,
        at=point.written.temperature_c.written if point.written.temperature_c is not None else "",
        corrected=f"{rounded(corrected)} MΩ" if corrected is not None else "",
    )
