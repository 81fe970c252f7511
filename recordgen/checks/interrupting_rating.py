"""Devices that may have to interrupt more current than they can.

Passing: `panels: {LP-1: {kind: panelboard, interrupting_rating: 10 kAIC, fed_from: UTIL}}`
Failing: `panels: {LP-1: {kind: panelboard, interrupting_rating: 5 kAIC, fed_from: UTIL}}`

A device that is closed or opens on a fault beyond its rating may burst in front of whoever operates
it. NEC 110.9 wants the rating to be no less than the current available at its line terminals, and
110.10 the same of a transfer switch (from memory). A recorded current, of a study or a label, wins
over the calculated one; a series rating (240.86) may allow less, which the record cannot show.
Where inputs are missing, the most that the current can be is held against the rating. Ratings that
are not recorded are gaps on the page of the panel.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from recordgen.calc.answer import Value
from recordgen.checks.facts import Facts
from recordgen.network.model import building_of, local
from recordgen.problems import Location, Problem, Severity
from recordgen.records.equipment import TransferSwitch
from recordgen.records.quantities import Quantity
from recordgen.records.supply import Panel


@dataclass(frozen=True)
class _Rating:
    """A recorded rating: whose it is, as a page says it, its amperes, and where it stands."""

    tag: str
    what: str
    amperes: Quantity
    series: bool
    place: Location


@dataclass(frozen=True)
class _Current:
    """What is available at a place [A]: as far as is known, at most, and how that is known."""

    known_a: float | None
    most_a: float | None
    words: str
    missing: str


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning a panel or transfer switch; a note where series rated, or not known."""
    for tag, element in facts.study.distribution.elements.items():
        if not isinstance(element.record, Panel | TransferSwitch):
            continue
        ratings = list(_ratings(facts, tag, element.record))
        if not ratings:
            continue
        current = _available(facts, tag)
        known, most = current.known_a, current.most_a
        low = [r for r in ratings if known is not None and r.amperes < known]
        open_ = [r for r in ratings if most is None or r.amperes < most]
        if low:
            series = all(rating.series for rating in low)
            yield _problem(
                tag,
                low,
                "note" if series else "warning",
                "interrupting-rating",
                f"{current.words} is available, more than {_and(low)}; "
                + ("a series rating is recorded" if series else f"NEC {_clause(element.record)}"),
                "hold the series rating against its table (NEC 240.86)"
                if series
                else "let an engineer study it: larger ratings, less current, or a series rating",
            )
        elif open_:
            yield _problem(
                tag,
                open_,
                "note",
                "interrupting-rating-open",
                f"whether this is enough is not known: {_and(open_)}; {current.missing}",
                "record what is missing, or the current that a study gives",
            )


def _ratings(facts: Facts, tag: str, record: Panel | TransferSwitch) -> Iterator[_Rating]:
    loaded, name = facts.buildings[building_of(tag)], local(tag)
    if isinstance(record, TransferSwitch):
        if record.withstand_a is not None:
            place = loaded.where("equipment", name, "withstand_rating")
            yield _Rating(tag, "its withstand rating", record.withstand_a, False, place)
        return
    if record.interrupting_a is not None:
        place = loaded.where("panels", name, "interrupting_rating")
        yield _Rating(tag, "its own rating", record.interrupting_a, False, place)
    main = record.main_device
    if main is not None and main.interrupting_a is not None:
        place = loaded.where("panels", name, "main", "interrupting_rating")
        series = main.series_rating is not None
        yield _Rating(f"{tag}/main", "its main", main.interrupting_a, series, place)
    for position, circuit in record.circuits.items():
        device = circuit.device
        if device is not None and device.interrupting_a is not None:
            path = ("panels", name, "circuits", str(position), "device", "interrupting_rating")
            series = device.series_rating is not None
            place = loaded.where(path[0], path[1], *path[2:])
            full = f"{tag}/{position}"
            yield _Rating(full, f"position {position}", device.interrupting_a, series, place)


def _available(facts: Facts, tag: str) -> _Current:
    """Return the recorded current, or else the largest of any state with what motors add."""
    answer = facts.study.faults.at(tag)
    if answer.recorded_a is not None and isinstance(
        facts.study.distribution.elements[tag].record, Panel
    ):
        amperes = answer.recorded_a.amount
        words = f"{amperes:,.0f} A by the record ({answer.recorded_a.source})"
        return _Current(amperes, amperes, words, "")
    addends = facts.study.fault_addends
    more = sum(
        addend.amount
        for addend in (addends.motors_a(tag), addends.inverters_a(tag))
        if isinstance(addend, Value)
    )
    largest, most = answer.largest.largest_a, answer.largest.most_a
    missing = "nothing bounds the current" if most is None else f"up to {most + more:,.0f} A may be"
    if isinstance(largest, Value):
        known = largest.amount + more
        least = "at least " if largest.at_least else ""
        bound = None if most is None else most + more
        needs = largest.at_least
        words = f"{least}{known:,.0f} A, calculated,"
        return _Current(known, bound, words, f"{missing}; {'; '.join(map(str, needs))}")
    bound = None if most is None else most + more
    return _Current(None, bound, "", f"{missing}; {'; '.join(map(str, largest.needs))}")


def _clause(record: Panel | TransferSwitch) -> str:
    wanted = "110.10" if isinstance(record, TransferSwitch) else "110.9"
    return f"{wanted} wants it to be enough"


def _and(ratings: list[_Rating]) -> str:
    said = [f"{rating.what} of {rating.amperes}" for rating in ratings]
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}"


def _problem(
    tag: str, ratings: list[_Rating], severity: Severity, code: str, what: str, hint: str
) -> Problem:
    return Problem(
        severity,
        code,
        f"{local(tag)}: {what}",
        ratings[0].place,
        hint,
        related=tuple(rating.place for rating in ratings[1:]),
        subjects=tuple(dict.fromkeys((tag, *(rating.tag for rating in ratings)))),
    )
