"""Generators, transfer switches, UPSs and ties. Expected answers are worked by hand."""

from pathlib import Path

import pytest

from recordgen.portfolio import Portfolio
from tests.network.asking import (
    affected,
    again,
    isolation,
    locks,
    outcomes,
    portfolio,
    sources,
    way,
)

BRIEF = "brief interruption, then standby"
STANDBY_LOST = "loses standby or redundancy"
RIDES = "rides through, then dark"

# UTIL ─ MSB/main ─┬─ MSB/1 ─ normal ┐
#                  │                 ATS ─ EP (lugs) ─ EP/1: EXIT
#                  │  GEN ─ GP/1 ─ emergency ┘
#                  └─ MSB/2: HEATER
EMERGENCY = """
sources:
  UTIL: {{kind: utility}}
  GEN: {{kind: generator, operator: shift engineer{start}}}
panels:
  MSB:
    kind: switchboard
    lockable: yes
    main: 800 A
    fed_from: UTIL
    circuits: {{1: {{device: 100 A}}, 2: {{device: 30 A, loads: {{HEATER: {{kind: heating}}}}}}}}
  GP:
    kind: switchboard
    lockable: yes
    main: lugs
    fed_from: GEN
    circuits: {{1: {{device: 100 A}}}}
  EP:
    kind: panelboard
    lockable: yes
    main: lugs
    fed_from: ATS
    circuits:
      1: {{device: 20 A, loads: {{EXIT: {{kind: exit sign}}}}}}
      3: {{device: 20 A}}
equipment:
  ATS: {{kind: transfer switch, normal_from: MSB/1, emergency_from: GP/1{operation}}}
"""
AUTOMATIC_START = ", start: automatic"
AUTOMATIC_SWITCH = ", operation: automatic"


@pytest.fixture(scope="module")
def emergency(tmp_path_factory: pytest.TempPathFactory) -> Portfolio:
    text = EMERGENCY.format(start=AUTOMATIC_START, operation=AUTOMATIC_SWITCH)
    return portfolio(tmp_path_factory.mktemp("emergency"), text)


@pytest.mark.parametrize(
    ("opened", "expected"),
    [
        # Normal side lost: the generator starts and the switch goes over.
        (["MSB/1"], {"EXIT": BRIEF}),
        (["MSB/main"], {"EXIT": BRIEF, "HEATER": "dark"}),
        # Emergency side lost: lit, but nothing stands behind it.
        (["GP/1"], {"EXIT": STANDBY_LOST}),
        (["MSB/1", "GP/1"], {"EXIT": "dark"}),
        (["ATS"], {"EXIT": "dark"}),
        (["EP/1"], {"EXIT": "dark"}),
        (["MSB/2"], {"HEATER": "dark"}),
    ],
)
def test_an_automatic_transfer(
    emergency: Portfolio, opened: list[str], expected: dict[str, str]
) -> None:
    assert outcomes(emergency, *opened) == expected


# A switch or a generator that waits for a person, or of which it is not recorded that it does not,
# leaves the load dark; and the load is not dead, since the person may come.
@pytest.mark.parametrize(
    ("start", "operation"),
    [
        (", start: manual", AUTOMATIC_SWITCH),
        ("", AUTOMATIC_SWITCH),
        (AUTOMATIC_START, ", operation: manual"),
        (AUTOMATIC_START, ""),
        ("", ""),
    ],
)
def test_a_transfer_that_waits_for_somebody_leaves_the_load_dark_but_not_dead(
    tmp_path: Path, start: str, operation: str
) -> None:
    found = portfolio(tmp_path, EMERGENCY.format(start=start, operation=operation))
    assert outcomes(found, "MSB/1") == {"EXIT": "dark"}
    assert again(found, "MSB/1") == {"EXIT": True}
    assert again(found, "MSB/1", "GP/1") == {"EXIT": False}


@pytest.mark.parametrize("start", [AUTOMATIC_START, ", start: manual", ""])
@pytest.mark.parametrize("operation", [AUTOMATIC_SWITCH, ", operation: manual", ""])
def test_isolation_takes_both_sides_of_a_transfer_switch_however_it_works(
    tmp_path: Path, start: str, operation: str
) -> None:
    found = portfolio(tmp_path, EMERGENCY.format(start=start, operation=operation))
    assert locks(found, "ATS") == ("yes", {"MSB/1", "GP/1"})
    assert locks(found, "EP") == ("yes", {"MSB/1", "GP/1"})
    assert locks(found, "EXIT") == ("yes", {"EP/1"})
    # The normal feeder's far end: the switch does not isolate it from the generator.
    assert locks(found, "MSB/1") == ("yes", {"MSB/1", "GP/1"})
    assert sources(found, "EXIT") == {"UTIL", "GEN"}


def test_the_generator_s_own_panel_needs_who_runs_the_generator(emergency: Portfolio) -> None:
    answer = isolation(emergency, "GP")
    assert answer.verdict == "no"
    # From the utility side it can be locked: that lock is needed, though not enough.
    assert [point.device for point in answer.points] == ["home:MSB/1"]
    (reason,) = answer.reasons
    assert "GEN" in reason
    assert "shift engineer" in reason


def test_both_ways_to_the_load_are_told(emergency: Portfolio) -> None:
    assert way(emergency, "EXIT") == [
        ("UTIL", ("MSB/main", "MSB/1", "ATS", "EP/1")),
        ("GEN", ("GP/1", "ATS", "EP/1")),
    ]
    assert [p.standby for p in emergency.feed_paths.of_load("home:EXIT")] == [False, True]


def test_standing_on_the_emergency_side_now(tmp_path: Path) -> None:
    operation = f"{AUTOMATIC_SWITCH}, present: {{position: emergency, since: 2026-11-20}}"
    text = EMERGENCY.format(start=AUTOMATIC_START, operation=operation)
    found = portfolio(tmp_path, text)
    # The generator carries it now: its breaker is the one that interrupts.
    assert outcomes(found, "GP/1", positions="present") == {"EXIT": BRIEF}
    assert outcomes(found, "MSB/1", positions="present") == {"EXIT": STANDBY_LOST}
    assert outcomes(found, "MSB/1") == {"EXIT": BRIEF}


TWO_SWITCHES = """
sources:
  UTIL: {kind: utility}
  GEN-1: {kind: generator, start: manual}
  GEN-2: {kind: generator, start: automatic}
panels:
  P1: {kind: switchboard, fed_from: UTIL, circuits: {1: {}, 2: {}}}
  P2: {kind: switchboard, fed_from: GEN-1, circuits: {1: {}}}
  P3: {kind: switchboard, fed_from: GEN-2, circuits: {1: {}}}
loads:
  HAND: {kind: other, fed_from: BY-HAND}
  EXIT: {kind: other, fed_from: BY-ITSELF}
equipment:
  BY-HAND:
    kind: transfer switch
    normal_from: P1/1
    emergency_from: P2/1
    operation: manual
    present: {position: emergency, since: 2026-11-20}
  BY-ITSELF: {kind: transfer switch, normal_from: P1/2, emergency_from: P3/1, operation: automatic}
"""


def test_only_what_stands_before_the_emergency_side_runs(tmp_path: Path) -> None:
    found = portfolio(tmp_path, TWO_SWITCHES)
    # Somebody started GEN-1; GEN-2 still waits, and its loads see its start.
    assert outcomes(found, "P2/1", positions="present") == {"HAND": "dark"}
    assert outcomes(found, "P1/2", positions="present") == {"EXIT": BRIEF}
    assert outcomes(found, "P3/1", positions="present") == {"EXIT": STANDBY_LOST}
    assert outcomes(found, "P2/1") == {"HAND": STANDBY_LOST}


# UTIL ─ MSB/main ─┬─ MSB/1 ─ input ┐
#                  │                UPS ─ UP (lugs) ─ UP/1: SERVER
#                  ├─ MSB/2 ─ (bypass, where there is one) ┘
#                  └─ MSB/3
# UTIL-2 ─ SB/1 ─ (bypass from a second service, where there is one)
UPS_ROOM = """
sources: {{UTIL: {{kind: utility}}, UTIL-2: {{kind: utility}}}}
panels:
  MSB:
    kind: switchboard
    lockable: yes
    main: 800 A
    fed_from: UTIL
    circuits: {{1: {{device: 60 A}}, 2: {{device: 60 A}}, 3: {{device: 20 A}}}}
  SB:
    kind: switchboard
    lockable: yes
    main: lugs
    fed_from: UTIL-2
    circuits: {{1: {{device: 60 A}}}}
  UP:
    kind: panelboard
    lockable: yes
    main: lugs
    fed_from: {output}
    circuits: {{1: {{device: 20 A, loads: {{SERVER: {{kind: IT}}}}}}}}
equipment:
  UPS: {{kind: UPS, fed_from: {input}{more}}}
  IN-DS: {{kind: disconnect, lockable: yes, fed_from: MSB/1}}
  OUT-DS: {{kind: disconnect, lockable: yes, fed_from: UPS}}
"""


def ups_room(folder: Path, more: str = "", feed: str = "MSB/1", output: str = "UPS") -> Portfolio:
    return portfolio(folder, UPS_ROOM.format(more=more, input=feed, output=output))


def test_a_ups_alone_rides_through(tmp_path: Path) -> None:
    found = ups_room(tmp_path, ", ride_through: 12 min")
    for opened in ("MSB/1", "MSB/main"):
        (server,) = affected(found, opened)
        assert (server.outcome, server.carried_by) == (RIDES, ("home:UPS",))
    assert outcomes(found, "UP/1") == {"SERVER": "dark"}


def test_the_ride_through_need_not_be_recorded(tmp_path: Path) -> None:
    assert outcomes(ups_room(tmp_path), "MSB/1") == {"SERVER": RIDES}


def test_a_static_bypass_from_a_second_source(tmp_path: Path) -> None:
    found = ups_room(tmp_path, ", static_bypass_from: SB/1")
    # The battery bridges, then the bypass carries: what is lost is what stood behind.
    assert outcomes(found, "MSB/1") == {"SERVER": STANDBY_LOST}
    assert outcomes(found, "SB/1") == {"SERVER": STANDBY_LOST}
    assert outcomes(found, "MSB/1", "SB/1") == {"SERVER": RIDES}


def test_a_static_bypass_from_the_same_board_goes_with_it(tmp_path: Path) -> None:
    found = ups_room(tmp_path, ", static_bypass_from: MSB/2")
    assert outcomes(found, "MSB/1") == {"SERVER": STANDBY_LOST}
    assert outcomes(found, "MSB/main") == {"SERVER": RIDES}


def test_a_maintenance_bypass_waits_for_somebody(tmp_path: Path) -> None:
    found = ups_room(tmp_path, ", maintenance_bypass_from: SB/1")
    assert outcomes(found, "MSB/1") == {"SERVER": RIDES}
    assert again(found, "MSB/1") == {"SERVER": True}


def test_a_ups_behind_a_transfer_switch_bridges_the_interruption(tmp_path: Path) -> None:
    text = EMERGENCY.format(start=AUTOMATIC_START, operation=AUTOMATIC_SWITCH)
    ups = "  UPS: {kind: UPS, fed_from: EP/3}\nloads: {SERVER: {kind: IT, fed_from: UPS}}\n"
    found = portfolio(tmp_path, text + ups)
    expected = {"EXIT": BRIEF, "SERVER": STANDBY_LOST}
    assert outcomes(found, "MSB/1") == expected
    assert outcomes(found, "MSB/1", "GP/1") == {"EXIT": "dark", "SERVER": RIDES}


def test_a_load_on_a_ups_is_locked_at_its_own_breaker(tmp_path: Path) -> None:
    found = ups_room(tmp_path, ", static_bypass_from: SB/1")
    assert locks(found, "SERVER") == ("yes", {"UP/1"})
    assert sources(found, "SERVER") == {"UTIL", "UTIL-2", "UPS/battery"}


def test_without_a_lockable_breaker_the_battery_keeps_the_load_live(tmp_path: Path) -> None:
    # A panel on lugs straight behind the UPS: both inputs can be locked, the battery cannot.
    found = ups_room(tmp_path, ", static_bypass_from: SB/1")
    assert locks(found, "UP") == ("no", {"MSB/1", "SB/1"})
    (reason,) = isolation(found, "UP").reasons
    assert "battery" in reason
    assert "shut down" in reason


def test_a_lockable_output_disconnect_isolates_what_lies_behind(tmp_path: Path) -> None:
    found = ups_room(tmp_path, ", static_bypass_from: SB/1", output="OUT-DS")
    assert locks(found, "UP") == ("yes", {"OUT-DS"})
    # The disconnect's own line terminals are another matter.
    assert locks(found, "OUT-DS") == ("no", {"MSB/1", "SB/1"})


def test_a_ups_feeds_back_to_its_input(tmp_path: Path) -> None:
    found = ups_room(tmp_path, ", static_bypass_from: SB/1, maintenance_bypass_from: MSB/2")
    # The feeder's conductors: battery, bypass and maintenance bypass come back through the UPS.
    assert locks(found, "MSB/1") == ("no", {"MSB/1", "SB/1", "MSB/2"})
    assert sources(found, "MSB/1") == {"UTIL", "UTIL-2", "UPS/battery"}
    # The same for the bypass feeder.
    assert locks(found, "SB/1") == ("no", {"MSB/1", "SB/1", "MSB/2"})


def test_backfeed_protection_does_not_isolate(tmp_path: Path) -> None:
    found = ups_room(tmp_path, ", backfeed_protection: yes")
    assert locks(found, "MSB/1") == ("no", {"MSB/1"})


def test_a_lockable_input_disconnect_breaks_the_backfeed(tmp_path: Path) -> None:
    found = ups_room(tmp_path, ", static_bypass_from: SB/1", feed="IN-DS")
    assert locks(found, "MSB/1") == ("yes", {"MSB/1", "IN-DS"})
    # The disconnect itself has live terminals on both sides.
    assert locks(found, "IN-DS") == ("no", {"MSB/1", "SB/1"})


# UTIL-A ─ SD-A ─ A/main ─ A/1: LEFT        UTIL-B ─ SD-B ─ B/main ─ B/1: RIGHT
#                 bus A ──────────── TIE (open) ──────────── bus B
TIE = """
sources: {{UTIL-A: {{kind: utility}}, UTIL-B: {{kind: utility}}}}
panels:
  A:
    kind: switchboard
    lockable: yes
    main: 800 A
    fed_from: SD-A
    circuits: {{1: {{device: 30 A, loads: {{LEFT: {{kind: motor}}}}}}}}
  B:
    kind: switchboard
    lockable: yes
    main: 800 A
    fed_from: SD-B
    circuits: {{1: {{device: 30 A, loads: {{RIGHT: {{kind: motor}}}}}}}}
equipment:
  SD-A: {{kind: disconnect, lockable: yes, fed_from: UTIL-A}}
  SD-B: {{kind: disconnect, lockable: yes, fed_from: UTIL-B}}
  TIE: {{kind: bus tie, between: [A, B]{more}}}
"""


def test_a_tie_that_somebody_closes(tmp_path: Path) -> None:
    found = portfolio(tmp_path, TIE.format(more=", lockable: yes"))
    # Over the tie each bus is the other's standby.
    assert outcomes(found, "A/main") == {"LEFT": "dark", "RIGHT": STANDBY_LOST}
    assert outcomes(found, "TIE") == {"LEFT": STANDBY_LOST, "RIGHT": STANDBY_LOST}
    assert again(found, "A/main")["LEFT"]
    assert not again(found, "A/main", "TIE")["LEFT"]
    # Normally open, but it can be closed: a point to lock like any other.
    assert locks(found, "A") == ("yes", {"SD-A", "TIE"})
    assert locks(found, "A/main") == ("yes", {"A/main", "TIE"})
    assert locks(found, "TIE") == ("yes", {"A/main", "B/main"})
    assert locks(found, "LEFT") == ("yes", {"A/1"})


@pytest.mark.parametrize(
    "more", ["", ", lockable: no", ", lockable: yes, electrically_operated: yes"]
)
def test_a_tie_that_cannot_be_locked_moves_the_lock_to_the_other_main(
    tmp_path: Path, more: str
) -> None:
    found = portfolio(tmp_path, TIE.format(more=more))
    assert locks(found, "A") == ("yes", {"SD-A", "B/main"})


def test_a_tie_that_is_racked_out_isolates(tmp_path: Path) -> None:
    more = ", lockable: yes, electrically_operated: yes, draw_out: yes"
    assert locks(portfolio(tmp_path, TIE.format(more=more)), "A") == ("yes", {"SD-A", "TIE"})


def test_an_automatic_tie_takes_over(tmp_path: Path) -> None:
    found = portfolio(tmp_path, TIE.format(more=", operation: automatic"))
    assert outcomes(found, "A/main")["LEFT"] == BRIEF
    assert outcomes(found, "A/main", "TIE")["LEFT"] == "dark"
    assert set(outcomes(found, "A/main", "B/main").values()) == {"dark"}


def test_a_closed_tie_carries_the_other_bus(tmp_path: Path) -> None:
    found = portfolio(tmp_path, TIE.format(more=", normal: closed"))
    assert "dark" not in outcomes(found, "A/main").values()
    assert outcomes(found, "A/main", "TIE") == {"LEFT": "dark", "RIGHT": STANDBY_LOST}
