"""The readings of a trace on the drawing of a run: a mark at its height, its value above it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from recordgen.evidence.line_fit import SCALE_TOP
from recordgen.evidence.run_places import Place, told_at
from recordgen.pages.describe import NOT_RECORDED
from recordgen.pages.strip_geometry import TEXT_HEIGHT, Box, Scale, mark_path, raised, text_width
from recordgen.pages.strip_parts import NO_PLACE, Key, ReadingDrawn
from recordgen.records.field import Reading

PLOT_HEIGHT: Final = 110.0
"""From 0 to 99 on the receiver's scale."""
SCALE_FIGURES: Final = (SCALE_TOP, 50, 0)
"""What stands beside the receiver's scale."""
_MARK: Final = 6.0  # half of the widest mark, and what is left free around it


def readings_listed(places: Sequence[Place], *, feet: bool) -> tuple[ReadingDrawn, ...]:
    """Return the readings in words, in the order of the run; those without a place come last."""
    ordered = sorted(places, key=lambda place: (place.at_m is None, place.at_m or 0.0))
    return tuple(_listed(place, feet=feet) for place in ordered)


def _listed(place: Place, *, feet: bool) -> ReadingDrawn:
    reading = place.reading
    step = reading.sensitivity
    return ReadingDrawn(
        at=NO_PLACE if place.at_m is None else told_at(place.at_m, feet=feet),
        what=place.landmark.what if place.landmark else reading.at,
        values=_values(reading, "top of the scale", "foot of the scale"),
        sensitivity=NOT_RECORDED if step is None else str(step),
        note=reading.note or "",
        why=_why_not_drawn(place),
        is_bound=bool(reading.values)
        and (max(reading.values) >= SCALE_TOP or max(reading.values) <= 0),
    )


def _values(reading: Reading, top: str, foot: str) -> str:
    found = []
    for value in reading.values:
        bound = top if value >= SCALE_TOP else foot if value <= 0 else ""
        found.append(f"{value} ({bound})" if bound and not _unit(reading) else str(value))
    return ", ".join(found) or NOT_RECORDED


def _unit(reading: Reading) -> bool:
    return any(str(value).strip("+-.,0123456789") for value in reading.values)


def _why_not_drawn(place: Place) -> str:
    values = place.reading.values
    if not values:
        return "no value"
    if _unit(place.reading) or not all(0 <= value <= SCALE_TOP for value in values):
        return f"not on the receiver's scale of 0 to {SCALE_TOP}"
    return NO_PLACE if place.at_m is None else ""


def readings_drawn(
    listed: Sequence[ReadingDrawn], places: Sequence[Place], scale: Scale, top: float
) -> tuple[ReadingDrawn, ...]:
    """Return the readings with the marks and labels of those that can be drawn.

    Parameters
    ----------
    listed : sequence of ReadingDrawn
        As `readings_listed` has them.
    places : sequence of Place
        The same readings.
    scale : Scale
    top : float
        Where 99 lies on the drawing.

    Returns
    -------
    tuple of ReadingDrawn
        No label overlaps another one or the mark of another reading. Where several sensitivities
        were used each label says which one: readings of different ones do not compare.
    """
    ordered = sorted(places, key=lambda place: (place.at_m is None, place.at_m or 0.0))
    steps = _steps(ordered)
    drawn = []
    for one, place in zip(listed, ordered, strict=True):
        if one.why or place.at_m is None:
            continue
        reading = place.reading
        x = scale.x(place.at_m)
        y = height_of(float(max(reading.values)), top)
        path = mark_path(steps.index(reading.sensitivity), x, y)
        drawn.append(replace(one, x=x, y=y, path=path, label=_label(reading, steps)))
    marks = [
        Box(one.x - _MARK, one.y - _MARK, 2 * _MARK, 2 * _MARK)
        for one in drawn
        if one.x is not None
    ]
    wanted = [
        Box(one.x - width / 2, one.y - _MARK - TEXT_HEIGHT, width, TEXT_HEIGHT)
        for one, width in ((one, text_width(one.label)) for one in drawn)
        if one.x is not None
    ]
    figures = [
        Box(0, height_of(value, top) - TEXT_HEIGHT / 2, scale.left - 8, TEXT_HEIGHT)
        for value in SCALE_FIGURES
    ]
    boxes = raised(wanted, [*marks, *figures])
    placed = iter([replace(one, label_box=box) for one, box in zip(drawn, boxes, strict=True)])
    return tuple(one if one.why else next(placed) for one in listed)


def height_of(value: float, top: float) -> float:
    """Return where a value of the receiver's scale lies on the drawing."""
    return round(top + (SCALE_TOP - value) / SCALE_TOP * PLOT_HEIGHT, 1)


def keys_of(places: Sequence[Place]) -> tuple[Key, ...]:
    """Return what the marks stand for: one for each sensitivity that is drawn."""
    steps = _steps(places)
    return tuple(
        Key(mark_path(shape, 6, 6), _step_words(step, alone=len(steps) == 1))
        for shape, step in enumerate(steps)
    )


def _steps(places: Sequence[Place]) -> list[int | None]:
    """Return the sensitivities of what is drawn, in order; None, not recorded, last."""
    found = {place.reading.sensitivity for place in places if not _why_not_drawn(place)}
    return sorted(found, key=lambda step: (step is None, step or 0))


def _step_words(step: int | None, *, alone: bool) -> str:
    words = "sensitivity not recorded" if step is None else f"sensitivity {step}"
    return f"Read at {words}" if alone else f"{_short(step)}: {words}"


def _label(reading: Reading, steps: Sequence[int | None]) -> str:
    values = []
    for value in reading.values:
        bound = "≥" if value >= SCALE_TOP else "≤" if value <= 0 else ""
        values.append(f"{bound}{float(value):g}")
    text = "/".join(values)
    return text if len(steps) == 1 else f"{text} {_short(reading.sensitivity)}"


def _short(step: int | None) -> str:
    return "s?" if step is None else f"s{step}"
