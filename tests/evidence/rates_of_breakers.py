"""How often breakers, cables and loads are called right, over made-up cases; for the table."""

from __future__ import annotations

from dataclasses import replace

from recordgen.evidence.breaker_readings import BreakerReading, Panels, breaker_reading
from recordgen.evidence.bundle_readings import bundle_reading
from recordgen.evidence.downstream_readings import downstream_readings
from recordgen.evidence.signals import Comparable
from tests.evidence import simulator_breakers, simulator_bundle, simulator_downstream
from tests.evidence.simulator_breakers import Case, Model
from tests.evidence.tally import Outcome, Tally

# The rule to beat: half the lowest plus half the mean; called when it leads by 8 of 99, and the
# lowest of the best one is 45 or more. It was measured in other made-up cases, of which each held
# the right breaker: 88 % right, none of 900 wrong, 12 % ambiguous.
BEAT_LEAD, BEAT_STRONG = 8, 45


def breakers(count: int, seed: int, model: Model) -> Tally:
    """Return the counts of the rule, three orientations for those that come near."""
    found = Tally()
    for case in simulator_breakers.cases(count, seed, model):
        _add(found, case, breaker_reading(case.readings, Panels(case.panel_of, case.next_to)))
    return found


def one_orientation(count: int, seed: int, model: Model) -> Tally:
    """Return the counts of the rule where nothing was turned: it must not call any."""
    found = Tally()
    for case in simulator_breakers.cases(count, seed, model):
        flat = tuple(replace(s, values=s.values[:1]) for s in case.readings.signals)
        answer = breaker_reading(Comparable(flat, ()), Panels(case.panel_of, case.next_to))
        _add(found, case, answer)
    return found


def rule_to_beat(count: int, seed: int, model: Model) -> Tally:
    """Return the counts of the rule to beat in the same cases."""
    found = Tally()
    for case in simulator_breakers.cases(count, seed, model):
        _add(found, case, _by_the_rule_to_beat(case))
    return found


def bundles(count: int, seed: int, model: Model) -> Tally:
    """Return the counts of the rule for bundles."""
    found = Tally()
    for case in simulator_bundle.cases(count, seed, model):
        answer = bundle_reading(case.readings)
        outcome = _outcome(answer.verdict, answer.cable, case.right)
        found.add(outcome, findable=case.right is not None)
    return found


def downstream(count: int, seed: int, model: Model, shared_one_in: int) -> Tally:
    """Return the counts of the rule for loads on a circuit: each load that was found is a case."""
    found = Tally()
    for case in simulator_downstream.cases(count, seed, model, shared_one_in):
        answer = downstream_readings(case.readings, case.found)
        for load in case.found:
            called: Outcome = "right" if load in case.right else "wrong"
            outcome: Outcome = called if load in answer.shown else "undecided"
            found.add(outcome, findable=load in case.right)
    return found


def _add(found: Tally, case: Case, answer: BreakerReading) -> None:
    outcome = _outcome(answer.verdict, answer.breaker, case.right)
    found.add(outcome, findable=case.right is not None)


def _outcome(verdict: str, called: str | None, right: str | None) -> Outcome:
    if called is not None:
        return "right" if called == right else "wrong"
    return "undecided" if verdict == "ambiguous" else "not enough"


def _by_the_rule_to_beat(case: Case) -> BreakerReading:
    turned = [s for s in case.readings.signals if s.at in case.panel_of and s.has_orientations]
    best, *others = sorted(turned, key=lambda signal: -signal.score)
    if sum(signal.pegged for signal in turned) > 1:
        return BreakerReading("ambiguous", None, None, (), None)
    if best.lowest < BEAT_STRONG:
        return BreakerReading("not enough", None, None, (), None)
    if others and best.score - others[0].score < BEAT_LEAD:
        return BreakerReading("ambiguous", None, None, (), None)
    return BreakerReading("identified", best.at, None, (), None)
