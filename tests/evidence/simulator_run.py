"""Signals along a run, made up: a model with known truth, calibrated to no instrument.

A reading is: a level (50 to 95 of 99) that leans a little along the run, less what is lost past the
fault, plus what the sensitivity adds, plus unsteadiness; then rounded and held between 0 and 99.
- The signal falls past the fault over 0 to 1 m or so, not at once.
- By purpose it loses 25 to 70 (open), 20 to 60 (short) or 12 to 45 (ground fault) of 99.
- One step of sensitivity adds 6 to 18; it is turned up or down up to twice, in half of the cases
  with a second reading at the same place.
- Unsteadiness of 0.7 to 4; one reading in 25 is wild (by 12 or so); metal or a bend nearby makes a
  hump or hollow of up to 10 over a few metres in one case of three.
- Places are paced off: wrong by up to 0.3 m.
"""

import math
import random
from dataclasses import dataclass
from typing import Final

from recordgen.records.field import Trace

PURPOSES = ("locate an open", "locate a ground fault", "locate a short")
LOST = {
    "locate an open": (25, 70),
    "locate a ground fault": (12, 45),
    "locate a short": (20, 60),
}


@dataclass(frozen=True)
class Model:
    """What may be assumed otherwise, to see how far the rates hang on it.

    Pairs are least and most, of 99 where nothing else is said: `noise` is the unsteadiness; one
    reading in `wild_one_in` is wild; a hump or hollow of `hump`, over `hump_over_m` [m] to either
    side, comes in a share of `hump_share` of the cases; the signal is lost over `falls_over_m` [m];
    at the end of the run it has sunk by `sags`, ever faster; it starts at a level of `level`.
    """

    noise: tuple[float, float] = (0.7, 4)
    wild_one_in: int = 25
    hump: tuple[float, float] = (0, 10)
    hump_share: float = 1 / 3
    hump_over_m: tuple[float, float] = (1, 4)
    falls_over_m: tuple[float, float] = (0, 1)
    sags: tuple[float, float] = (0, 0)
    level: tuple[float, float] = (50, 95)


USUAL: Final = Model()
STRESS: Final = {
    "large humps": Model(hump=(15, 25), hump_share=0.5, hump_over_m=(2, 8)),
    "sinks ever faster": Model(sags=(15, 35)),
    "unsteady": Model(noise=(1, 6), wild_one_in=12),
    "scale often full": Model(level=(85, 130)),
    "fades slowly": Model(falls_over_m=(2, 4)),
}
"""What is changed → the model."""


@dataclass(frozen=True)
class Case:
    """A trace and what is true of it; no fault on the stretch where `fault_m` is None."""

    trace: Trace
    fault_m: float | None
    places_m: tuple[float, ...]


def case(seed: int, purpose: str, *, faulty: bool | None = None, model: Model = USUAL) -> Case:
    """Return one made-up case; with a fault on the stretch in three of four, or as asked."""
    draw = random.Random(f"{purpose} {seed}")  # noqa: S311 - nothing secret
    count = draw.choice((5, 6, 7, 8, 9, 10, 12, 15, 20, 30))
    length_m = draw.uniform(10, 12) * draw.uniform(1, 12)
    steps = [draw.uniform(0.4, 1.6) for _ in range(count - 1)]
    places = [0.0]
    for step in steps:
        places.append(places[-1] + step * length_m / sum(steps))
    is_faulty = draw.random() < 0.75 if faulty is None else faulty
    fault_m = draw.uniform(0, length_m) if is_faulty else None
    lost = draw.uniform(*LOST[purpose])
    falls_over_m = draw.uniform(*model.falls_over_m)
    level = draw.uniform(*model.level)
    sag = draw.uniform(*model.sags)
    lean = draw.gauss(-8, 8)
    noise = math.exp(draw.uniform(*map(math.log, model.noise)))
    per_step = draw.uniform(6, 18)
    is_humped = draw.random() < model.hump_share
    hump = draw.choice((-1, 1)) * draw.uniform(*model.hump) if is_humped else 0.0
    hump_at, hump_over = draw.uniform(0, length_m), draw.uniform(*model.hump_over_m)
    turned_at = sorted(draw.sample(range(1, count), draw.choice((0, 0, 1, 2))))
    rereads = draw.random() < 0.5
    turned = 0
    readings = []
    for i, place in enumerate(places):
        really = place + draw.uniform(-0.3, 0.3)
        settings = [turned]
        if i in turned_at:
            turned += draw.choice((-1, 1))
            settings = [settings[0], turned] if rereads else [turned]
        for setting in settings:
            signal = level + lean * really / length_m + setting * per_step
            signal -= sag * (really / length_m) ** 4
            signal += hump * math.exp(-(((really - hump_at) / hump_over) ** 2))
            if fault_m is not None and really > fault_m:
                past = really - fault_m
                signal -= lost * (1 - math.exp(-past / falls_over_m) if falls_over_m else 1)
            signal += draw.gauss(0, noise)
            if draw.randrange(model.wild_one_in) == 0:
                signal += draw.gauss(0, 12)
            shown = min(99, max(0, round(signal)))
            readings.append(
                {"at": f"{place:.3f} m", "values": str(shown), "sensitivity": str(4 + setting)}
            )
    trace = Trace.model_validate(
        {"date": "2026-01-01", "by": "A.B.", "purpose": purpose, "readings": readings}
    )
    return Case(trace, fault_m, tuple(places))
