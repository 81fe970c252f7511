"""One source, one way to everything: the plain building. Expected answers are worked by hand."""

from pathlib import Path

import pytest

from recordgen.portfolio import Portfolio
from tests.network.asking import again, isolation, locks, outcomes, portfolio, sources, way

# UTIL ─ MSB/main ─┬─ MSB/1 ─ LP (lugs) ─┬─ LP/1: LT-1, LT-2
#                  │                     └─ LP/3: RC-1
#                  ├─ MSB/2 ─ TX-1 ─ RP/main ─┬─ RP/2: RC-2
#                  │                          └─ RP/feed-through ─ RPX/main ─ RPX/1: RC-3
#                  └─ MSB/3: PUMP
#        RP/line (tap ahead of RP/main) ─ FACP: ALARM (its own lockable disconnect)
HOUSE = """
sources: {UTIL: {kind: utility, operator: utility trouble desk}}
panels:
  MSB:
    kind: switchboard
    lockable: yes
    main: 800 A
    fed_from: UTIL
    circuits:
      1: {device: 100 A}
      2: {device: 60 A}
      3: {device: 30 A, loads: {PUMP: {kind: pump}}}
  LP:
    kind: panelboard
    lockable: yes
    main: lugs
    fed_from: MSB/1
    circuits:
      1: {device: 20 A, loads: {LT-1: {kind: lighting}, LT-2: {kind: lighting}}}
      3: {device: 20 A, loads: {RC-1: {kind: receptacle}}}
  RP:
    kind: panelboard
    lockable: yes
    main: 225 A
    fed_from: TX-1
    circuits:
      2: {device: 20 A, loads: {RC-2: {kind: receptacle}}}
  RPX:
    kind: panelboard
    lockable: yes
    main: 100 A
    fed_from: RP/feed-through
    circuits:
      1: {device: 20 A, loads: {RC-3: {kind: receptacle}}}
equipment:
  TX-1: {kind: transformer, fed_from: MSB/2}
  FACP: {kind: disconnect, lockable: yes, fed_from: RP/line}
loads:
  ALARM: {kind: fire alarm, fed_from: FACP}
"""


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Portfolio:
    return portfolio(tmp_path_factory.mktemp("radial"), HOUSE)


# What an electrician reads off the sketch above: everything drawn to the right of the device.
@pytest.mark.parametrize(
    ("opened", "dark"),
    [
        ("MSB/main", {"LT-1", "LT-2", "RC-1", "RC-2", "RC-3", "ALARM", "PUMP"}),
        ("MSB/1", {"LT-1", "LT-2", "RC-1"}),
        ("MSB/2", {"RC-2", "RC-3", "ALARM"}),
        ("MSB/3", {"PUMP"}),
        ("TX-1", {"RC-2", "RC-3", "ALARM"}),
        # The alarm panel is tapped ahead of the main: it stays on.
        ("RP/main", {"RC-2", "RC-3"}),
        ("RP/2", {"RC-2"}),
        ("RPX/main", {"RC-3"}),
        ("FACP", {"ALARM"}),
        ("LP/1", {"LT-1", "LT-2"}),
    ],
)
def test_what_lies_behind_a_device_goes_dark(house: Portfolio, opened: str, dark: set[str]) -> None:
    assert outcomes(house, opened) == dict.fromkeys(dark, "dark")
    # One source and no other way: nothing can bring it back.
    assert again(house, opened) == dict.fromkeys(dark, False)


def test_several_devices_darken_what_lies_behind_any_of_them(house: Portfolio) -> None:
    assert set(outcomes(house, "LP/1", "RP/2")) == {"LT-1", "LT-2", "RC-2"}
    assert set(outcomes(house, "RP/main", "RP/2")) == {"RC-2", "RC-3"}


@pytest.mark.parametrize(
    ("target", "points"),
    [
        # A load, or its circuit's conductors: its own breaker.
        ("LT-1", {"LP/1"}),
        ("LP/1", {"LP/1"}),
        ("PUMP", {"MSB/3"}),
        # A panel on lugs: the feeder's breaker in the other panel.
        ("LP", {"MSB/1"}),
        # A feeder's conductors as far as RP's line terminals.
        ("MSB/2", {"MSB/2"}),
        # A panel with a main: its line terminals stay live behind the open main, so the lock goes
        # to the feeder (through the transformer, which does not isolate).
        ("RP", {"MSB/2"}),
        # What hangs on RP's bus by feed-through lugs: RP's main is in another box and will do.
        ("RPX", {"RP/main"}),
        # The bus behind a main, without its line side.
        ("RP/main", {"RP/main"}),
        ("TX-1", {"MSB/2"}),
        # Tapped ahead of RP/main: that main does nothing for it.
        ("ALARM", {"FACP"}),
        ("FACP", {"MSB/2"}),
    ],
)
def test_the_lock_goes_on_the_nearest_device_towards_the_source(
    house: Portfolio, target: str, points: set[str]
) -> None:
    assert locks(house, target) == ("yes", points)
    assert sources(house, target) == {"UTIL"}


def test_the_service_equipment_needs_the_utility(house: Portfolio) -> None:
    # Line terminals of the first main: nothing of ours is ahead of them.
    answer = isolation(house, "MSB")
    assert answer.verdict == "no"
    assert answer.points == ()
    (reason,) = answer.reasons
    assert "UTIL" in reason
    assert "utility trouble desk" in reason
    (path,) = answer.reaching
    assert path[0] == "home:UTIL"


def test_who_must_act_is_the_utility_where_no_operator_is_recorded(tmp_path: Path) -> None:
    found = portfolio(tmp_path, HOUSE.replace(", operator: utility trouble desk", ""))
    (reason,) = isolation(found, "MSB").reasons
    assert "the utility must open the service" in reason


def test_the_way_from_the_source(house: Portfolio) -> None:
    assert way(house, "RC-3") == [
        ("UTIL", ("MSB/main", "MSB/2", "TX-1", "RP/main", "RPX/main", "RPX/1"))
    ]
    assert way(house, "ALARM") == [("UTIL", ("MSB/main", "MSB/2", "TX-1", "FACP"))]
    assert way(house, "PUMP") == [("UTIL", ("MSB/main", "MSB/3"))]


def test_the_lock_point_names_the_way_it_breaks(house: Portfolio) -> None:
    (point,) = isolation(house, "RC-1").points
    devices = [tag for tag in point.way if tag in house.network.devices]
    assert devices == ["home:MSB/main", "home:MSB/1", "home:LP/3"]
    assert point.way[0] == "home:UTIL"


def test_a_feed_crosses_from_one_building_to_another(tmp_path: Path) -> None:
    garage = """
panels:
  GP:
    kind: load centre
    lockable: yes
    main: lugs
    fed_from: home:LP/5
    circuits: {1: {device: 15 A, loads: {DOOR: {kind: door operator}}}}
"""
    text = HOUSE.replace("  RP:\n", "      5: {device: 60 A}\n  RP:\n", 1)
    found = portfolio(tmp_path, text, garage=garage)
    assert outcomes(found, "LP/5") == {"garage:DOOR": "dark"}
    assert outcomes(found, "MSB/1")["garage:DOOR"] == "dark"
    assert locks(found, "garage:DOOR") == ("yes", {"garage:GP/1"})
    assert locks(found, "garage:GP") == ("yes", {"LP/5"})
    assert way(found, "garage:DOOR") == [("UTIL", ("MSB/main", "MSB/1", "LP/5", "garage:GP/1"))]


def test_a_circuit_that_is_open_now_and_normally(tmp_path: Path) -> None:
    text = HOUSE.replace("3: {device: 30 A, loads", "3: {device: 30 A, normal: open, loads")
    found = portfolio(tmp_path, text)
    # It has no supply to lose ...
    assert "PUMP" not in outcomes(found, "MSB/main")
    assert way(found, "PUMP") == [(None, ())]
    # ... but anybody can close it, so it is locked all the same.
    assert locks(found, "PUMP") == ("yes", {"MSB/3"})


def test_the_present_position_is_asked_for_apart(tmp_path: Path) -> None:
    standing = "present: {position: open, since: 2026-11-02}"
    text = HOUSE.replace("3: {device: 30 A, loads", f"3: {{device: 30 A, {standing}, loads")
    found = portfolio(tmp_path, text)
    assert outcomes(found, "MSB/3") == {"PUMP": "dark"}
    assert outcomes(found, "MSB/3", positions="present") == {}
    assert "PUMP" not in outcomes(found, "MSB/main", positions="present")
    assert locks(found, "PUMP") == ("yes", {"MSB/3"})


def test_a_multi_pole_device_is_one_device(tmp_path: Path) -> None:
    text = HOUSE.replace("3: {device: 20 A, loads: {RC-1", "2-4-6: {device: 30 A, loads: {RC-1")
    found = portfolio(tmp_path, text)
    assert outcomes(found, "LP/2-4-6") == {"RC-1": "dark"}
    assert locks(found, "RC-1") == ("yes", {"LP/2-4-6"})
