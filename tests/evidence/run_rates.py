"""How often the readings along a run are read right: `python -m tests.evidence.run_rates`.

Counts made-up cases of tests/evidence/simulator_run.py, by purpose. Give another number of cases a
purpose as the first argument; the default of 10,000 takes some fifteen minutes.
"""

import sys
from dataclasses import dataclass
from itertools import pairwise

from recordgen.evidence.run_readings import run_readings
from tests.evidence.simulator_run import PURPOSES, Case, case


@dataclass
class Rates:
    """Counts; shares of cases as properties."""

    faulty: int = 0
    sound: int = 0
    called: int = 0
    called_on_sound: int = 0
    held: int = 0
    in_segment: int = 0
    largest_drop_right: int = 0
    share_of_run: float = 0.0

    @property
    def located(self) -> float:
        return self.called / self.faulty

    @property
    def false_alarms(self) -> float:
        return self.called_on_sound / self.sound

    @property
    def coverage(self) -> float:
        return self.held / self.called

    @property
    def segment_right(self) -> float:
        return self.in_segment / self.called

    @property
    def largest_drop(self) -> float:
        return self.largest_drop_right / self.faulty

    @property
    def mean_width(self) -> float:
        return self.share_of_run / self.called


def largest_drop_gap(one: Case) -> tuple[float, float]:
    """Return the gap of the largest drop between neighbours: the rule to beat."""
    values = {float(r.at.split()[0]): float(r.values[0]) for r in one.trace.readings}
    return max(pairwise(sorted(values)), key=lambda pair: values[pair[0]] - values[pair[1]])


def rates(purpose: str, count: int, first_seed: int = 0) -> Rates:
    """Return the counts of so many cases of one purpose."""
    found = Rates()
    for seed in range(first_seed, first_seed + count):
        one = case(seed, purpose)
        answer = run_readings(one.trace, None)
        if one.fault_m is None:
            found.sound += 1
            found.called_on_sound += answer.verdict == "located"
            continue
        found.faulty += 1
        low_m, high_m = largest_drop_gap(one)
        found.largest_drop_right += low_m <= one.fault_m <= high_m
        if answer.interval is None or answer.segment is None:
            continue
        found.called += 1
        found.held += not answer.interval.from_m(one.fault_m)
        found.in_segment += not answer.segment.from_m(one.fault_m)
        width_m = answer.interval.high_m - answer.interval.low_m
        found.share_of_run += width_m / one.places_m[-1]
    return found


HEADINGS = "located, false alarm, interval holds, segment holds, mean width, largest drop right"


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    print("purpose:", HEADINGS)  # noqa: T201 - a command
    for purpose in PURPOSES:
        one = rates(purpose, count)
        shares = (
            one.located,
            one.false_alarms,
            one.coverage,
            one.segment_right,
            one.mean_width,
            one.largest_drop,
        )
        print(f"{purpose}:", ", ".join(f"{share:.1%}" for share in shares))  # noqa: T201


if __name__ == "__main__":
    main()
