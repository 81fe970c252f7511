"""Landmarks, ground and located stretches in their places on the drawing of a run."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from recordgen.evidence.run_places import Stretch, told, told_at
from recordgen.pages.run_ground import GroundPart, deep_words, ground_of
from recordgen.pages.strip_geometry import (
    TEXT_HEIGHT,
    WIDTH,
    Box,
    Scale,
    labels_in_rows,
    text_width,
)
from recordgen.pages.strip_parts import (
    NO_PLACE,
    Band,
    BandDrawn,
    GroundDrawn,
    LandmarkDrawn,
    Strip,
)
from recordgen.records.field import Landmark

ROW_HEIGHT: Final = TEXT_HEIGHT + 4
"""Of a row of labels."""


def landmarks_listed(marks: Sequence[Landmark]) -> tuple[LandmarkDrawn, ...]:
    """Return the landmarks in words, numbered in the order they are recorded."""
    return tuple(
        LandmarkDrawn(
            number=str(number),
            at=NO_PLACE if mark.at_m is None else str(mark.at_m),
            what=mark.what,
            room=mark.room or "",
            ground=ground_of(mark),
        )
        for number, mark in enumerate(marks, 1)
    )


def transmitter_listed(at_m: float | None, *, feet: bool) -> LandmarkDrawn | None:
    """Return where the transmitter was joined, in words; None where that is not known."""
    if at_m is None:
        return None
    return LandmarkDrawn("T", told_at(at_m, feet=feet), "transmitter joined here", "", "")


def numbers_placed(
    strip: Strip,
    scale: Scale,
    marks: Sequence[Landmark],
    transmitter_m: float | None,
    top: float,
) -> tuple[tuple[LandmarkDrawn, ...], LandmarkDrawn | None, int]:
    """Return landmarks and transmitter with their places, and how many rows their numbers take.

    The last row lies next to the run, so that most leaders are short.
    """
    wanted = [(mark.at_m, one) for mark, one in zip(marks, strip.landmarks, strict=True)]
    if strip.transmitter is not None:
        wanted.append((transmitter_m, strip.transmitter))
    placed = sorted(
        ((float(at_m), one) for at_m, one in wanted if at_m is not None), key=lambda pair: pair[0]
    )
    sizes = [text_width(one.number) + 8 for _, one in placed]
    middles = [scale.x(at_m) for at_m, _ in placed]
    at = labels_in_rows(list(zip(middles, sizes, strict=True)))
    count = max((row for _, row in at), default=-1) + 1
    found = {
        one.number: replace(
            one,
            x=x,
            label_box=Box(
                left, round(top + (count - 1 - row) * ROW_HEIGHT, 1), size, TEXT_HEIGHT + 1
            ),
        )
        for (_, one), x, size, (left, row) in zip(placed, middles, sizes, at, strict=True)
    }
    landmarks = tuple(found.get(one.number, one) for one in strip.landmarks)
    return landmarks, found.get("T"), count


def grounds_drawn(
    parts: Sequence[GroundPart], scale: Scale, top: float, *, feet: bool
) -> tuple[tuple[GroundDrawn, ...], int]:
    """Return the parts underground with their places, and how many rows their depths take."""
    ends = [(scale.x(part.stretch.low_m), scale.x(part.stretch.high_m)) for part in parts]
    labels = [_depth_label(part) for part in parts]
    wanted = [
        ((left + right) / 2, text_width(label))
        for (left, right), label in zip(ends, labels, strict=True)
    ]
    at = labels_in_rows(wanted)
    found = tuple(
        GroundDrawn(
            part.cover,
            f"{_COVER[part.cover]} along {told(part.stretch, feet=feet)}: {deep_words(part.depth)}",
            label,
            left,
            right,
            Box(round(edge, 1), round(top + row * ROW_HEIGHT, 1), width, TEXT_HEIGHT),
        )
        for part, (left, right), label, (_, width), (edge, row) in zip(
            parts, ends, labels, wanted, at, strict=True
        )
    )
    return found, max((row for _, row in at), default=-1) + 1


_COVER: Final = {
    "underground": "Underground",
    "partly": "Underground somewhere",
}


def _depth_label(part: GroundPart) -> str:
    if part.depth == "depth not recorded":
        return "depth ?"
    known, _, _ = part.depth.partition(" where recorded")
    return known if known == part.depth else f"{known}, ?"


def band_drawn(band: Band, scale: Scale | None, top: float, *, feet: bool) -> BandDrawn:
    """Return a band; without a scale it has no place on the drawing."""
    words = f"{band.name}: {told(band.stretch, feet=feet)}"
    label = f"{band.name}: {_short(band.stretch, feet=feet)}"
    if scale is None:
        return BandDrawn(band.kind, words, label, 0, 0, 0, Box(0, 0, 0, 0))
    left, right = scale.x(band.stretch.low_m), scale.x(band.stretch.high_m)
    width = min(text_width(label), WIDTH)
    edge = max(0.0, min((left + right) / 2 - width / 2, WIDTH - width))
    y = round(top + TEXT_HEIGHT + 4, 1)
    box = Box(round(edge, 1), round(top, 1), width, TEXT_HEIGHT)
    return BandDrawn(band.kind, words, label, left, right, y, box)


def _short(stretch: Stretch, *, feet: bool) -> str:
    return told(stretch, feet=feet).partition(" (")[0]


def band_extent(band: BandDrawn) -> tuple[float, float]:
    """Return from where to where a band and its label reach."""
    return min(band.left, band.label_box.left), max(band.right, band.label_box.right)
