"""Load and room of a panel as its page shows them: limits, phases, demand, recorded demand."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from recordgen.calc.demand import Demand, DemandLine
from recordgen.calc.study.capacity import Capacity, Limit
from recordgen.calc.study.distribution import Element
from recordgen.calc.study.phase_share import shares_phases, sizing_by_leg
from recordgen.calc.study.study import Study
from recordgen.network.model import local
from recordgen.pages.calculated import (
    Missing,
    Shown,
    amount_text,
    exceeds,
    missing_of,
    percent_text,
    shown_together,
)
from recordgen.pages.element_values import way_to
from recordgen.pages.phase_values import Phases, phases_of
from recordgen.pages.room_values import RoomLine, room_lines
from recordgen.pages.view import View
from recordgen.records.supply import Panel


@dataclass(frozen=True)
class LimitLine:
    """A rating and how much of it is used; `tag` is the full tag of what has it."""

    tag: str
    what: str
    rating: str
    used: str
    percent: str
    left: str
    full: bool


@dataclass(frozen=True)
class DemandRow:
    """A line of the demand; `connected` is empty for what is added to the sum."""

    what: str
    connected: str
    rule: str
    clause: str
    demand: str
    total: bool = False


@dataclass(frozen=True)
class MeasuredLine:
    """What a recorded demand says of the room that is left."""

    recorded: str
    existing: str
    of: str
    exceeds: bool
    unmet: tuple[str, ...]


@dataclass(frozen=True)
class OtherState:
    """What hangs on a panel in another position of a switch, and is not in its figures."""

    tag: str
    demand: str


@dataclass(frozen=True)
class LoadSection:
    """All that a panel's page says of load and room."""

    limits: tuple[LimitLine, ...]
    fullest: tuple[str, ...]
    room: tuple[RoomLine, ...]
    phases: Phases
    demand: tuple[DemandRow, ...]
    measured: MeasuredLine | None
    others: tuple[OtherState, ...]
    live: bool
    empty: bool
    at_least: bool
    values: tuple[Shown, ...]
    missing: tuple[Missing, ...]


def load_section(view: View, tag: str, elsewhere: Mapping[str, tuple[str, ...]]) -> LoadSection:
    """Return what is calculated of a panel's load.

    Parameters
    ----------
    view : View
    tag : str
        Full tag of the panel.
    elsewhere : mapping
        What `in_other_states` has found.
    """
    study = view.portfolio.study
    element = study.distribution.elements[tag]
    capacity = study.capacity.of(tag)
    return LoadSection(
        limits=tuple(_limits(study, element)),
        fullest=tuple(_fullest(study, element)),
        room=room_lines(study, tag),
        phases=phases_of(view, element),
        demand=tuple(_demand(capacity.loading.demand)),
        measured=_measured(element, capacity),
        others=tuple(_others(study, elsewhere.get(tag, ()))),
        live=element.live,
        empty=not capacity.loading.carried.pieces,
        values=shown_together(view, way_to(study, element), tag),
        at_least=bool(capacity.needs),
        missing=missing_of(view, capacity.needs),
    )


def _limits(study: Study, element: Element) -> Iterator[LimitLine]:
    """Yield the limits of a panel, of the device that feeds it and of the transformer above."""
    above = [
        each
        for each in reversed(study.distribution.path(element.tag)[:-1])
        if each.kind in ("circuit", "transformer", "UPS", "disconnect")
    ]
    nearest = {each.kind: each for each in reversed(above)}
    for each in (element, *sorted(nearest.values(), key=above.index)):
        capacity = study.capacity.of(each.tag)
        for limit in capacity.limits:
            yield _limit(capacity, limit)


def _fullest(study: Study, panel: Element) -> Iterator[str]:
    """Yield what the fullest phase of a panel carries at most, of each rating that it shares."""
    for element in reversed(study.distribution.path(panel.tag)):
        limit = study.capacity.of(element.tag).governing
        if limit is None or not shares_phases(panel, element):
            continue
        by_demand = element.tag != panel.tag
        by_leg = sizing_by_leg(study.loading, panel, by_demand=by_demand)
        if by_leg is None:
            continue
        leg = max(by_leg, key=lambda each: by_leg[each])
        percent = 100 * by_leg[leg] / limit.rating_a
        over = ", too much" if exceeds(percent) else ""
        of = f"{percent_text(percent)} of {local(element.tag)} {limit.what} {limit.written}"
        yield f"phase {leg}, {amount_text(by_leg[leg], 'A')}, {of}{over}"


def _limit(capacity: Capacity, limit: Limit) -> LimitLine:
    least = "at least " if capacity.needs else ""
    left, full = limit.left_a, exceeds(limit.percent)
    room = f"{'at most ' if least else ''}{amount_text(max(0.0, left), 'A')}"
    return LimitLine(
        tag=capacity.tag,
        what=limit.what,
        rating=limit.written,
        used=f"{least}{amount_text(limit.used_a, 'A')}",
        percent=f"{least}{percent_text(limit.percent)}",
        left=f"none: {amount_text(-left, 'A')} over" if full else room,
        full=full,
    )


def _demand(demand: Demand | None) -> Iterator[DemandRow]:
    if demand is None:
        return
    for line in demand.lines:
        left_out = set(line.categories) & set(demand.left_out)
        yield DemandRow(
            " and ".join(line.categories),
            amount_text(line.connected_va, "VA"),
            _rule(line),
            f"NEC {line.clause}",
            "left out" if left_out else amount_text(line.demand_va, "VA"),
        )
    sums = (
        ("Demand", demand.connected_va, "sum", "NEC 220.40", demand.demand_va),
        (
            "Continuous load",
            None,
            "+ 25 %",
            "NEC 215.2, 215.3",
            demand.continuous_addition_va,
        ),
        ("Largest motor", None, "+ 25 %", "NEC 430.24", demand.motor_addition_va),
        ("Sized for", None, "sum", "NEC 215.2, 215.3", demand.sizing_va),
    )
    for what, from_va, rule, clause, va in sums:
        if not va:
            continue
        yield DemandRow(
            what,
            "" if from_va is None else amount_text(from_va, "VA"),
            rule,
            clause,
            amount_text(va, "VA"),
            total=from_va is not None or rule == "sum",
        )


def _rule(line: DemandLine) -> str:
    if line.counted_va != line.connected_va:
        return f"counted as {amount_text(line.counted_va, 'VA')}; {line.rule}"
    return line.rule


def _measured(element: Element, capacity: Capacity) -> MeasuredLine | None:
    record, found = element.record, capacity.measured
    if found is None or not isinstance(record, Panel) or record.recorded_demand is None:
        return None
    demand = record.recorded_demand
    lowest = min(capacity.limits, key=lambda limit: limit.rating_a, default=None)
    return MeasuredLine(
        recorded=f"{demand.demand_va}, {demand.first_day} to {demand.last_day}",
        existing="" if found.existing_a is None else amount_text(found.existing_a, "A"),
        of=f"{lowest.written}, {lowest.what}" if lowest else "",
        exceeds=found.answer == "no",
        unmet=found.unmet,
    )


def _others(study: Study, tags: Iterable[str]) -> Iterator[OtherState]:
    for each in tags:
        loading = study.loading.of(each)
        least = "at least " if loading.needs else ""
        amperes = loading.demand_a
        said = "not known" if amperes is None else f"{least}{amount_text(amperes, 'A')}"
        yield OtherState(each, said)
