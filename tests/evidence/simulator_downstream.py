"""Readings at loads, the transmitter on their circuit, as a tracer might show them: a model only.

What is assumed, and nothing of it comes from an instrument: 1 to 8 loads hang on the circuit and
give 0.6 to 1; 1 to 10 places of other circuits are read beside them and give 0.05 to 0.5; one in
eight of those shares a raceway with the circuit and gives 0.5 to 0.9. In one case of five one of
the others was taken for a load of the circuit. The hand, the scale and the sensitivity are as for
breakers, each place is read once, and all at one sensitivity.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from recordgen.records.field import Reading
from tests.evidence.simulator_breakers import USUAL, Model
from tests.evidence.simulator_bundle import read_once

SHARED_ONE_IN: Final = 8
MISTAKEN_ONE_IN: Final = 5


@dataclass(frozen=True)
class Case:
    """Readings, the loads that somebody took for those of the circuit, and which of them are."""

    readings: tuple[Reading, ...]
    found: tuple[str, ...]
    right: frozenset[str]


def cases(
    count: int, seed: int, model: Model = USUAL, shared_one_in: int = SHARED_ONE_IN
) -> Iterator[Case]:
    """Yield cases, the same for the same seed, until so many loads were found in them.

    `shared_one_in` is how often a place of another circuit shares a raceway with this one.
    """
    rng = random.Random(seed)  # noqa: S311  (a simulation, no secret)
    while count > 0:
        case = _case(rng, model, shared_one_in)
        count -= len(case.found)
        yield case


def _case(rng: random.Random, model: Model, shared_one_in: int) -> Case:
    levels = {f"R-{number}": rng.uniform(0.6, 1.0) for number in range(1, rng.randint(1, 8) + 1)}
    right = frozenset(levels)
    others = [f"X-{number}" for number in range(1, rng.randint(1, 10) + 1)]
    for tag in others:
        shares = rng.randrange(shared_one_in) == 0
        levels[tag] = rng.uniform(0.5, 0.9) if shares else rng.uniform(0.05, 0.5)
    mistaken = [rng.choice(others)] if rng.randrange(MISTAKEN_ONE_IN) == 0 else []
    return Case(read_once(levels, rng, model), (*sorted(right), *mistaken), right)
