"""Share verified and the worklist, counted by hand on one small house."""

from collections.abc import Callable
from pathlib import Path

import pytest

from recordgen.evidence.coverage import Coverage, by_building, by_panel, by_room, trace_next
from recordgen.evidence.grades import Grades
from recordgen.portfolio import Portfolio
from tests.network.asking import AS_OF, portfolio

# LP-1/1 confirmed, LP-1/3 traced, LP-1/5 and LP-1/7 not; FAN hangs on a starter behind LP-1/9.
HOUSE = """
sources: {UTIL: {kind: utility}}
rooms: {R1: one, R2: two, R3: empty}
panels:
  LP-1:
    kind: panelboard
    main: lugs
    fed_from: UTIL
    circuits:
      1: {device: 20 A, loads: {A1: {kind: receptacle, room: R1}, A2: {kind: IT, room: R1}}}
      3: {device: 20 A, loads: {B1: {kind: receptacle, room: R1}}}
      5: {device: 20 A, loads: {C1: {kind: IT, room: R2}, C2: {kind: IT}, C3: {kind: IT}}}
      7: {device: 20 A, loads: {D1: {kind: IT, room: R2, criticality: critical}}}
      9: {device: 20 A}
equipment: {MS-1: {kind: motor starter, fed_from: LP-1/9}}
loads:
  FAN: {kind: motor, fed_from: MS-1, room: R2}
  TWO: {kind: IT, fed_from: [LP-1/1, LP-1/5], needs: any}
traces:
  T-1:
    date: 2026-03-01
    by: JD
    purpose: list what is downstream
    circuit: LP-1/1
    found: [A1, A2, TWO]
    confirmed_by_opening: yes
  T-2:
    date: 2026-03-01
    by: JD
    purpose: list what is downstream
    circuit: LP-1/3
    found: B1
    readings: [{at: B1, values: 74, sensitivity: 4}, {at: C1, values: 12, sensitivity: 4}]
"""


@pytest.fixture
def house(tmp_path: Path) -> Callable[[str], Portfolio]:
    return lambda more="": portfolio(tmp_path, HOUSE + more)


def test_shares_of_panel_rooms_and_building(house: Callable[[str], Portfolio]) -> None:
    found = house("")
    assert by_panel(found.network, found.grades) == {
        # Confirmed A1, A2 and one feed of TWO; traced B1; C1 to C3, D1 and the other feed are not.
        "home:LP-1": Coverage(confirmed=3, traced=1, unverified=5)
    }
    assert by_room(found.buildings, found.grades) == {
        "home:R1": Coverage(confirmed=2, traced=1, unverified=0),
        "home:R2": Coverage(unverified=3),
    }
    # TWO is as good as its weaker feed.
    building = by_building(found.buildings, found.grades)["home"]
    assert building == Coverage(confirmed=2, traced=1, unverified=6)
    assert building.verified_percent == pytest.approx(100 * 3 / 9)


def test_evidence_of_a_later_day_verifies_nothing(house: Callable[[str], Portfolio]) -> None:
    found = house("")
    earlier = Grades(found.buildings, found.network, AS_OF.replace(year=2020))
    assert by_building(found.buildings, earlier)["home"] == Coverage(unverified=9)


def test_critical_loads_come_before_many_loads(house: Callable[[str], Portfolio]) -> None:
    found = house("")
    worklist = trace_next(found.buildings, found.network, found.grades)
    assert [item.tag for item in worklist] == ["home:LP-1/7", "home:LP-1/5", "home:MS-1"]
    assert worklist[0].critical == ("home:D1",)
    assert worklist[0].reasons == ("critical: D1", "1 load not verified")
    assert worklist[1].loads == ("home:C1", "home:C2", "home:C3", "home:TWO")


def test_lockout_sheets_come_before_many_loads(house: Callable[[str], Portfolio]) -> None:
    found = house("")
    worklist = trace_next(found.buildings, found.network, found.grades, {"home:FAN", "home:A1"})
    assert [item.tag for item in worklist] == ["home:LP-1/7", "home:MS-1", "home:LP-1/5"]
    assert worklist[1].sheets == ("home:FAN",)  # A1 is confirmed, and waits for nothing


def test_lockout_sheets_in_use_come_before_others(house: Callable[[str], Portfolio]) -> None:
    found = house("")
    sheets, inspected = {"home:FAN", "home:C1", "home:C2"}, {"home:MS-1", "home:A1"}
    worklist = trace_next(found.buildings, found.network, found.grades, sheets, inspected)
    assert [item.tag for item in worklist] == ["home:LP-1/7", "home:MS-1", "home:LP-1/5"]
    assert worklist[1].inspected == ("home:MS-1",)
    assert worklist[1].reasons[0] == "lockout sheet in use: MS-1"


def test_the_shares_of_a_portfolio_are_those_of_its_parts(
    house: Callable[[str], Portfolio],
) -> None:
    found = house("")
    assert found.shares.panels == by_panel(found.network, found.grades)
    assert found.shares.rooms == by_room(found.buildings, found.grades)
    assert found.shares.buildings == by_building(found.buildings, found.grades)


def test_what_lifts_a_stop_comes_first(house: Callable[[str], Portfolio]) -> None:
    more = "  T-3: {date: 2026-04-01, by: JD, purpose: identify the breaker, load: C1, "
    found = house(f"{more}concluded_circuit: LP-1/3}}\n")
    item, *_ = trace_next(found.buildings, found.network, found.grades)
    assert (item.tag, item.lifts_stop) == ("home:LP-1/5", True)
    assert item.reasons[0] == "trace T-3 contradicts the record"


def test_unknown_loads_and_sources_lift_a_stop(tmp_path: Path) -> None:
    text = HOUSE.replace(
        "9: {device: 20 A}", "9: {device: 20 A}\n      11: {device: 20 A, loads: unknown}"
    )
    text = text.replace(
        "loads:\n  FAN", "loads:\n  LAMP: {kind: lighting, fed_from: unknown}\n  FAN"
    )
    found = portfolio(tmp_path, text)
    first, second, third, *_ = trace_next(found.buildings, found.network, found.grades)
    assert (first.tag, first.what) == ("home:LAMP", "identify the breaker")
    assert (second.tag, second.what) == ("home:LP-1/11", "list what is downstream")
    assert [item.lifts_stop for item in (first, second, third)] == [True, True, False]


def test_with_nothing_left_the_list_is_empty(tmp_path: Path) -> None:
    rest = {"LP-1/5": "[C1, C2, C3, TWO]", "LP-1/7": "D1", "LP-1/9": "FAN"}
    text = HOUSE + "".join(
        f"  T-{n}: {{date: 2026-03-01, by: JD, purpose: list what is downstream, "
        f"circuit: {circuit}, found: {loads}, confirmed_by_opening: yes}}\n"
        for n, (circuit, loads) in enumerate(rest.items(), 3)
    )
    found = portfolio(tmp_path, text)
    assert trace_next(found.buildings, found.network, found.grades) == ()
    assert by_panel(found.network, found.grades)["home:LP-1"].verified_percent == 100


def test_every_load_of_the_demo_is_counted_once(demo: Portfolio) -> None:
    found = demo
    counted = by_building(found.buildings, found.grades)
    for building, loaded in found.buildings.items():
        assert counted[building].total == len(loaded.loads)
    worklist = trace_next(found.buildings, found.network, found.grades)
    stops = {p.subjects[0] for p in found.problems if p.severity == "stop"}
    # A contradiction is told at the load, and settled at the circuit that is recorded for it.
    settled_at = {
        "workshop:FS-W7": "workshop:LC-1/19",
        "clinic:FRM-201": "clinic:LP-2/15",
        "garage:GEN-G4": "garage:GP-1/11",
    }
    stops = {settled_at.get(stop, stop) for stop in stops}
    assert {item.tag for item in worklist if item.lifts_stop} == stops
