"""Readings along a run that is followed to its end or lost; calibrated to no instrument.

The run has four to nine landmarks over 15 to 120 m; six to sixteen readings, one at either end and
the others about evenly. Signals lean and waver as in
tests/evidence/simulator_run.py. Where the run is lost the receiver goes on along something else
that carries 25 to 60 of 99 less, from a place between 15 and 85 % of the way.
"""

import random

from recordgen.records.field import Run, Trace


def follow_case(seed: int, *, lost: bool) -> tuple[Trace, Run, float | None]:
    """Return a trace, its run and where it was lost [m]; None where it was not."""
    draw = random.Random(f"follow {seed} {lost}")  # noqa: S311 - nothing secret
    length_m = draw.uniform(15, 120)
    count = draw.randint(4, 9)
    marks = [0.0, *sorted(draw.uniform(1, length_m - 1) for _ in range(count - 2)), length_m]
    run = Run.model_validate(
        {
            "of": "LP-1/3",
            "landmarks": [{"at": f"{at:.2f} m", "what": f"mark {i}"} for i, at in enumerate(marks)],
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
    level, lean, fall = draw.uniform(60, 95), draw.gauss(-8, 8), draw.uniform(25, 60)
    rows = []
    for place in places:
        signal = level + lean * place / length_m + draw.gauss(0, 2)
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
    head = {"date": "2026-01-01", "by": "A.B.", "purpose": "follow a run"}
    return Trace.model_validate({**head, "readings": rows}), run, lost_m
