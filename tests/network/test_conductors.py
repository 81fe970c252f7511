"""What single open conductors do: each case worked out by hand, the theory beside it."""

from pathlib import Path

import pytest

from recordgen.portfolio import Portfolio
from tests.network.asking import affected, again, outcomes, portfolio

BRIEF = "brief interruption, then standby"
LESS = "loses standby or redundancy"
ABNORMAL = "may see abnormal voltage"
DARK = "dark"

# Positions 1 and 2 stand on A, 3 and 4 on B, 5 and 6 on C (NEC 408.3(E), from memory; both
# positions of a row on one phase: common practice).
PANEL = """
sources: {{UTIL: {{kind: utility, system: 208Y/120}}}}
panels:
  LP:
    kind: panelboard
    system: 208Y/120
    main: {{rating: 100 A, poles: {poles}}}
    lockable: yes
    fed_from: UTIL
    circuits:
      1: {{device: 20 A, loads: {{ON-A: {{kind: lighting}}}}}}
      2: {{device: 20 A, loads: {{ALSO-A: {{kind: lighting}}}}}}
      3: {{device: 20 A, {shared} loads: {{ON-B: {{kind: lighting}}}}}}
      5: {{device: 20 A, loads: {{ON-C: {{kind: lighting}}}}}}
      {more}
"""


def panel(folder: Path, more: str = "", shared: str = "", poles: int = 3) -> Portfolio:
    return portfolio(folder, PANEL.format(more=more, shared=shared, poles=poles))


def test_one_pole_of_a_feeder_takes_the_circuits_on_it(tmp_path: Path) -> None:
    """Nothing lies between the phases, so the others know nothing of it."""
    assert outcomes(panel(tmp_path), "LP/main/B") == {"ON-B": DARK}


def test_a_load_between_two_phases_puts_voltage_on_the_dead_one(tmp_path: Path) -> None:
    """A heater on A and B is in series with what hangs on B: some voltage, at every load of B."""
    heater = "7-9: {device: {rating: 30 A, poles: 2}, loads: {HEAT: {kind: heating}}}"
    found = panel(tmp_path, heater)
    assert outcomes(found, "LP/main/B") == {"ON-B": ABNORMAL, "HEAT": ABNORMAL}
    # With the heater off there is nothing between A and B. It has lost both its conductors.
    both = outcomes(found, "LP/main/B", "LP/7-9")
    assert both == {"ON-B": DARK, "HEAT": DARK}


def test_a_motor_on_three_phases_that_loses_one(tmp_path: Path) -> None:
    """Single-phasing: the motor keeps turning, and its windings hold voltage on the open phase."""
    motor = "7-9-11: {device: {rating: 30 A, poles: 3}, loads: {M: {kind: motor}}}"
    found = panel(tmp_path, motor)
    assert outcomes(found, "LP/7-9-11/C") == {"M": ABNORMAL}
    assert outcomes(found, "LP/main/C") == {"M": ABNORMAL, "ON-C": ABNORMAL}
    assert outcomes(found, "LP/7-9-11") == {"M": DARK}


def test_a_blown_fuse_before_a_transformer_touches_everything_behind_it(tmp_path: Path) -> None:
    """A delta-wye bank on two phases makes three wrong voltages (worked in any machines text)."""
    records = """
sources: {UTIL: {kind: utility, system: 480Y/277}}
panels:
  MSB: {kind: switchboard, system: 480Y/277, main: lugs, fed_from: UTIL,
    circuits: {1: {device: {rating: 60 A, poles: 3, kind: fuse}}}}
  LP: {kind: panelboard, system: 208Y/120, main: 100 A, fed_from: T,
    circuits: {1: {loads: {ON-A: {kind: lighting}}}, 5: {loads: {ON-C: {kind: lighting}}}}}
equipment:
  T: {kind: transformer, fed_from: MSB/1, primary: 480Y/277, secondary: 208Y/120}
"""
    found = portfolio(tmp_path, records)
    assert outcomes(found, "MSB/1/A") == {"ON-A": ABNORMAL, "ON-C": ABNORMAL}
    assert outcomes(found, "LP/main/A") == {"ON-A": DARK}


def test_a_device_with_too_few_poles_leaves_its_line_live(tmp_path: Path) -> None:
    """Two of three conductors open, and which is not recorded: nothing is dead."""
    found = panel(tmp_path, poles=2)
    loads = ("ON-A", "ALSO-A", "ON-B", "ON-C")
    assert outcomes(found, "LP/main") == dict.fromkeys(loads, ABNORMAL)
    assert again(found, "LP/main") == dict.fromkeys(loads, True)


# The neutral.


def test_an_open_neutral_of_two_circuits_that_share_it(tmp_path: Path) -> None:
    """The loads stand in series across 208 V, and share it by their impedances."""
    found = panel(tmp_path, shared="neutral_shared_with: [1],")
    assert outcomes(found, "LP/1/N") == {"ON-A": ABNORMAL, "ON-B": ABNORMAL}
    # Whichever of the two is asked: it is one conductor.
    assert outcomes(found, "LP/3/N") == outcomes(found, "LP/1/N")
    # One leg of the pair opened does not touch the other.
    assert outcomes(found, "LP/1") == {"ON-A": DARK}
    # With the partner off there is one conductor left: no current, no return, and the open neutral
    # stands at line voltage through the load.
    (off, floating) = sorted(affected(found, "LP/3/N", "LP/1"), key=lambda a: a.load)
    assert (off.outcome, off.floating) == (DARK, False)
    assert (floating.outcome, floating.floating, floating.again) == (DARK, True, True)


def test_an_open_neutral_of_one_circuit(tmp_path: Path) -> None:
    (one,) = affected(panel(tmp_path), "LP/1/N")
    assert (one.load, one.outcome, one.floating, one.again) == ("home:ON-A", DARK, True, True)


def test_two_circuits_on_one_phase_that_share_a_neutral(tmp_path: Path) -> None:
    """Both on A: nothing in series, and the neutral carries both currents; open, both go out."""
    found = panel(
        tmp_path, "4: {device: 20 A, neutral_shared_with: [3], loads: {TOO-B: {kind: fan}}}"
    )
    answer = affected(found, "LP/3/N")
    assert {(a.load, a.outcome, a.floating) for a in answer} == {
        ("home:ON-B", DARK, True),
        ("home:TOO-B", DARK, True),
    }


def test_an_open_neutral_of_a_panel(tmp_path: Path) -> None:
    """Everything from phase to neutral; not what is recorded to stand between phases."""
    more = "7-9: {device: {rating: 30 A, poles: 2}, loads: {HEAT: {kind: heating, voltage: 208 V}}}"
    lights = ("ON-A", "ALSO-A", "ON-B", "ON-C")
    assert outcomes(panel(tmp_path, more), "LP/main/N") == dict.fromkeys(lights, ABNORMAL)


def test_a_heater_of_unrecorded_voltage_may_use_the_neutral(tmp_path: Path) -> None:
    more = "7-9: {device: {rating: 30 A, poles: 2}, loads: {HEAT: {kind: heating}}}"
    assert outcomes(panel(tmp_path, more), "LP/7-9/N") == {"HEAT": ABNORMAL}


def test_a_neutral_borrowed_from_another_panel(tmp_path: Path) -> None:
    """Opening the one panel leaves the other's circuit running on the borrowed neutral; opening the
    neutral itself takes both."""
    records = """
sources: {UTIL: {kind: utility, system: 208Y/120}}
panels:
  P1: {kind: panelboard, system: 208Y/120, main: 100 A, lockable: yes, fed_from: UTIL,
    circuits: {1: {device: 20 A, loads: {BORROWS: {kind: lighting}}, neutral_shared_with: [P2/3]}}}
  P2: {kind: panelboard, system: 208Y/120, main: 100 A, lockable: yes, fed_from: UTIL,
    circuits: {3: {device: 20 A, loads: {LENDS: {kind: lighting}}}}}
"""
    found = portfolio(tmp_path, records)
    assert outcomes(found, "P2/main") == {"LENDS": DARK}
    # Its neutral carries the other's current all the same.
    assert again(found, "P2/main") == {"LENDS": True}
    assert outcomes(found, "P2/3/N") == {"LENDS": ABNORMAL, "BORROWS": ABNORMAL}
    assert outcomes(found, "P1/1/N") == {"LENDS": ABNORMAL, "BORROWS": ABNORMAL}


BEHIND = """
sources: {UTIL: {kind: utility, system: 480Y/277}}
panels:
  MSB:
    {kind: switchboard, system: 480Y/277, main: lugs, fed_from: UTIL, circuits: {1: {}, 2: {}}}
  LP:
    kind: panelboard
    system: 208Y/120
    main: 100 A
    fed_from: T
    circuits:
      1: {loads: {ON-A: {kind: lighting}}}
      3: {loads: {ON-B: {kind: lighting}}}
      7-9-11: {device: {rating: 60 A, poles: 3}, normal: open, loads: none}
  Q: {kind: panelboard, system: 208Y/120, main: 100 A, fed_from: T-2,
    temporary_feeds: [{fed_from: LP/7-9-11, since: 2026-11-01}]}
equipment:
  T: {kind: transformer, fed_from: MSB/1, primary: 480Y/277, secondary: 208Y/120}
  T-2: {kind: transformer, fed_from: MSB/2, primary: 480Y/277, secondary: 208Y/120}
"""


def test_a_neutral_that_comes_loose_at_its_transformer(tmp_path: Path) -> None:
    """It starts there: everything from phase to neutral behind it floats."""
    found = portfolio(tmp_path, BEHIND)
    assert outcomes(found, "T/N") == {"ON-A": ABNORMAL, "ON-B": ABNORMAL}


def test_no_neutral_is_counted_on_beyond_what_stands_open(tmp_path: Path) -> None:
    """The spare way to Q may have a neutral or not; it is no answer for LP's own."""
    found = portfolio(tmp_path, BEHIND)
    assert outcomes(found, "LP/main/N") == {"ON-A": ABNORMAL, "ON-B": ABNORMAL}


# Where several ways meet.


@pytest.mark.parametrize("opened", ["LP/1", "LP/3"])
def test_two_circuits_that_meet_in_a_box(tmp_path: Path, opened: str) -> None:
    """The box is still reached by the other circuit, and has lost a conductor."""
    records = PANEL.format(more="", shared="", poles=3)
    records += "equipment: {JB: {kind: junction box, fed_from: [LP/1, LP/3]}}\n"
    records += "loads: {RANGE: {kind: kitchen, fed_from: JB}}\n"
    found = portfolio(tmp_path, records)
    told = outcomes(found, opened)
    assert told["RANGE"] == ABNORMAL
    assert outcomes(found, "LP/1", "LP/3")["RANGE"] == DARK
    assert outcomes(found, "LP/main")["RANGE"] == DARK


def test_a_leg_that_another_source_feeds(tmp_path: Path) -> None:
    """P1/3 stands open and is fed backwards by the storage: through the motor, it reaches L-1."""
    records = """
sources:
  UTIL: {kind: utility, system: 208Y/120}
  BAT: {kind: battery storage, system: 208Y/120, stops_without_utility: no, start: automatic}
panels:
  P1: {kind: panelboard, system: 208Y/120, fed_from: UTIL, main: 100 A,
    circuits: {1: {loads: {L-1: {kind: other}}}, 3: {normal: open, backfed_from: BAT}}}
loads:
  M-1: {kind: motor, fed_from: [P1/1, P1/3], needs: all}
"""
    found = portfolio(tmp_path, records)
    for opened in ("P1/1", "P1/main"):
        assert outcomes(found, opened)["L-1"] == ABNORMAL


TRANSFER = """
sources:
  UTIL: {kind: utility, system: 208Y/120}
  GEN: {kind: generator, system: 208Y/120, start: automatic}
panels:
  MSB: {kind: switchboard, system: 208Y/120, fed_from: UTIL, circuits: {1: {}, 2: {}}}
  GP: {kind: switchboard, system: 208Y/120, fed_from: GEN, circuits: {1: {}}}
  LP:
    kind: panelboard
    system: 208Y/120
    fed_from: ATS
    circuits:
      1: {loads: {ON-A: {kind: other}}}
      3: {loads: {ON-B: {kind: other}}}
equipment:
  ATS: {kind: transfer switch, normal_from: MSB/1, emergency_from: GP/1, operation: automatic}
"""


def test_a_transfer_switch_takes_the_phases_that_were_left_along(tmp_path: Path) -> None:
    """It leaves a side that has lost one phase; the loads on the others see the gap too."""
    found = portfolio(tmp_path, TRANSFER)
    assert outcomes(found, "MSB/1/B") == {"ON-A": BRIEF, "ON-B": BRIEF}
    # Nowhere to go: what is left is left, and what was lost is lost.
    assert outcomes(found, "MSB/1/B", "GP/1") == {"ON-A": LESS, "ON-B": DARK}
    assert outcomes(found, "MSB/1/B", "GP/1/A") == {"ON-A": LESS, "ON-B": DARK}
