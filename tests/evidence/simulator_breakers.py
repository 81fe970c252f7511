"""Readings at panel covers and breakers as a tracer might show them: a model, no measurement.

What is assumed, and nothing of it comes from an instrument:

- The right breaker gives 1 in its strongest orientation and 0.75 to 1 in the others.
- Another one gives a coupled field with a direction: its level falls with the distance in positions
  from the right one, its two weak orientations are 0.2 to 0.75 of the strong one. One in eight
  near the right one shares a bundle of conductors with it: up to 1.1 of its level, 0.4 to 0.9 in
  the other orientations.
- Which of the three orientations is a breaker's strong one is mostly the flat one, not always.
- Placing the receiver by hand is off by 7 % of the reading, and 2 of the scale besides.
- The scale shows whole numbers from 0 to 99.
- Covers: 2 to 4 panels, one orientation; the right one at 0.5 to 1, a wrong one at 0.1 to 0.7. The
  breakers of every panel are read whose cover comes within 15 of the best, as the rule asks for;
  in a wrong panel they pick up 0.1 to 0.5, with a direction.
- The technician sets the sensitivity so that the strongest breaker read reads 60 to 97; one in
  twenty leaves it up to three times too high. Five breakers or more are read flat, those beside the
  right one too, then those within 25 of the best, and three at least, in three orientations.
- The right breaker may not be among those read: its panel's cover misled, or was not read (one in
  twenty), or the breaker itself was overlooked (one in twenty): skipped amid the others, or beyond
  the last one read, as often. The sensitivity is then set by the best of those that were read.

`STRESS` holds the same with one thing made harder.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

from recordgen.evidence.signals import TOP_OF_SCALE, Comparable, Signal

PLACEMENT: Final = 0.07
OFFSET: Final = 2.0
COVERS_WITHIN: Final = 15
BUNDLED_ONE_IN: Final = 8
MISSED_ONE_IN: Final = 20
TOO_HIGH_ONE_IN: Final = 20
TURNED_WITHIN: Final = 25
TURNED: Final = 3
SENSITIVITY: Final = 4
RIGHT_PANEL: Final = "LP-1"
OTHER_PANELS: Final = ("LP-2", "HP-1", "DP-1")

Field = tuple[float, float, float]


@dataclass(frozen=True)
class Model:
    """What may be assumed otherwise, to see how far the rates hang on it.

    `placement` is how far the hand is off, as a share of the reading, and `offset` what it adds
    besides; `any_direction` draws the direction of what a wrong breaker picks up from all
    directions in space; `coupled` raises what neighbours of the right one pick up, `same_phase`
    by how much more it is on its phase, and one in `bundled_one_in` shares its bundle;
    the right one is missed at the cover, and at the breakers, once in `missed_one_in`; the
    sensitivity is left too high once in `too_high_one_in`.
    """

    placement: float = PLACEMENT
    offset: float = OFFSET
    any_direction: bool = False
    coupled: float = 1.0
    same_phase: float = 0.0
    bundled_one_in: int = BUNDLED_ONE_IN
    missed_one_in: int = MISSED_ONE_IN
    too_high_one_in: int = TOO_HIGH_ONE_IN


USUAL: Final = Model()
# Neighbours pick up a fifth more, half as much again those on its phase; one in four near it shares
# its bundle.
STRONG_COUPLING: Final = Model(coupled=1.2, same_phase=0.5, bundled_one_in=4)
ANY_DIRECTION: Final = Model(any_direction=True)
UNSTEADY: Final = Model(placement=0.12, offset=3.0)
OFTEN_MISSED: Final = Model(missed_one_in=5)  # at the cover, and at the breakers
OFTEN_FULL: Final = Model(too_high_one_in=3)
# As the cases were that the rule to beat was measured in: each holds the right breaker.
NEVER_MISSED: Final = Model(missed_one_in=10**9, too_high_one_in=10**9)
STRESS: Final = {
    "strong coupling": STRONG_COUPLING,
    "coupling from any direction": ANY_DIRECTION,
    "unsteady hand": UNSTEADY,
    "right one often not read": OFTEN_MISSED,
    "scale often full": OFTEN_FULL,
}
"""What is changed → the model."""


@dataclass
class Case:
    """Readings, and the breaker that is right; None where it is not among those read.

    `panel_of` and `next_to` are breaker → its panel, and → those recorded beside it.
    """

    readings: Comparable
    right: str | None
    panel_of: dict[str, str] = field(default_factory=dict)
    next_to: dict[str, tuple[str, ...]] = field(default_factory=dict)


def cases(count: int, seed: int, model: Model = USUAL) -> Iterator[Case]:
    """Yield so many cases, the same for the same seed."""
    rng = random.Random(seed)  # noqa: S311  (a simulation, no secret)
    for _ in range(count):
        yield _case(rng, model)


def shown(level: float, rng: random.Random, model: Model = USUAL) -> float:
    """Return what the scale shows of a level in its own units: whole, 0 to 99, off by hand."""
    seen = level * rng.lognormvariate(0, model.placement) + rng.gauss(0, model.offset)
    return float(min(TOP_OF_SCALE, max(0, round(seen))))


def _case(rng: random.Random, model: Model) -> Case:
    covers = _covers(rng, model)
    best = max(signal.flat for signal in covers)
    fields: dict[str, Field] = {}
    next_to: dict[str, tuple[str, ...]] = {}
    right = None
    for cover in covers:
        if best - cover.flat < COVERS_WITHIN:
            right = _read_panel(rng, model, cover.at, fields, next_to) or right
    strongest = max(max(levels) for levels in fields.values())
    target = rng.uniform(60, 97)
    if rng.randrange(model.too_high_one_in) == 0:
        target *= rng.uniform(1.3, 3)
    gain = target / strongest
    flat = {at: shown(gain * levels[0], rng, model) for at, levels in fields.items()}
    best_first = sorted(flat, key=lambda at: -flat[at])
    turned = {at for at in flat if flat[best_first[0]] - flat[at] < TURNED_WITHIN}
    turned |= set(best_first[:TURNED])
    signals = list(covers)
    for at, levels in fields.items():
        more = [shown(gain * level, rng, model) for level in levels[1:]] if at in turned else []
        signals.append(Signal(at, (flat[at], *more), SENSITIVITY))
    panel_of = {at: at.partition("/")[0] for at in fields}
    return Case(Comparable(tuple(signals), ()), right, panel_of, next_to)


def _covers(rng: random.Random, model: Model) -> list[Signal]:
    gain = rng.uniform(60, 95)
    levels = {name: rng.uniform(0.1, 0.7) for name in OTHER_PANELS[: rng.randint(1, 3)]}
    if rng.randrange(model.missed_one_in):
        levels = {RIGHT_PANEL: rng.uniform(0.5, 1.0), **levels}
    return [
        Signal(at, (shown(gain * level, rng, model),), SENSITIVITY + 1)
        for at, level in levels.items()
    ]


def _read_panel(
    rng: random.Random,
    model: Model,
    panel: str,
    fields: dict[str, Field],
    next_to: dict[str, tuple[str, ...]],
) -> str | None:
    """Add the fields of the breakers read in a panel; return the right one if it is among them."""
    positions = rng.choice((12, 24, 30, 42))
    centre = rng.randint(1, positions)
    near = sorted(range(1, positions + 1), key=lambda place: abs(place - centre))
    near = near[: rng.randint(5, 16)]
    holds = panel == RIGHT_PANEL
    overlooked = holds and rng.randrange(model.missed_one_in) == 0
    if overlooked and rng.random() < 0.5:
        near = _to_one_side(rng, near, centre)
    for place in near:
        beside = (place - 2, place + 2)
        next_to[f"{panel}/{place}"] = tuple(
            f"{panel}/{other}" for other in beside if 1 <= other <= positions
        )
        if not holds:
            fields[f"{panel}/{place}"] = _coupled(rng, model, rng.uniform(0.1, 0.5), 0.2, 0.75, 0.6)
        elif place != centre:
            same_phase = (place - 1) // 2 % 3 == (centre - 1) // 2 % 3
            away = abs(place - centre)
            fields[f"{panel}/{place}"] = _neighbour(rng, model, away, same_phase=same_phase)
        elif not overlooked:
            levels = (1.0, rng.uniform(0.75, 1), rng.uniform(0.75, 1))
            fields[f"{panel}/{place}"] = _turned(rng, levels, 0.5)
    return f"{panel}/{centre}" if holds and not overlooked else None


def _to_one_side(rng: random.Random, near: list[int], centre: int) -> list[int]:
    """Return the places read by somebody who stopped short of the right one, three at least."""
    below, above = [p for p in near if p < centre], [p for p in near if p > centre]
    return next((side for side in rng.sample((below, above), 2) if len(side) >= 3), near)


def _neighbour(rng: random.Random, model: Model, distance: int, *, same_phase: bool) -> Field:
    more = model.coupled * (1 + model.same_phase * same_phase)
    if distance <= 4 and rng.randrange(model.bundled_one_in) == 0:
        return _coupled(rng, model, min(1.1, more * rng.uniform(0.6, 1.1)), 0.4, 0.9, 0.8)
    level = more * rng.uniform(0.45, 1.0) * 0.85 ** (distance - 1)
    return _coupled(rng, model, min(1.1, level), 0.2, 0.75, 0.8)


def _coupled(
    rng: random.Random, model: Model, level: float, least: float, most: float, flat: float
) -> Field:
    if model.any_direction:
        parts = [abs(rng.gauss(0, 1)) for _ in range(3)]
        first, second, third = (level * part / max(parts) for part in parts)
        return first, second, third
    weak, weaker = (level * rng.uniform(least, most) for _ in range(2))
    return _turned(rng, (level, weak, weaker), flat)


def _turned(rng: random.Random, levels: Field, flat: float) -> Field:
    """Return the levels, the strong orientation first so often and second or third otherwise."""
    if rng.random() < flat:
        return levels
    strong, second, third = levels
    return (second, strong, third) if rng.random() < 0.5 else (second, third, strong)
