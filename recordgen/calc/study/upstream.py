"""What carries one more load, from its panel to the source."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from recordgen.calc.answer import Need
from recordgen.calc.existing_load import ExistingLoad
from recordgen.calc.study.capacity import RATED, Capacity, CapacityStudy, Limit
from recordgen.calc.study.distribution import Distribution, Element
from recordgen.calc.study.fit_question import FitQuestion
from recordgen.calc.study.load_size import POWER_FACTOR
from recordgen.calc.study.loading import volts_a_phase

Answer = Literal["fits", "does not fit", "not shown"]


@dataclass(frozen=True)
class Upstream:
    """An element on the way from the source, with the load and without.

    Attributes
    ----------
    tag, kind : str
    before, after : Limit or None
        The fullest limit; None where no rating is recorded.
    measured : ExistingLoad or None
        With the load, by a recorded demand.
    answer : {"fits", "does not fit", "not shown"}
    by_watts_w : float
        How much of the load is counted by its watts, since no power factor is recorded [W].
    needs : tuple of Need
    """

    tag: str
    kind: str
    before: Limit | None
    after: Limit | None
    measured: ExistingLoad | None
    answer: Answer
    by_watts_w: float
    needs: tuple[Need, ...]


def upstream_of(
    distribution: Distribution, capacity: CapacityStudy, panel: str, question: FitQuestion
) -> Iterator[Upstream]:
    """Yield everything rated on the way from a panel to its source, with a load and without."""
    for element in reversed(distribution.path(panel)):
        if element.kind not in RATED:
            continue
        before = capacity.of(element.tag)
        uneven_a = _uneven_a(element, question)
        after = capacity.with_more(element.tag, [question.total], uneven_a)
        yield Upstream(
            tag=element.tag,
            kind=element.kind,
            before=before.governing,
            after=after.governing,
            measured=after.measured,
            answer=_answer(after),
            by_watts_w=after.loading.carried.watts_only_w,
            needs=after.needs,
        )


def volts_of_poles(element: Element, poles: int) -> float | None:
    """Return what a load on some poles of a panel below makes of one ampere in an element [V].

    It counts on as many conductors of the element as it has poles. Behind a transformer one or two
    poles become two: that is less than what is counted so. None where the system is not recorded.
    """
    system = element.system
    if system is None or element.poles is None:
        return None
    if element.poles == 3:
        return system.line_v * {1: 1 / math.sqrt(3), 2: 1.0, 3: math.sqrt(3)}[poles]
    if element.poles == 2:
        return system.line_v / 2 if poles == 1 else system.line_v
    return system.neutral_v


def _uneven_a(element: Element, question: FitQuestion) -> float:
    """Return what a load draws beyond its share of a balanced load [A]."""
    own_v, balanced_v = volts_of_poles(element, question.poles), volts_a_phase(element)
    if not own_v or not balanced_v:
        return 0.0
    return max(0.0, question.load_va * (1 / own_v - 1 / balanced_v))


def _answer(after: Capacity) -> Answer:
    """Say whether an element can carry what hangs on it then.

    What was measured decides over what is calculated, also where a condition of the measuring is
    not shown: then the answer is not shown either. Loads counted by their watts are taken as
    fitting where there is as much left again: they may have any power factor down to one half.
    """
    if after.measured is not None:
        measured: dict[str, Answer] = {"yes": "fits", "no": "does not fit"}
        return measured.get(after.measured.answer, "not shown")
    limit = after.governing
    if limit is None:
        return "not shown"
    if limit.left_a < 0:
        return "does not fit"
    if any(need.field != POWER_FACTOR for need in after.needs):
        return "not shown"
    va = after.loading.demand.sizing_va if after.loading.demand else 0.0
    by_watts_a = limit.used_a * after.loading.carried.watts_only_w / va if va else 0.0
    return "fits" if by_watts_a <= limit.left_a else "not shown"
