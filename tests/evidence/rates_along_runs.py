"""How often faults and runs are told right along a run, over made-up cases; for the table."""

from __future__ import annotations

from typing import Literal

from recordgen.evidence.follow_run import PURPOSES as FOLLOW
from recordgen.evidence.follow_run import followed_run
from recordgen.evidence.run_readings import run_readings
from tests.evidence.simulator_distance import distance_case
from tests.evidence.simulator_follow import Waver, follow_case
from tests.evidence.simulator_run import Model, case
from tests.evidence.tally import Outcome, Tally

SEEDS_APART = 1_000_000
"""Between the first cases of two seeds."""
UNDERGROUND = FOLLOW[1]


def located(count: int, seed: int, purpose: str, model: Model) -> Tally:
    """Return the counts of one purpose; three of four cases have a fault on the stretch."""
    found = Tally()
    for number in range(seed * SEEDS_APART, seed * SEEDS_APART + count):
        one = case(number, purpose, model=model)
        answer = run_readings(one.trace, None)
        outcome: Outcome = "not enough" if answer.verdict == "not enough" else "undecided"
        holds = None
        if answer.interval is not None:
            holds = one.fault_m is not None and not answer.interval.from_m(one.fault_m)
            outcome = "right" if holds else "wrong"
        found.add(outcome, findable=one.fault_m is not None, holds=holds)
    return found


def followed(count: int, seed: int, purpose: str, waver: Waver) -> Tally:
    """Return the counts of a run followed, of which every other one is lost on the way.

    Right is "followed" where it was, and "signal lost" where it was lost; wrong is "followed" where
    it was lost. To find is the loss: a false alarm is "signal lost" where it was not.
    """
    found = Tally()
    for number in range(seed * SEEDS_APART, seed * SEEDS_APART + count):
        lost = number % 2 == 0
        trace, run, _ = follow_case(
            number, lost=lost, underground=purpose == UNDERGROUND, waver=waver
        )
        verdict = followed_run(trace, run).verdict
        called = verdict == "signal lost"
        outcome: Outcome
        if verdict == "not enough":
            outcome = "not enough"
        elif lost:
            outcome = "right" if called else "wrong" if verdict == "followed" else "undecided"
        else:
            outcome = "wrong" if called else "right"
        found.add(outcome, findable=lost)
    return found


def measured(
    count: int, seed: int, method: Literal["reflectometer", "bridge"], *, spoilt: bool
) -> Tally:
    """Return the counts of one method's stretch, as good as the bounds that were put in."""
    found = Tally()
    for number in range(seed * SEEDS_APART, seed * SEEDS_APART + count):
        one = distance_case(number, spoilt=spoilt, traced=False)
        for distance in one.distances:
            if distance.method == method:
                holds = not distance.stretch.from_m(one.fault_m)
                found.add("right" if holds else "wrong", holds=holds)
    return found


def together(count: int, seed: int, *, spoilt: bool) -> Tally:
    """Return the counts of tracer, reflectometer and bridge held together."""
    found = Tally()
    for number in range(seed * SEEDS_APART, seed * SEEDS_APART + count):
        one = distance_case(number, spoilt=spoilt)
        outcome: Outcome = "undecided" if one.answer.verdict == "disagree" else "not enough"
        holds = None
        if one.answer.verdict == "agree" and one.answer.stretch is not None:
            holds = not one.answer.stretch.from_m(one.fault_m)
            outcome = "right" if holds else "wrong"
        found.add(outcome, holds=holds)
    return found
