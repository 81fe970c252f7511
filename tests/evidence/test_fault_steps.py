"""Steps of a fault: what is missing, out of order or not borne out.

The order is that of the design: found, made safe, located, repaired, retested, closed. What a
retest has to measure is common practice: insulation resistance after a ground fault, continuity
after an open, trip time after a nuisance trip of an interrupter.
"""

import datetime as dt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.evidence.fault_life import STEPS
from recordgen.evidence.fault_steps import RETEST_WANTS, StepFlaw, step_flaws
from recordgen.records.field import Fault

AS_OF = dt.date(2026, 11, 25)
GOOD = {"quantity": "insulation resistance", "value": "220 Mohm", "instrument": "I-1"}
LIFE = [(step, f"2026-03-{day:02}") for day, step in enumerate(STEPS, 1)]


def fault(*steps: tuple[str, str], kind: str = "ground fault", **more: Any) -> Fault:
    """Return a fault with steps, name and day; every retest measures what is in `measured`."""
    measured = more.pop("measured", GOOD)
    recorded = [
        {
            "step": step,
            "date": day,
            "by": "JD",
            **({"measured": measured} if step == "retested" and measured else {}),
        }
        for step, day in steps
    ]
    return Fault.model_validate({"kind": kind, "description": "x", "steps": recorded, **more})


def flaws(record: Fault, *, interrupter: bool = False) -> list[StepFlaw]:
    return list(step_flaws(record, AS_OF, interrupter=interrupter))


def told(record: Fault, *, interrupter: bool = False) -> list[tuple[str, tuple[str, ...], bool]]:
    return [(f.kind, f.steps, f.grave) for f in flaws(record, interrupter=interrupter)]


def test_a_whole_life_is_borne_out() -> None:
    assert flaws(fault(*LIFE)) == []


def test_all_on_one_day_is_in_order_however_it_is_listed() -> None:
    assert flaws(fault(*((step, "2026-03-01") for step in reversed(STEPS)))) == []


@pytest.mark.parametrize("count", range(2, 7))
def test_a_life_that_is_not_over_is_borne_out(count: int) -> None:
    assert flaws(fault(*LIFE[:count])) == []


def test_no_step_at_all() -> None:
    assert told(fault()) == [("missing step", ("found",), False)]


@pytest.mark.parametrize(
    ("left_out", "grave"), [(0, False), (1, True), (2, False), (3, True), (4, True)]
)
def test_a_step_left_out_is_named(left_out: int, grave: bool) -> None:
    steps = [step for place, step in enumerate(LIFE) if place != left_out]
    assert told(fault(*steps)) == [("missing step", (STEPS[left_out],), grave)]


def test_found_and_nothing_done_is_grave_from_the_next_day() -> None:
    assert told(fault(("found", "2026-11-24"))) == [("not made safe", ("made safe",), True)]
    assert told(fault(("found", "2026-11-25"))) == []


@pytest.mark.parametrize(("later", "earlier"), [(b, a) for b in range(1, 6) for a in range(b)])
def test_two_steps_exchanged_are_out_of_order(later: int, earlier: int) -> None:
    days = [day for _, day in LIFE]
    days[later], days[earlier] = days[earlier], days[later]
    found = flaws(fault(*zip(STEPS, days, strict=True)))
    assert {flaw.kind for flaw in found} == {"out of order"}
    assert any(flaw.steps[0] == STEPS[later] and flaw.index == later for flaw in found)


def test_repaired_once_more_it_has_to_be_tested_once_more() -> None:
    again = fault(*LIFE[:5], ("repaired", "2026-04-01"))
    kinds = [(flaw.kind, flaw.steps) for flaw in flaws(again)]
    assert kinds == [("out of order", ("retested", "repaired"))]
    assert flaws(fault(*LIFE[:5], ("repaired", "2026-04-01"), ("retested", "2026-04-02"))) == []


def test_a_retest_after_closing_is_no_flaw() -> None:
    assert flaws(fault(*LIFE, ("retested", "2026-09-01"))) == []


@pytest.mark.parametrize("kind", RETEST_WANTS)
def test_a_retest_has_to_measure_what_would_show_the_fault(kind: str) -> None:
    other = {"quantity": "distance", "value": "3 ft", "instrument": "T-1"}
    found = flaws(fault(*LIFE, kind=kind, measured=other))
    assert [(f.kind, f.index) for f in found] == [("not measured", 4)]
    assert [f.kind for f in flaws(fault(*LIFE, kind=kind, measured=None))] == ["not measured"]


@pytest.mark.parametrize(
    ("kind", "quantity"),
    [
        ("open", "continuity"),
        ("open neutral", "continuity"),
        ("ground fault", "insulation resistance"),
        ("overload", "current"),
        ("overheated termination", "temperature rise"),
    ],
)
def test_what_common_practice_measures_is_enough(kind: str, quantity: str) -> None:
    measured = {"quantity": quantity, "value": "1", "instrument": "I-1"}
    assert flaws(fault(*LIFE, kind=kind, measured=measured)) == []


@pytest.mark.parametrize(
    ("kind", "load", "interrupter", "wanted"),
    [
        ("nuisance trip", "FAN", True, True),
        ("nuisance trip", "FAN", False, False),
        ("failed device", None, True, True),
        ("failed device", "FAN", True, False),  # the fan failed, and not the interrupter
        ("wrong labelling", None, True, False),
    ],
)
def test_an_interrupter_is_retested_by_its_trip_time(
    kind: str, load: str | None, interrupter: bool, wanted: bool
) -> None:
    life = fault(*LIFE, kind=kind, load=load)
    expected = ["not measured"] if wanted else []
    assert [flaw.kind for flaw in flaws(life, interrupter=interrupter)] == expected
    trip = {"quantity": "trip time", "value": "24 ms", "instrument": "G-1"}
    timed = fault(*LIFE, kind=kind, load=load, measured=trip)
    assert flaws(timed, interrupter=interrupter) == []


def test_what_was_measured_before_the_last_repair_shows_nothing() -> None:
    record = fault(*LIFE[:5]).model_dump(by_alias=True)
    record["steps"] = [
        *record["steps"],
        {"step": "repaired", "date": "2026-04-01", "by": "JD"},
        {"step": "retested", "date": "2026-04-02", "by": "JD", "what": "looked at"},
    ]
    found = flaws(Fault.model_validate(_plain(record)))
    assert [(flaw.kind, flaw.index) for flaw in found] == [("not measured", 6)]


def _plain(value: Any) -> Any:
    """Return a dumped record as people write it."""
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items() if item not in (None, ())}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    return str(value)


# 12 MΩ at 30 °C are 24 MΩ at 20 °C; 12 MΩ at 10 °C are 6 (IEEE 43's rule of thumb, from memory).
@pytest.mark.parametrize(
    ("before", "after", "flawed"),
    [
        (("12 Mohm", "20 C"), ("13 Mohm", "20 C"), False),
        (("12 Mohm", "20 C"), ("12 Mohm", "20 C"), True),
        (("12 Mohm", "30 C"), ("23 Mohm", "20 C"), True),
        (("12 Mohm", "10 C"), ("7 Mohm", "20 C"), False),
        (("0.1 Mohm", "20 C"), ("0 Mohm", "20 C"), True),
        (("12 Mohm", None), ("1 Mohm", "20 C"), False),  # at which temperature?
    ],
)
def test_a_retest_has_to_be_better_at_one_temperature(
    before: tuple[str, str | None], after: tuple[str, str | None], flawed: bool
) -> None:
    first, second = (
        {
            "quantity": "insulation resistance",
            "value": value,
            "between": "hot to ground",
            "test_voltage": "500 V",
            "instrument": "I-1",
            **({"temperature": temperature} if temperature else {}),
        }
        for value, temperature in (before, after)
    )
    steps = [{"step": step, "date": day, "by": "JD"} for step, day in LIFE]
    steps[0] |= {"measured": first}  # type: ignore[dict-item]  # a mapping stands for a list of one
    steps[4] |= {"measured": second}  # type: ignore[dict-item]  # as above
    record = Fault.model_validate({"kind": "ground fault", "description": "x", "steps": steps})
    expected = [("not better", 4)] if flawed else []
    assert [(flaw.kind, flaw.index) for flaw in flaws(record)] == expected


def test_a_value_without_its_instrument_is_a_gap() -> None:
    bare = {"quantity": "insulation resistance", "value": "220 Mohm"}
    found = flaws(fault(*LIFE, measured=bare))
    assert [(f.kind, f.index, f.grave) for f in found] == [("instrument not recorded", 4, False)]


@given(
    st.lists(st.tuples(st.sampled_from(STEPS), st.dates(dt.date(2024, 1, 1), AS_OF)), max_size=8)
)
def test_nothing_but_an_orderly_life_is_without_a_flaw(steps: list[tuple[str, dt.date]]) -> None:
    """A closed fault without a flaw was repaired, then tested with a measurement, in that order."""
    record = fault(*((step, day.isoformat()) for step, day in steps))
    done = {name: [day for step, day in steps if step == name] for name in STEPS}
    if done["closed"] and flaws(record) == []:
        assert all(done.values())
        assert max(done["retested"]) >= max(done["repaired"]) >= min(done["found"])
        assert max(done["closed"]) >= max(done["repaired"])
