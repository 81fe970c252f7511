"""Counts of answers over made-up cases, and how sure a share is that was counted."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

Outcome = Literal["right", "wrong", "undecided", "not enough"]
NORMAL_95 = 1.959964
"""Of the normal distribution: 95 % lie within so many standard deviations."""


@dataclass
class Tally:
    """Counts of cases of one purpose and one model.

    `findable` are those with something to find: the right breaker among those read, a fault on the
    stretch. `right`, `undecided` and `not_enough` are of these. `wrong` are of all: called, and it
    is something else. `false_alarms` are of those with nothing to find. `called` and `held` are of
    answers with an interval: given at all, and holding the truth.
    """

    cases: int = 0
    findable: int = 0
    right: int = 0
    undecided: int = 0
    not_enough: int = 0
    wrong: int = 0
    false_alarms: int = 0
    called: int = 0
    held: int = 0

    def add(self, outcome: Outcome, *, findable: bool = True, holds: bool | None = None) -> None:
        """Count one answer; `holds` is whether its interval has the truth, None without one."""
        self.cases += 1
        self.findable += findable
        self.wrong += outcome == "wrong"
        if not findable:
            self.false_alarms += outcome == "wrong"
            return
        self.right += outcome == "right"
        self.undecided += outcome == "undecided"
        self.not_enough += outcome == "not enough"
        self.called += holds is not None
        self.held += holds is True


def bounds(count: int, of: int) -> tuple[float, float]:
    """Return the 95 % bounds of a share, 0 to 1, by Wilson's score.

    Source: E. B. Wilson, Probable inference, the law of succession, and statistical inference,
    Journal of the American Statistical Association 22 (1927) 209; written down from memory.
    """
    if not of:
        return 0.0, 1.0
    share, squared = count / of, NORMAL_95**2
    middle = share + squared / (2 * of)
    half = NORMAL_95 * math.sqrt(share * (1 - share) / of + squared / (4 * of * of))
    low, high = ((middle + side * half) / (1 + squared / of) for side in (-1, 1))
    return (low if count else 0.0), (high if count < of else 1.0)
