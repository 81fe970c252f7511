"""What carries one more load, from its panel to the source."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

from recordgen.calc.answer import Need
from recordgen.calc.category_total import CategoryTotal
from recordgen.calc.existing_load import ExistingLoad
from recordgen.calc.study.capacity import RATED, Capacity, CapacityStudy, Limit, generates
from recordgen.calc.study.distribution import Element
from recordgen.calc.study.fit_question import FitQuestion
from recordgen.calc.study.load_size import POWER_FACTOR
from recordgen.calc.study.loading import volts_a_phase
from recordgen.calc.study.other_states import Carrier

Answer = Literal["fits", "does not fit", "not shown"]


@dataclass(frozen=True)
class Upstream:
    """An element on a way from a source, with the load and without.

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
    normal : bool
        Whether this is about the normal state, or about one in which more hangs on the element.
    others : tuple of str
        Full tags of what hangs on it then besides, in full.
    """

    tag: str
    kind: str
    before: Limit | None
    after: Limit | None
    measured: ExistingLoad | None
    answer: Answer
    by_watts_w: float
    needs: tuple[Need, ...]
    normal: bool = True
    others: tuple[str, ...] = ()


def upstream_of(
    capacity: CapacityStudy, ways: Iterable[Carrier], question: FitQuestion
) -> Iterator[Upstream]:
    """Yield everything rated on the ways to a panel, with a load and without."""
    for carrier in ways:
        element = carrier.element
        if not limits_in(carrier):
            continue
        before = filled(capacity, carrier)
        uneven_a = _uneven_a(element, question)
        after = filled(capacity, carrier, [question.total], uneven_a)
        carried = capacity.loading.carried
        by_watts_w = sum(carried[tag].watts_only_w for tag in (element.tag, *carrier.others))
        yield Upstream(
            tag=element.tag,
            kind=element.kind,
            before=before.governing,
            after=after.governing,
            measured=after.measured,
            answer=_answer(after, by_watts_w),
            by_watts_w=by_watts_w,
            needs=after.needs,
            normal=carrier.normal,
            others=carrier.others,
        )


def limits_in(carrier: Carrier) -> bool:
    """Say whether an element has a rating that limits what it carries, recorded or not.

    A generator counts where it carries something: in the normal state it may stand still.
    """
    element = carrier.element
    return element.kind in RATED or (generates(element) and not carrier.normal)


def filled(
    capacity: CapacityStudy,
    carrier: Carrier,
    more: Iterable[CategoryTotal] = (),
    uneven_a: float = 0.0,
) -> Capacity:
    """Return how full an element is with some loads more, and with all that hangs on it then.

    A recorded demand is one of the normal state, and says nothing of another.
    """
    element, carried = carrier.element, capacity.loading.carried
    totals = [total for tag in carrier.others for total in carried[tag].together.values()]
    found = capacity.with_more(element.tag, [*more, *totals], uneven_a)
    if carrier.normal:
        return found
    needs = [need for tag in carrier.others for need in carried[tag].needs]
    return replace(found, measured=None, needs=tuple(dict.fromkeys((*found.needs, *needs))))


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


def _answer(after: Capacity, by_watts_w: float) -> Answer:
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
    by_watts_a = limit.used_a * by_watts_w / va if va else 0.0
    return "fits" if by_watts_a <= limit.left_a else "not shown"
