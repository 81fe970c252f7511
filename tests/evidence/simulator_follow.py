"""Readings along a run that is followed to its end or lost; calibrated to no instrument.

The run has four to nine landmarks over 15 to 120 m; six to sixteen readings, one at either end and
the others about evenly. Signals lean and waver as in
tests/evidence/simulator_run.py. Where the run is lost the receiver goes on along something else
that carries 25 to 60 of 99 less, from a place between 15 and 85 % of the way.

Underground the run lies 0.45 to 0.9 m deep at each landmark but the two ends, and evenly between
them; twice as deep shows 12 of 99 less.
"""

import math
import random
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from recordgen.records.field import Run, Trace


@dataclass(frozen=True)
class Waver:
    """How unsteady the readings are (standard deviation), and how much may be lost at least."""

    spread: float = 2.0
    least_fall: float = 25.0


USUAL: Final = Waver()
WAVERS: Final = {
    "usual": USUAL,
    "unsteady": Waver(spread=4.0),
    "little is lost": Waver(least_fall=12.0),
}
"""What is changed → how."""
DEEPER_BY_TWO: Final = 12.0  # of 99


def follow_case(
    seed: int, *, lost: bool, underground: bool = False, waver: Waver = USUAL
) -> tuple[Trace, Run, float | None]:
    """Return a trace, its run and where it was lost [m]; None where it was not."""
    draw = random.Random(f"follow {seed} {lost}")  # noqa: S311 - nothing secret
    length_m = draw.uniform(15, 120)
    count = draw.randint(4, 9)
    marks = [0.0, *sorted(draw.uniform(1, length_m - 1) for _ in range(count - 2)), length_m]
    depths = [draw.uniform(0.45, 0.9) if underground else 0.6 for _ in marks]
    below = {"underground": "yes"} if underground else {}
    run = Run.model_validate(
        {
            "of": "LP-1/3",
            "landmarks": [
                {"at": f"{at:.2f} m", "what": f"mark {i}", **(below if 0 < i < count - 1 else {})}
                for i, at in enumerate(marks)
            ],
        }
    )
    readings = draw.randint(6, 16)
    step = length_m / (readings - 1)
    places = [
        0.0,
        *(step * (i + draw.uniform(-0.1, 0.1)) for i in range(1, readings - 1)),
        length_m,
    ]
    lost_m = draw.uniform(0.15, 0.85) * length_m if lost else None
    level, lean, fall = draw.uniform(60, 95), draw.gauss(-8, 8), draw.uniform(waver.least_fall, 60)
    rows = []
    for place in places:
        signal = (
            level
            + lean * place / length_m
            + draw.gauss(0, waver.spread)
            - DEEPER_BY_TWO * math.log2(_depth(marks, depths, place) / 0.6)
        )
        if lost_m is not None and place > lost_m:
            signal -= fall
        nearest = min(range(count), key=lambda i: abs(marks[i] - place))
        at_mark = abs(marks[nearest] - place) < 0.01
        rows.append(
            {
                "at": f"mark {nearest}" if at_mark else f"{place:.2f} m",
                "values": str(min(99, max(0, round(signal)))),
                "sensitivity": "4",
            }
        )
    head = {
        "date": "2026-01-01",
        "by": "A.B.",
        "purpose": "follow an underground cable" if underground else "follow a run",
    }
    return Trace.model_validate({**head, "readings": rows}), run, lost_m


def _depth(marks: Sequence[float], depths: Sequence[float], place: float) -> float:
    """Return the depth at a place, evenly between landmarks [m]; 0.6 where nothing is buried."""
    right = min(len(marks) - 1, max(1, bisect_right(marks, place)))
    low, high = marks[right - 1], marks[right]
    share = min(1.0, max(0.0, (place - low) / (high - low))) if high > low else 0.0
    return depths[right - 1] + share * (depths[right] - depths[right - 1])
