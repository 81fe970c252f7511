"""A run drawn to scale as a strip: landmarks, ground, readings, and where a fault was located.

`run_strip` works out every place; the macro `strip` of `templates/run_strip.html` prints it. All
that is drawn is said in words beneath, too, and what cannot be drawn is listed there.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from recordgen.evidence.run_places import Place, Stretch, in_feet, told
from recordgen.evidence.run_readings import RunReadings
from recordgen.pages.run_ground import GroundPart, ground_parts, is_underground
from recordgen.pages.strip_geometry import WIDTH, Scale, rows, tick_values
from recordgen.pages.strip_marks import (
    ROW_HEIGHT,
    band_drawn,
    band_extent,
    grounds_drawn,
    landmarks_listed,
    numbers_placed,
    transmitter_listed,
)
from recordgen.pages.strip_parts import Band, Drawing, Strip
from recordgen.pages.strip_readings import (
    PLOT_HEIGHT,
    SCALE_FIGURES,
    height_of,
    keys_of,
    readings_drawn,
    readings_listed,
)
from recordgen.records.field import Landmark, Run

_METRES_PER_FOOT: Final = 0.3048
_EDGE: Final = 12.0
_SCALE_EDGE: Final = 30.0  # the figures of the receiver's scale stand left of it
_BAND_HEIGHT: Final = 28.0
_GROUND_HEIGHT: Final = 16.0


def bands_of(found: RunReadings) -> tuple[Band, ...]:
    """Return what the readings along a run have located: where the fault lies, and the fall."""
    if found.segment is None or found.interval is None:
        return ()
    name = f"Fault in {found.confidence_percent} of 100 cases"
    return Band(name, found.interval, "located"), Band("Signal falls", found.segment)


def run_strip(
    run: Run | None,
    *,
    anchor: str,
    title: str,
    readings: Sequence[Place] = (),
    bands: Sequence[Band] = (),
    transmitter_m: float | None = None,
) -> Strip:
    """Return the drawing of a run.

    Parameters
    ----------
    run : Run or None
        None where it is not recorded: readings and bands are then drawn alone.
    anchor : str
        What ids begin with; another one for each strip of a page.
    title : str
        What the drawing shows, for those who do not see it.
    readings : sequence of Place
        Of one trace, from `evidence.run_places.places`.
    bands : sequence of Band
        Stretches that were located, by one method or all; the most important first.
    transmitter_m : float, optional
        Where the transmitter was joined, along the run from its start [m].

    Returns
    -------
    Strip
        In feet where the run was recorded in feet or inches, else in metres.

    Examples
    --------
    >>> marks = [{"at": "0 ft", "what": "LP-1"}, {"at": "40 ft", "what": "fan"}, {"what": "box"}]
    >>> run = Run.model_validate({"of": "LP-1/3", "landmarks": marks})
    >>> drawn = run_strip(run, anchor="r", title="Run R-1")
    >>> drawn.unit, drawn.drawing.ticks[-1], [mark.at for mark in drawn.landmarks]
    ('ft', (348.0, '40'), ['0 ft', '40 ft', 'place not recorded'])
    """
    marks = run.landmarks if run else ()
    ends = [float(mark.at_m) for mark in marks if mark.at_m is not None]
    feet = in_feet((), run) if ends else in_feet([place.reading for place in readings], None)
    lengths = [*ends, *(place.at_m for place in readings if place.at_m is not None)]
    lengths += [end for band in bands for end in (band.stretch.low_m, band.stretch.high_m)]
    lengths += [] if transmitter_m is None else [transmitter_m]
    parts = ground_parts(run)
    listed = readings_listed(readings, feet=feet)
    strip = Strip(
        anchor=anchor,
        title=title,
        description="Nothing is drawn to scale: no two distances are recorded.",
        unit="ft" if feet else "m",
        drawing=None,
        transmitter=transmitter_listed(transmitter_m, feet=feet),
        landmarks=landmarks_listed(marks),
        grounds=(),
        readings=listed,
        bands=tuple(band_drawn(band, None, 0, feet=feet) for band in bands),
        keys=keys_of(readings),
        notes=tuple(_notes(marks, parts)),
    )
    if not lengths or max(lengths) - min(lengths) < 1e-6:
        return strip
    is_read = any(not one.why for one in listed)
    scale = Scale(min(lengths), max(lengths), _SCALE_EDGE if is_read else _EDGE, WIDTH - _EDGE)
    return _drawn(strip, scale, marks, readings, bands, parts, transmitter_m, feet=feet)


def _drawn(
    strip: Strip,
    scale: Scale,
    marks: Sequence[Landmark],
    readings: Sequence[Place],
    bands: Sequence[Band],
    parts: Sequence[GroundPart],
    transmitter_m: float | None,
    *,
    feet: bool,
) -> Strip:
    """Return the strip with everything in its place, from the upper edge down."""
    in_row = rows([band_extent(band_drawn(band, scale, 0, feet=feet)) for band in bands])
    banded = tuple(
        band_drawn(band, scale, 2 + row * _BAND_HEIGHT, feet=feet)
        for band, row in zip(bands, in_row, strict=True)
    )
    top = bottom = 2 + (max(in_row, default=-1) + 1) * _BAND_HEIGHT
    read = strip.readings
    is_read = any(not one.why for one in read)
    if is_read:
        flat = readings_drawn(read, readings, scale, 0.0)
        highest = min(one.label_box.top for one in flat if one.label_box)
        top = round(top + 6 + max(10.0, -highest), 1)
        read = readings_drawn(read, readings, scale, top)
        bottom = top + PLOT_HEIGHT
    placed, transmitter, number_rows = numbers_placed(
        strip, scale, marks, transmitter_m, bottom + 8
    )
    route_y = bottom + 8 + number_rows * ROW_HEIGHT + 6
    under = route_y + _GROUND_HEIGHT
    grounds, depth_rows = grounds_drawn(parts, scale, under + 3, feet=feet)
    axis_y = under + 4 + depth_rows * ROW_HEIGHT + 4
    per_unit = _METRES_PER_FOOT if feet else 1.0
    ticks = tick_values(scale.low_m / per_unit, scale.high_m / per_unit)
    drawing = Drawing(
        height=round(axis_y + 36, 1),
        left=scale.left,
        right=scale.right,
        plot_top=top,
        plot_bottom=bottom,
        scale_marks=tuple((height_of(v, top), str(v)) for v in (SCALE_FIGURES if is_read else ())),
        route_y=round(route_y, 1),
        route_bottom=round(under, 1),
        axis_y=round(axis_y, 1),
        ticks=tuple((scale.x(value * per_unit), f"{value:g}") for value in ticks),
    )
    return replace(
        strip,
        description=_description(strip, scale, feet=feet),
        drawing=drawing,
        transmitter=transmitter,
        landmarks=placed,
        grounds=grounds,
        readings=read,
        bands=banded,
    )


def _notes(marks: Sequence[Landmark], parts: Sequence[GroundPart]) -> Iterator[str]:
    distances = [float(mark.at_m) for mark in marks if mark.at_m is not None]
    if distances != sorted(distances):
        yield "The landmarks are not recorded in order of their distance."
    for number, mark in enumerate(marks, 1):
        if mark.at_m is None and is_underground(mark):
            yield f"Landmark {number} is underground at a place that is not recorded."
    if any(part.cover == "partly" for part in parts):
        yield (
            "Drawn dotted: underground at one end, or at a landmark without a distance; where the "
            "run goes down is not recorded."
        )


def _description(strip: Strip, scale: Scale, *, feet: bool) -> str:
    whole = told(Stretch(scale.low_m, scale.high_m), feet=feet)
    count = len(strip.landmarks)
    found = [f"Drawn to scale from {whole}, with {count} landmark{'' if count == 1 else 's'}"]
    if strip.readings:
        found.append(f"{len(strip.readings)} readings")
    found += [band.words for band in strip.bands]
    return "; ".join(found) + ". All of it is in the table that follows."
