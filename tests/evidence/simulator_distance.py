"""Distances by tracer, reflectometer and bridge to one made-up fault; calibrated to no instrument.

A run of 30 to 300 m measured along its route; the conductor is 0 to 6 % longer, which whoever
measures takes as 1.00 to 1.06. Every input of reflectometer and bridge is off by an even draw
within its bounds: echo 2 ns, velocity factor 3 %, arms 0.5 %, lengths 1 %. Where a case is asked
for as spoilt, one thing taken for certain is not: the velocity factor is off by 12 to 25 %.
"""

import random
from dataclasses import dataclass

from recordgen.calc.interval import Interval, around
from recordgen.calc.murray_loop import equivalent_loop_m
from recordgen.evidence.distance_readings import (
    Combined,
    Distance,
    Mounting,
    by_bridge,
    by_reflectometer,
    combined,
)
from recordgen.evidence.run_readings import run_readings
from tests.evidence.simulator_run import case

M_PER_NS = 0.299792458  # by the definition of the metre


@dataclass(frozen=True)
class DistanceCase:
    """What the methods say, together and each, and what is true."""

    fault_m: float
    answer: Combined
    distances: tuple[Distance, ...]


def measured(true: float, share: float, draw: random.Random) -> Interval:
    shown = true * (1 + draw.uniform(-share, share))
    return around(shown, 1.001 * share / (1 - share) * shown)


def distance_case(seed: int, *, spoilt: bool, traced: bool = True) -> DistanceCase:
    """Return one case of a short, by echo and bridge and, where `traced`, a tracer's readings."""
    draw = random.Random(f"distance {seed}")  # noqa: S311 - nothing secret
    one = case(seed, "locate a short", faulty=True)
    assert one.fault_m is not None
    length_m = one.places_m[-1]
    per_route = draw.uniform(1.0, 1.06)
    far = draw.random() < 0.5
    conductor_m = per_route * (length_m - one.fault_m if far else one.fault_m)
    mounting = Mounting(
        length_m if far else 0.0, "start" if far else "end", Interval(1, 1.03, 1.06)
    )
    factor = draw.uniform(0.55, 0.75)
    factor_taken = measured(factor, 0.03, draw)
    if spoilt:
        factor *= 1 + draw.choice((-1, 1)) * draw.uniform(0.12, 0.25)
    echo = 2 * conductor_m / (factor * M_PER_NS) + draw.uniform(-2, 2)
    distances: list[Distance] = []
    if echo > 3:  # nearer than that no echo is told from the pulse
        distances.append(by_reflectometer(around(echo, 2.001), factor_taken, mounting))
    whole = measured(per_route * length_m, 0.01, draw)
    loop = equivalent_loop_m(whole, whole, 5.2, 5.2)
    share = conductor_m / (2 * per_route * length_m)
    arms = measured(10 * (1 - share), 0.005, draw), measured(10 * share, 0.005, draw)
    distances.append(by_bridge(*arms, loop, whole, mounting))
    tracer = run_readings(one.trace, None) if traced else None
    answer = combined("locate a short", tracer, distances, None, feet=False)
    return DistanceCase(one.fault_m, answer, tuple(distances))
