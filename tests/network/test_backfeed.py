"""Voltage from where nobody looks first: arrays, inlets, temporary feeds, crossings.

Expected answers are worked by hand.
"""

from pathlib import Path

import pytest

from tests.network.asking import again, isolation, locks, outcomes, portfolio, sources, way

# UTIL ─ SD ─ MSB/main ─┬─ MSB/1: FAN
#                       └─ MSB/2 ─ (PV-DS ─) PV
SOLAR = """
sources: {{UTIL: {{kind: utility}}, PV: {{kind: photovoltaic}}}}
panels:
  MSB:
    kind: switchboard
    lockable: yes
    main: 800 A
    fed_from: SD
    circuits:
      1: {{device: 30 A, loads: {{FAN: {{kind: fan}}}}}}
      2: {{device: 60 A, backfed_from: {backfed_from}}}
equipment:
  SD: {{kind: disconnect, lockable: yes, fed_from: UTIL}}
  PV-DS: {{kind: disconnect, lockable: {lockable}, fed_from: PV}}
"""


def test_photovoltaic_has_to_be_locked_too(tmp_path: Path) -> None:
    found = portfolio(tmp_path, SOLAR.format(backfed_from="PV-DS", lockable="yes"))
    # The breaker at MSB/2 sits in the panel itself: its far terminal stays live from the roof.
    assert locks(found, "MSB") == ("yes", {"SD", "PV-DS"})
    assert locks(found, "MSB/2") == ("yes", {"MSB/2", "PV-DS"})
    assert locks(found, "MSB/main") == ("yes", {"MSB/main", "MSB/2"})
    assert locks(found, "FAN") == ("yes", {"MSB/1"})
    assert sources(found, "FAN") == {"UTIL", "PV"}


def test_photovoltaic_keeps_nothing_running(tmp_path: Path) -> None:
    found = portfolio(tmp_path, SOLAR.format(backfed_from="PV-DS", lockable="yes"))
    for opened in ("SD", "MSB/main"):
        assert outcomes(found, opened) == {"FAN": "dark"}
        # Dark is not dead: the array is still joined to the bus.
        assert again(found, opened) == {"FAN": True}
    assert again(found, "SD", "PV-DS") == {"FAN": False}
    for opened in ("MSB/2", "PV-DS"):
        assert outcomes(found, opened) == {}
    assert way(found, "FAN") == [("UTIL", ("SD", "MSB/main", "MSB/1"))]


@pytest.mark.parametrize(
    ("backfed_from", "lockable", "verdict"),
    [("PV", "yes", "no"), ("PV-DS", "no", "no")],
)
def test_photovoltaic_without_anything_to_lock(
    tmp_path: Path, backfed_from: str, lockable: str, verdict: str
) -> None:
    found = portfolio(tmp_path, SOLAR.format(backfed_from=backfed_from, lockable=lockable))
    assert locks(found, "MSB") == (verdict, {"SD"})
    (reason,) = isolation(found, "MSB").reasons
    assert reason.startswith("PV reaches it")
    assert "who must act is not recorded" in reason


# UTIL ─ HP/main ─┬─ HP/2 ─ INLET (interlocked with the main)
#                 └─ HP/3: LAMP, HP/3 cannot be locked
HOUSE = """
sources: {UTIL: {kind: utility}, INLET: {kind: generator inlet, start: manual}}
panels:
  HP:
    kind: load centre
    system: 120/240
    lockable: yes
    main: {rating: 100 A, poles: 2}
    fed_from: UTIL
    circuits:
      2-4: {device: 30 A, backfed_from: INLET, interlocked_with: HP/main}
      3: {device: {rating: 15 A, lockable: no}, loads: {LAMP: {kind: lighting}}}
"""


def test_an_interlock_isolates_nothing(tmp_path: Path) -> None:
    found = portfolio(tmp_path, HOUSE)
    # Locking the main alone leaves the inlet's breaker free to be closed.
    assert locks(found, "LAMP") == ("yes", {"HP/main", "HP/2-4"})
    assert sources(found, "LAMP") == {"UTIL", "INLET"}


def test_an_empty_inlet_is_a_source_and_carries_nothing(tmp_path: Path) -> None:
    found = portfolio(tmp_path, HOUSE)
    assert outcomes(found, "HP/main") == {"LAMP": "dark"}
    assert again(found, "HP/main") == {"LAMP": True}
    assert again(found, "HP/main", "HP/2-4") == {"LAMP": False}
    assert outcomes(found, "HP/2-4") == {}
    # The inlet's own conductors: the breaker locked, the inlet still to be kept empty.
    assert locks(found, "HP/2-4") == ("no", {"HP/2-4"})


def test_battery_storage_backfeeds(tmp_path: Path) -> None:
    text = HOUSE.replace("generator inlet, start: manual", "battery storage")
    found = portfolio(tmp_path, text)
    assert locks(found, "LAMP") == ("yes", {"HP/main", "HP/2-4"})
    # Whether it goes on without the utility is not recorded: nothing is counted on it.
    assert outcomes(found, "HP/main") == {"LAMP": "dark"}


def test_battery_storage_that_goes_on_by_itself_carries(tmp_path: Path) -> None:
    storage = "battery storage, start: automatic, stops_without_utility: no"
    found = portfolio(tmp_path, HOUSE.replace("generator inlet, start: manual", storage))
    assert outcomes(found, "HP/main") == {"LAMP": "brief interruption, then standby"}


# UTIL ─ MSB/main ─┬─ MSB/1 ─ LP/main ─ LP/1: LAMP (LP/1 cannot be locked)
#                  └─ MSB/2 ─ WP/main ─ WP/3 ┈ temporary ┈ LP bus
TEMPORARY = """
sources: {UTIL: {kind: utility}}
panels:
  MSB:
    kind: switchboard
    lockable: yes
    main: 800 A
    fed_from: UTIL
    circuits: {1: {device: 100 A}, 2: {device: 100 A}}
  LP:
    kind: panelboard
    lockable: yes
    main: 100 A
    fed_from: MSB/1
    temporary_feeds: [{fed_from: WP/3, since: 2026-11-01, reason: transformer is out}]
    circuits: {1: {device: {rating: 20 A, lockable: no}, loads: {LAMP: {kind: lighting}}}}
  WP:
    kind: panelboard
    lockable: yes
    main: 100 A
    fed_from: MSB/2
    circuits: {3: {device: 60 A, normal: open, description: spider box}}
"""


def test_a_temporary_feed_is_locked_like_any_other(tmp_path: Path) -> None:
    found = portfolio(tmp_path, TEMPORARY)
    assert locks(found, "LAMP") == ("yes", {"LP/main", "WP/3"})
    assert locks(found, "LP") == ("yes", {"MSB/1", "WP/3"})
    # And it leads back: the temporary cable itself may be fed from either end.
    assert locks(found, "WP/3") == ("yes", {"LP/main", "WP/3"})


def test_a_temporary_feed_with_its_breaker_open_carries_nothing(tmp_path: Path) -> None:
    found = portfolio(tmp_path, TEMPORARY)
    assert outcomes(found, "LP/main") == {"LAMP": "dark"}
    assert again(found, "LP/main") == {"LAMP": True}


# LP and EP stand side by side on MSB; a box and a gutter hold conductors of several circuits.
CROSSED = """
sources: {UTIL: {kind: utility}}
panels:
  MSB:
    kind: switchboard
    lockable: yes
    main: 800 A
    fed_from: UTIL
    circuits: {1: {device: 100 A}, 2: {device: 100 A}, 4: {device: 60 A}}
  LP:
    kind: panelboard
    lockable: yes
    main: lugs
    fed_from: MSB/1
    crossed_by: [MSB/4]
    circuits:
      5: {device: 20 A}
      7: {device: 20 A, loads: {RC-7: {kind: receptacle}}}
  EP:
    kind: panelboard
    lockable: yes
    main: lugs
    fed_from: MSB/2
    circuits: {2: {device: 20 A, loads: {EXIT: {kind: exit sign}}}}
equipment:
  JB: {kind: junction box, fed_from: LP/5, crossed_by: [LP/7, EP/2]}
loads:
  LAMP: {kind: lighting, fed_from: JB}
"""


def test_everything_that_passes_through_a_box_is_locked(tmp_path: Path) -> None:
    found = portfolio(tmp_path, CROSSED)
    assert locks(found, "JB") == ("yes", {"LP/5", "LP/7", "EP/2"})
    assert found.network.enclosures["home:JB"].crossing != []
    # A lamp fed through the box is not in the box.
    assert locks(found, "LAMP") == ("yes", {"LP/5"})
    assert outcomes(found, "LP/5") == {"LAMP": "dark"}


def test_a_feeder_that_passes_through_a_panel_is_locked_with_it(tmp_path: Path) -> None:
    assert locks(portfolio(tmp_path, CROSSED), "LP") == ("yes", {"MSB/1", "MSB/4"})


UNKNOWN = """
sources: {{UTIL: {{kind: utility}}}}
panels:
  LP:
    kind: panelboard
    lockable: yes
    main: lugs
    {fed_from}
    circuits: {{1: {{device: 20 A, loads: {{RC: {{kind: receptacle}}}}}}}}
loads:
  GABLE: {{kind: lighting, fed_from: unknown}}
"""


@pytest.mark.parametrize("fed_from", ["fed_from: unknown", ""])
def test_what_nobody_knows_the_source_of_is_not_proven_isolated(
    tmp_path: Path, fed_from: str
) -> None:
    found = portfolio(tmp_path, UNKNOWN.format(fed_from=fed_from))
    for target, what in (("LP", "LP"), ("GABLE", "GABLE")):
        answer = isolation(found, target)
        assert (answer.verdict, answer.points) == ("unproven", ())
        assert answer.reasons == (f"what feeds {what}: not recorded; it counts as live",)
    # Behind a breaker that can be locked it does not matter where the voltage comes from.
    assert locks(found, "RC") == ("yes", {"LP/1"})
    stops = {p.subjects for p in found.problems if p.code == "source-unknown"}
    assert stops == {("home:LP",), ("home:GABLE",)}
