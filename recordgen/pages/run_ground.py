"""Which parts of a run lie underground, as its landmarks have it, and how deep."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from recordgen.evidence.run_places import Stretch
from recordgen.records.field import Landmark, Run

Cover = Literal["underground", "partly"]


@dataclass(frozen=True)
class GroundPart:
    """A part of a run that lies underground, or may.

    Attributes
    ----------
    stretch : Stretch
        From landmark to landmark [m].
    cover : str
        "underground" where both ends are; "partly" where one end is, or where a landmark between
        them is whose distance is not recorded: where the run goes down is then not recorded.
    depth : str
        As written at its landmarks, least to most; says so where it is not recorded.
    """

    stretch: Stretch
    cover: Cover
    depth: str


def is_underground(mark: Landmark) -> bool:
    """Return whether the record has a landmark below ground: it says so, or gives a depth."""
    return bool(mark.underground) or mark.depth_m is not None


def ground_of(mark: Landmark) -> str:
    """Return what is recorded of a landmark and the ground, in words.

    Examples
    --------
    >>> ground_of(Landmark.model_validate({"what": "elbow", "underground": "yes"}))
    'underground, depth not recorded'
    """
    if is_underground(mark):
        depth = f"{mark.depth_m} deep" if mark.depth_m is not None else "depth not recorded"
        return f"underground, {depth}"
    return "not recorded" if mark.underground is None else "above ground"


def ground_parts(run: Run | None) -> tuple[GroundPart, ...]:
    """Return the parts of a run that lie underground or may, in order along it.

    Parameters
    ----------
    run : Run or None

    Returns
    -------
    tuple of GroundPart
        Neighbouring parts that are covered alike are one. A landmark that says nothing of the
        ground is taken as no part of it, so the page has to say that the rest is "not recorded as
        underground", and not that it is above.

    Examples
    --------
    >>> deep = {"at": "4 m", "what": "elbow", "depth": "50 cm"}
    >>> marks = [{"at": "0 m", "what": "wall"}, deep, {"at": "9 m", "what": "gate", "depth": "1 m"}]
    >>> for part in ground_parts(Run.model_validate({"of": "LP-1/3", "landmarks": marks})):
    ...     print(part.stretch.low_m, part.stretch.high_m, part.cover, part.depth)
    0.0 4.0 partly 50 cm
    4.0 9.0 underground 50 cm to 1 m
    """
    marks = run.landmarks if run else ()
    placed = sorted(
        ((float(mark.at_m), mark) for mark in marks if mark.at_m is not None),
        key=lambda pair: pair[0],
    )
    hidden = tuple(_around_the_unplaced(marks))
    found: list[tuple[Stretch, Cover, list[Landmark]]] = []
    for (low_m, low), (high_m, high) in pairwise(placed):
        if low_m == high_m:
            continue
        stretch = Stretch(low_m, high_m)
        deep = [mark for mark in (low, high) if is_underground(mark)]
        deep += [m for about, m in hidden if about.low_m < high_m and low_m < about.high_m]
        if not deep:
            continue
        cover: Cover = "underground" if is_underground(low) and is_underground(high) else "partly"
        if found and found[-1][1] == cover and found[-1][0].high_m == low_m:
            before, _, known = found.pop()
            found.append((Stretch(before.low_m, high_m), cover, [*known, *deep]))
        else:
            found.append((stretch, cover, deep))
    return tuple(GroundPart(stretch, cover, depth_words(deep)) for stretch, cover, deep in found)


def _around_the_unplaced(marks: Sequence[Landmark]) -> Iterator[tuple[Stretch, Landmark]]:
    """Yield landmarks that are underground somewhere between the placed ones on either side."""
    for number, mark in enumerate(marks):
        if mark.at_m is not None or not is_underground(mark):
            continue
        before = [one.at_m for one in marks[:number] if one.at_m is not None]
        after = [one.at_m for one in marks[number + 1 :] if one.at_m is not None]
        if before and after:
            yield Stretch(min(before[-1], after[0]), max(before[-1], after[0])), mark


def depth_words(marks: Sequence[Landmark]) -> str:
    """Return how deep landmarks lie, least to most, as written.

    Examples
    --------
    >>> marks = [Landmark.model_validate({"what": "x", "depth": d}) for d in ("24 in", "18 in")]
    >>> depth_words(marks)
    '18 to 24 in'
    """
    depths = [mark.depth_m for mark in marks if mark.depth_m is not None]
    if not depths:
        return "depth not recorded"
    least, most = str(min(depths)), str(max(depths))
    told = least if min(depths) == max(depths) else _range(least, most)
    return told if len(depths) == len(marks) else f"{told} where recorded"


def _range(least: str, most: str) -> str:
    number, _, unit = least.partition(" ")
    return f"{number if unit and most.endswith(f' {unit}') else least} to {most}"


def deep_words(depth: str) -> str:
    """Return a depth from `depth_words` as it goes into a sentence.

    Examples
    --------
    >>> deep_words("18 to 24 in where recorded")
    '18 to 24 in deep where recorded'
    """
    if depth == "depth not recorded":
        return depth
    known, part, _ = depth.partition(" where recorded")
    return f"{known} deep{part}"
