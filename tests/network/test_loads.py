"""Loads with several feeds, control power, disconnects of their own, shared neutrals.

Expected answers are worked by hand.
"""

from pathlib import Path

import pytest

from tests.network.asking import again, isolation, locks, outcomes, portfolio, sources

# Two panels on one switchboard, A behind MSB/1 and B behind MSB/2; LOADS is filled in by each test.
PANELS = """
sources: {{UTIL: {{kind: utility}}}}
panels:
  MSB:
    kind: switchboard
    lockable: yes
    main: 800 A
    fed_from: UTIL
    circuits: {{1: {{device: 100 A}}, 2: {{device: 100 A}}}}
  A:
    kind: panelboard
    lockable: yes
    main: 100 A
    fed_from: MSB/1
    circuits: {{1: {{device: 20 A}}, 3: {{device: 20 A}}, 5: {{device: 20 A}}}}
  B:
    kind: panelboard
    lockable: yes
    main: 100 A
    fed_from: MSB/2
    circuits: {{1: {{device: 20 A}}, 3: {{device: 20 A}}}}
loads:
  LOAD: {{kind: equipment, {load}}}
"""
ABNORMAL = "may see abnormal voltage"


def test_two_cords_of_which_one_is_enough(tmp_path: Path) -> None:
    found = portfolio(tmp_path, PANELS.format(load="fed_from: [A/1, B/1], needs: any"))
    for opened in ("A/1", "B/1", "A/main", "MSB/2"):
        assert outcomes(found, opened) == {"LOAD": "loses standby or redundancy"}
    assert outcomes(found, "A/1", "B/1") == {"LOAD": "dark"}
    assert outcomes(found, "MSB/main") == {"LOAD": "dark"}
    assert outcomes(found, "A/3") == {}
    assert locks(found, "LOAD") == ("yes", {"A/1", "B/1"})
    # Each cord has its own supply inside: one does not feed back into the other.
    assert locks(found, "A/1") == ("yes", {"A/1"})


def test_two_legs_from_one_panel(tmp_path: Path) -> None:
    found = portfolio(tmp_path, PANELS.format(load="fed_from: [A/1, A/3], needs: all"))
    # One of two poles open: half the voltage, or what comes through the windings.
    assert outcomes(found, "A/1") == {"LOAD": ABNORMAL}
    assert outcomes(found, "A/1", "A/3") == {"LOAD": "dark"}
    assert outcomes(found, "A/main") == {"LOAD": "dark"}
    assert locks(found, "LOAD") == ("yes", {"A/1", "A/3"})
    # The open leg is live through the load from the other one.
    assert locks(found, "A/1") == ("yes", {"A/1", "A/3"})
    assert again(found, "A/1") == {"LOAD": True}


def test_three_legs_from_one_panel(tmp_path: Path) -> None:
    found = portfolio(tmp_path, PANELS.format(load="fed_from: [A/1, A/3, A/5], needs: all"))
    assert outcomes(found, "A/1") == {"LOAD": ABNORMAL}
    assert outcomes(found, "A/1", "A/5") == {"LOAD": ABNORMAL}
    assert outcomes(found, "A/1", "A/3", "A/5") == {"LOAD": "dark"}
    assert locks(found, "A/3") == ("yes", {"A/1", "A/3", "A/5"})


def test_power_from_one_panel_and_more_power_from_another(tmp_path: Path) -> None:
    found = portfolio(tmp_path, PANELS.format(load="fed_from: [A/1, B/1], needs: all"))
    assert outcomes(found, "A/1") == {"LOAD": "dark"}
    assert outcomes(found, "B/main") == {"LOAD": "dark"}
    assert locks(found, "LOAD") == ("yes", {"A/1", "B/1"})


@pytest.mark.parametrize("second", ["A/3", "B/1"])
def test_where_it_is_not_recorded_whether_one_is_enough_the_worse_counts(
    tmp_path: Path, second: str
) -> None:
    found = portfolio(tmp_path, PANELS.format(load=f"fed_from: [A/1, {second}]"))
    assert set(outcomes(found, "A/1")) == {"LOAD"}
    assert outcomes(found, "A/1")["LOAD"] in (ABNORMAL, "dark")
    assert locks(found, "LOAD") == ("yes", {"A/1", second})
    assert locks(found, "A/1") == ("yes", {"A/1", second})


def test_control_power_from_elsewhere(tmp_path: Path) -> None:
    found = portfolio(tmp_path, PANELS.format(load="fed_from: A/1, control_power_from: B/3"))
    # Without control power it stops; without power too.
    assert outcomes(found, "A/1") == {"LOAD": "dark"}
    assert outcomes(found, "B/3") == {"LOAD": "dark"}
    # Both are present in its enclosure.
    assert locks(found, "LOAD") == ("yes", {"A/1", "B/3"})
    assert locks(found, "A/1") == ("yes", {"A/1"})


def test_a_load_with_legs_and_control_power(tmp_path: Path) -> None:
    load = "fed_from: [A/1, A/3], needs: all, control_power_from: B/3"
    found = portfolio(tmp_path, PANELS.format(load=load))
    assert outcomes(found, "A/1") == {"LOAD": ABNORMAL}
    # Both legs gone: dark, though the control circuit is still there.
    assert outcomes(found, "A/1", "A/3") == {"LOAD": "dark"}
    assert outcomes(found, "A/main") == {"LOAD": "dark"}
    # Legs whole, control power gone: it stops, and its legs see the voltage they should.
    assert outcomes(found, "B/3") == {"LOAD": "dark"}
    assert locks(found, "LOAD") == ("yes", {"A/1", "A/3", "B/3"})


@pytest.mark.parametrize(
    ("disconnect", "point"),
    [("lockable: yes", "LOAD/disconnect"), ("lockable: no", "A/1"), ("kind: switch", "A/1")],
)
def test_a_disconnect_at_the_load(tmp_path: Path, disconnect: str, point: str) -> None:
    load = f"fed_from: A/1, local_disconnect: {{{disconnect}}}"
    found = portfolio(tmp_path, PANELS.format(load=load))
    assert locks(found, "LOAD") == ("yes", {point})
    assert outcomes(found, "LOAD/disconnect") == {"LOAD": "dark"}
    assert outcomes(found, "A/1") == {"LOAD": "dark"}
    # Work on the disconnect itself: its line terminals are live while it is open.
    assert locks(found, "LOAD/disconnect") == ("yes", {"A/1"})


def test_a_disconnect_of_a_load_that_is_written_in_its_circuit(tmp_path: Path) -> None:
    text = PANELS.format(load="fed_from: A/1").replace(
        "3: {device: 20 A}",
        "3: {device: 20 A, loads: {FAN: {kind: fan, local_disconnect: {lockable: yes}}}}",
        1,
    )
    found = portfolio(tmp_path, text)
    assert locks(found, "FAN") == ("yes", {"FAN/disconnect"})
    assert locks(found, "A/3") == ("yes", {"A/3"})


def test_a_disconnect_at_the_load_leaves_control_power_on(tmp_path: Path) -> None:
    load = "fed_from: A/1, control_power_from: B/3, local_disconnect: {lockable: yes}"
    found = portfolio(tmp_path, PANELS.format(load=load))
    assert locks(found, "LOAD") == ("yes", {"LOAD/disconnect", "B/3"})


def test_a_disconnect_nobody_recorded_as_lockable_leaves_it_unproven(tmp_path: Path) -> None:
    load = "fed_from: A/1, local_disconnect: {kind: switch}"
    text = PANELS.format(load=load).replace("lockable: yes", "lockable: no")
    answer = isolation(portfolio(tmp_path, text), "LOAD")
    assert (answer.verdict, answer.points) == ("unproven", ())
    assert "LOAD/disconnect (not recorded as lockable)" in answer.reasons[0]


# Shared neutrals in A: 14 with 16; 19, 21, 23 of three phases; in two panels A/33 and B/6.
NEUTRALS = """
sources: {{UTIL: {{kind: utility}}}}
panels:
  A:
    kind: panelboard
    lockable: yes
    main: 100 A
    fed_from: UTIL
    circuits:
      14: {{device: 20 A{pair}, loads: {{RC-14: {{kind: receptacle}}}}}}
      16: {{device: 20 A{other}, loads: {{RC-16: {{kind: receptacle}}}}}}
      18: {{device: 20 A, loads: {{RC-18: {{kind: receptacle}}}}}}
      19: {{device: 20 A, loads: {{LT-19: {{kind: lighting}}}}}}
      21: {{device: 20 A, neutral_shared_with: [19, 23], loads: {{LT-21: {{kind: lighting}}}}}}
      23: {{device: 20 A, loads: {{LT-23: {{kind: lighting}}}}}}
      33: {{device: 20 A, neutral_shared_with: B/6, loads: {{RC-33: {{kind: receptacle}}}}}}
  B:
    kind: panelboard
    lockable: yes
    main: 100 A
    fed_from: UTIL
    circuits:
      6: {{device: 20 A, loads: {{RC-6: {{kind: receptacle}}}}}}
"""
WITH_16, WITH_14 = ", neutral_shared_with: [16]", ", neutral_shared_with: A/14"


@pytest.mark.parametrize(("pair", "other"), [(WITH_16, ""), ("", WITH_14), (WITH_16, WITH_14)])
def test_a_shared_neutral_brings_the_other_circuit(tmp_path: Path, pair: str, other: str) -> None:
    found = portfolio(tmp_path, NEUTRALS.format(pair=pair, other=other))
    both = ("yes", {"A/14", "A/16"})
    for target in ("RC-14", "RC-16", "A/14", "A/16"):
        assert locks(found, target) == both
    assert locks(found, "RC-18") == ("yes", {"A/18"})
    # Opening one leaves the other running: the neutral stays whole.
    assert outcomes(found, "A/14") == {"RC-14": "dark"}


def test_sharing_goes_on_from_circuit_to_circuit(tmp_path: Path) -> None:
    found = portfolio(tmp_path, NEUTRALS.format(pair="", other=""))
    for target in ("LT-19", "LT-21", "LT-23"):
        assert locks(found, target) == ("yes", {"A/19", "A/21", "A/23"})


def test_sharing_goes_across_panels(tmp_path: Path) -> None:
    found = portfolio(tmp_path, NEUTRALS.format(pair="", other=""))
    for target in ("RC-33", "RC-6", "B/6"):
        assert locks(found, target) == ("yes", {"A/33", "B/6"})


def test_a_disconnect_at_the_load_does_not_open_a_shared_neutral(tmp_path: Path) -> None:
    text = NEUTRALS.format(pair=WITH_16, other="").replace(
        "RC-14: {kind: receptacle}", "RC-14: {kind: fan, local_disconnect: {lockable: yes}}"
    )
    found = portfolio(tmp_path, text)
    verdict, points = locks(found, "RC-14")
    assert verdict == "yes"
    # Lifted at the fan, the neutral may carry the current of A/16 ...
    assert "A/16" in points
    # ... and it is tied to A/14 ahead of the fan's switch.
    assert points & {"A/14", "RC-14/disconnect"}


def test_two_sources_by_a_shared_neutral(tmp_path: Path) -> None:
    text = (
        NEUTRALS.format(pair="", other="")
        .replace(
            "fed_from: UTIL\n    circuits:\n      6:", "fed_from: UTIL-2\n    circuits:\n      6:"
        )
        .replace("sources: {", "sources: {UTIL-2: {kind: utility}, ")
    )
    found = portfolio(tmp_path, text)
    assert sources(found, "RC-33") == {"UTIL", "UTIL-2"}
    assert locks(found, "RC-33") == ("yes", {"A/33", "B/6"})
