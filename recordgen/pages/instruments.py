"""The instruments of a building: their calibration today, and on each day that they were used."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from recordgen.evidence.calibration import Use, uses
from recordgen.pages import paths
from recordgen.pages.page import Heading, Page
from recordgen.pages.trace_values import DayOfUse, day_of_use
from recordgen.pages.view import View
from recordgen.records.field import Instrument

_WHAT = {"faults": "fault", "traces": "trace", "inspections": "inspection"}


@dataclass(frozen=True)
class UseLine:
    """A day on which an instrument was used; `tag` is the full tag of the record that says so."""

    date: str
    section: str
    what: str
    tag: str
    day: DayOfUse
    future: bool


@dataclass(frozen=True)
class InstrumentLine:
    """An instrument, ready to show; `now` is its state on the day of the page."""

    name: str
    anchor: str
    record: Instrument
    calibrated: str
    due: str
    now: DayOfUse
    uses: tuple[UseLine, ...]

    @property
    def out_of_calibration(self) -> int:
        """Return on how many uses its calibration had run out."""
        return sum(use.day.mark == "no" for use in self.uses)

    @property
    def not_shown(self) -> int:
        """Return for how many uses the record does not show its calibration."""
        return sum(use.day.word == "not shown" for use in self.uses)


def pages(view: View) -> Iterator[Page]:
    """Yield the list of instruments of every building."""
    for building, loaded in view.portfolio.buildings.items():
        title = f"Instruments: {loaded.records.building.name}"
        by_instrument: dict[str, list[Use]] = {}
        unnamed = []
        for use in uses(loaded.records):
            by_instrument.setdefault(use.instrument, []).append(use)
        for tag, trace in loaded.records.traces.items():
            if trace.instrument is None:
                unnamed.append(f"{building}:{tag}")
        lines = [
            _line(view, building, tag, record, by_instrument.get(tag, []))
            for tag, record in loaded.records.instruments.items()
        ]
        yield view.page(
            paths.index(building, "instruments"),
            title,
            "instruments.html",
            building=building,
            nav="Instruments",
            searched=True,
            contents=[
                Heading(1, "top", title),
                Heading(2, "list", "All instruments"),
                Heading(2, "uses", "Where each was used"),
            ],
            context={
                "lines": lines,
                "unnamed": unnamed,
                "as_of": view.portfolio.as_of.isoformat(),
                "used_late": [line for line in lines if line.out_of_calibration],
            },
        )


def _line(
    view: View, building: str, tag: str, record: Instrument, used: list[Use]
) -> InstrumentLine:
    found = [
        UseLine(
            use.date.isoformat(),
            use.section,
            _WHAT[use.section],
            f"{building}:{use.record}",
            day_of_use(view, building, tag, use.date),
            use.date > view.portfolio.as_of,
        )
        for use in used
    ]
    found.sort(key=lambda line: line.date, reverse=True)
    return InstrumentLine(
        tag,
        paths.record_anchor(tag),
        record,
        record.calibrated.isoformat() if record.calibrated else "",
        record.due.isoformat() if record.due else "",
        day_of_use(view, building, tag, view.portfolio.as_of),
        tuple(found),
    )
