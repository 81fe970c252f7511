"""Readings at the cables of a bundle as a tracer might show them: a model, no measurement.

What is assumed, and nothing of it comes from an instrument: the right cable gives 1, the others 0.2
to 0.8; one in eight lies along it and gives 0.7 to 1. There are 2 to 24. Placing the receiver by
hand, the scale and the sensitivity are as for breakers. One bundle in twenty does not hold the
right cable; the sensitivity is then set by the best of the others.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from recordgen.records.field import Reading
from tests.evidence.simulator_breakers import USUAL, Model, shown

ALONG_ONE_IN: Final = 8
RIGHT: Final = "C-1"


@dataclass(frozen=True)
class Case:
    """Readings, and the cable that is right; None where it is not among those read."""

    readings: tuple[Reading, ...]
    right: str | None


def cases(count: int, seed: int, model: Model = USUAL) -> Iterator[Case]:
    """Yield so many cases, the same for the same seed."""
    rng = random.Random(seed)  # noqa: S311  (a simulation, no secret)
    for _ in range(count):
        yield _case(rng, model)


def _case(rng: random.Random, model: Model) -> Case:
    levels = {RIGHT: 1.0}
    for number in range(2, rng.randint(2, 24) + 1):
        along = rng.randrange(ALONG_ONE_IN) == 0
        levels[f"C-{number}"] = rng.uniform(0.7, 1.0) if along else rng.uniform(0.2, 0.8)
    missed = len(levels) > 2 and rng.randrange(model.missed_one_in) == 0
    if missed:
        del levels[RIGHT]
    return Case(read_once(levels, rng, model), None if missed else RIGHT)


def read_once(levels: Mapping[str, float], rng: random.Random, model: Model) -> tuple[Reading, ...]:
    """Return one reading at each place, all at the sensitivity that suits the strongest."""
    target = rng.uniform(60, 97)
    if rng.randrange(model.too_high_one_in) == 0:
        target *= rng.uniform(1.3, 3)
    gain = target / max(levels.values())
    return tuple(
        Reading.model_validate(
            {"at": at, "values": f"{shown(gain * level, rng, model):g}", "sensitivity": "3"}
        )
        for at, level in levels.items()
    )
