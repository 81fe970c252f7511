"""How often breakers and cables are called right: `python -m tests.evidence.breaker_rates`.

Counts the made-up cases of simulator_breakers.py and simulator_bundle.py. Give another number of
cases as the first argument; the default of 10,000 takes a minute.
"""

import sys
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from functools import partial

from recordgen.evidence.breaker_readings import BreakerReading, Panels, breaker_reading
from recordgen.evidence.bundle_readings import bundle_reading
from tests.evidence import simulator_breakers, simulator_bundle
from tests.evidence.simulator_breakers import USUAL, Model

SEED = 2
# The rule to beat: half the lowest plus half the mean; called when it leads by 8 of 99, and the
# lowest of the best one is 45 or more.
BEAT_LEAD, BEAT_STRONG = 8, 45
ANY_DIRECTION, UNSTEADY = Model(any_direction=True), Model(placement=0.12)


@dataclass(frozen=True)
class Rates:
    """Shares of cases; `held` is whether the right one was among those read.

    `wrong` is of all cases, `wrong_absent` of those without the right one, the rest of those with.
    """

    right: float
    wrong: float
    wrong_held: float
    wrong_absent: float
    ambiguous: float
    not_enough: float
    absent: float


def rates(answers: Iterable[tuple[str | None, str, str | None]]) -> Rates:
    """Return the shares of answers: what is right, the verdict, what was called."""
    counts = Counter(
        (right is not None, verdict if called is None else called == right)
        for right, verdict, called in answers
    )
    held = sum(count for (among, _), count in counts.items() if among)
    absent = counts.total() - held
    return Rates(
        right=counts[True, True] / held,
        wrong=(counts[True, False] + counts[False, False]) / counts.total(),
        wrong_held=counts[True, False] / held,
        wrong_absent=counts[False, False] / absent if absent else 0.0,
        ambiguous=counts[True, "ambiguous"] / held,
        not_enough=counts[True, "not enough"] / held,
        absent=absent / counts.total(),
    )


def breakers(count: int, seed: int = SEED, model: Model = USUAL) -> Rates:
    """Return the rates of the rule for breakers."""

    def answers() -> Iterable[tuple[str | None, str, str | None]]:
        for case in simulator_breakers.cases(count, seed, model):
            found = breaker_reading(case.readings, Panels(case.panel_of, case.next_to))
            yield case.right, found.verdict, found.breaker

    return rates(answers())


def rule_to_beat(count: int, seed: int = SEED) -> Rates:
    """Return the rates of the rule to beat in the same cases."""

    def answers() -> Iterable[tuple[str | None, str, str | None]]:
        for case in simulator_breakers.cases(count, seed):
            found = _by_the_rule_to_beat(case)
            yield case.right, found.verdict, found.breaker

    return rates(answers())


def bundles(count: int, seed: int = SEED) -> Rates:
    """Return the rates of the rule for bundles."""

    def answers() -> Iterable[tuple[str | None, str, str | None]]:
        for case in simulator_bundle.cases(count, seed):
            found = bundle_reading(case.readings)
            yield case.right, found.verdict, found.cable

    return rates(answers())


def _by_the_rule_to_beat(case: simulator_breakers.Case) -> BreakerReading:
    turned = [s for s in case.readings.signals if s.at in case.panel_of and s.has_orientations]
    best, *others = sorted(turned, key=lambda signal: -signal.score)
    if sum(signal.pegged for signal in turned) > 1:
        return BreakerReading("ambiguous", None, None, (), None)
    if best.lowest < BEAT_STRONG:
        return BreakerReading("not enough", None, None, (), None)
    if others and best.score - others[0].score < BEAT_LEAD:
        return BreakerReading("ambiguous", None, None, (), None)
    return BreakerReading("identified", best.at, None, (), None)


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    print("purpose: right, ambiguous, not enough, wrong (of those that hold the right one);")  # noqa: T201
    print("  wrong where it is not among those read; wrong of all")  # noqa: T201
    for name, counted in (
        ("identify the breaker", breakers),
        ("the rule to beat, same cases", rule_to_beat),
        ("if neighbours pick up from any direction", partial(breakers, model=ANY_DIRECTION)),
        ("if the hand is off by 12 %", partial(breakers, model=UNSTEADY)),
        ("sort a bundle", bundles),
    ):
        one = counted(count)
        shares = (one.right, one.ambiguous, one.not_enough, one.wrong_held)
        print(  # noqa: T201
            f"{name}: {', '.join(f'{share:.2%}' for share in shares)}; "
            f"{one.wrong_absent:.2%} of {one.absent:.1%}; {one.wrong:.2%}"
        )


if __name__ == "__main__":
    main()
