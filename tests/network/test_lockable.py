"""Which devices count as points to lock. Expected answers are worked by hand.

What counts is design section 3: recorded as lockable, opening every ungrounded conductor, and not
able to reclose. OSHA 29 CFR 1910.147(b) (from memory) names push buttons, selector switches and
other control circuit devices as no energy isolating devices.
"""

from pathlib import Path

import pytest

from tests.network.asking import isolation, locks, outcomes, portfolio

# UTIL ─ MSB/main ─ MSB/1 ─ LP/main ─ LP/1: LAMP
CHAIN = """
sources: {{UTIL: {{kind: utility}}}}
panels:
  MSB:
    kind: switchboard
    main: {{rating: 800 A, lockable: {msb_main}}}
    fed_from: UTIL
    circuits: {{1: {{device: {{rating: 100 A, lockable: {msb_1}}}}}}}
  LP:
    kind: panelboard
    system: {system}
    main: {{rating: 100 A, {lp_main}}}
    fed_from: MSB/1
    circuits: {{1: {{device: {{rating: 20 A, {lp_1}}}, loads: {{LAMP: {{kind: lighting}}}}}}}}
"""


def chain(
    folder: Path,
    *,
    lp_1: str = "lockable: no",
    lp_main: str = "lockable: no",
    msb_1: str = "no",
    msb_main: str = "no",
    system: str = "208Y/120",
) -> tuple[str, set[str], str]:
    text = CHAIN.format(lp_1=lp_1, lp_main=lp_main, msb_1=msb_1, msb_main=msb_main, system=system)
    for key in ("{rating: 800 A, lockable: -}", "{rating: 100 A, lockable: -}"):
        text = text.replace(key, key.replace(", lockable: -", ""))
    found = portfolio(folder, text)
    return (*locks(found, "LAMP"), " / ".join(isolation(found, "LAMP").reasons))


def test_the_nearest_that_is_recorded_as_lockable(tmp_path: Path) -> None:
    lockable = "lockable: yes"
    assert chain(tmp_path / "1", lp_1=lockable, lp_main=lockable)[:2] == ("yes", {"LP/1"})
    assert chain(tmp_path / "2", lp_main=lockable, msb_1="yes")[:2] == ("yes", {"LP/main"})
    assert chain(tmp_path / "3", msb_1="yes", msb_main="yes")[:2] == ("yes", {"MSB/1"})
    assert chain(tmp_path / "4", msb_main="yes")[:2] == ("yes", {"MSB/main"})


def test_what_is_not_recorded_does_not_count_as_lockable(tmp_path: Path) -> None:
    # LP/1 and LP/main say nothing, MSB/1 says yes.
    verdict, points, _ = chain(tmp_path, lp_1="poles: 1", lp_main="poles: 3", msb_1="yes")
    assert (verdict, points) == ("yes", {"MSB/1"})


def test_nothing_lockable_up_to_the_utility(tmp_path: Path) -> None:
    verdict, points, reason = chain(tmp_path)
    assert (verdict, points) == ("no", set())
    for device in ("LP/1", "LP/main", "MSB/1", "MSB/main"):
        assert f"{device} (recorded as not lockable)" in reason
    assert reason.endswith("the utility must open the service")


def test_one_entry_that_is_missing_leaves_it_unproven(tmp_path: Path) -> None:
    verdict, points, reason = chain(tmp_path, msb_1="-")
    assert (verdict, points) == ("unproven", set())
    assert "MSB/1 (not recorded as lockable)" in reason
    assert "LP/1 (recorded as not lockable)" in reason


def test_a_panel_says_it_once_for_all_its_devices(tmp_path: Path) -> None:
    text = CHAIN.format(
        lp_1="poles: 1", lp_main="lockable: no", msb_1="no", msb_main="no", system="208Y/120"
    )
    said = text.replace("    system:", "    lockable: yes\n    system:")
    assert locks(portfolio(tmp_path / "1", said), "LAMP") == ("yes", {"LP/1"})
    # What a device says itself outweighs the panel.
    against = said.replace("rating: 20 A, poles: 1", "rating: 20 A, lockable: no")
    assert locks(portfolio(tmp_path / "2", against), "LAMP")[0] == "no"


def test_a_circuit_without_a_recorded_device_is_locked_as_its_panel_says(tmp_path: Path) -> None:
    text = CHAIN.format(
        lp_1="poles: 1", lp_main="lockable: no", msb_1="yes", msb_main="no", system="208Y/120"
    ).replace("device: {rating: 20 A, poles: 1}, ", "")
    assert locks(portfolio(tmp_path / "1", text), "LAMP") == ("yes", {"MSB/1"})
    said = text.replace("    system:", "    lockable: yes\n    system:")
    assert locks(portfolio(tmp_path / "2", said), "LAMP") == ("yes", {"LP/1"})


@pytest.mark.parametrize(
    ("device", "counts"),
    [
        ("lockable: yes, electrically_operated: yes", False),
        ("lockable: yes, electrically_operated: yes, draw_out: yes", True),
        ("lockable: yes, electrically_operated: no", True),
        ("lockable: yes, kind: contactor", False),
        ("lockable: yes, kind: fused switch", True),
        ("lockable: yes, kind: switch", True),
        ("lockable: yes, kind: cord and plug", True),
        ("lockable: yes, kind: GFCI breaker", True),
    ],
)
def test_what_can_reclose_or_is_a_contactor_does_not_count(
    tmp_path: Path, device: str, counts: bool
) -> None:
    # With MSB/1 lockable behind it there is always an answer; it tells whether LP/1 counted.
    expected = {"LP/1"} if counts else {"MSB/1"}
    assert chain(tmp_path, lp_1=device, msb_1="yes")[:2] == ("yes", expected)


# A three-phase main has three poles, a 120/240 one two (each ungrounded conductor: NEC 404.2 and
# 240.15(B), from memory). A main with fewer leaves a conductor of the bus live.
@pytest.mark.parametrize(
    ("system", "poles", "counts"),
    [
        ("208Y/120", "3", True),
        ("208Y/120", "2", False),
        ("208Y/120", "1", False),
        ("480Y/277", "2", False),
        ("240/120 high-leg delta", "3", True),
        ("240/120 high-leg delta", "2", False),
        ("480 delta", "3", True),
        ("480 delta", "2", False),
        ("120/240", "2", True),
        ("120/240", "1", False),
        # Two wires and no neutral: both are ungrounded.
        ("240 single-phase", "2", True),
        ("240 single-phase", "1", False),
    ],
)
def test_a_main_with_too_few_poles_does_not_isolate(
    tmp_path: Path, system: str, poles: str, counts: bool
) -> None:
    main = f"poles: {poles}, lockable: yes"
    expected = {"LP/main"} if counts else {"MSB/1"}
    found = chain(tmp_path / "1", lp_main=main, msb_1="yes", system=system)
    assert found[:2] == ("yes", expected)
    if not counts:
        verdict, points, reason = chain(tmp_path / "2", lp_main=main, system=system)
        assert (verdict, points) == ("no", set())
        assert "LP/main (opens" in reason


# MSB/1 ─ DS ─ STARTER ─ MOTOR, MSB/2 ─ DRIVE ─ PUMP (with a bypass from MSB/3)
MOTORS = """
sources: {UTIL: {kind: utility}}
panels:
  MSB:
    kind: motor control centre
    lockable: yes
    main: 800 A
    fed_from: UTIL
    circuits: {1: {device: 30 A}, 2: {device: 30 A}, 3: {device: 30 A}}
equipment:
  DS: {kind: disconnect, lockable: yes, fed_from: MSB/1}
  STARTER: {kind: motor starter, fed_from: DS}
  DRIVE: {kind: variable-frequency drive, fed_from: MSB/2, bypass_from: MSB/3}
loads:
  MOTOR: {kind: motor, fed_from: STARTER}
  PUMP: {kind: pump, fed_from: DRIVE}
"""


def test_starters_and_drives_do_not_isolate(tmp_path: Path) -> None:
    found = portfolio(tmp_path, MOTORS)
    assert locks(found, "MOTOR") == ("yes", {"DS"})
    assert locks(found, "STARTER") == ("yes", {"DS"})
    assert locks(found, "DS") == ("yes", {"MSB/1"})
    assert locks(found, "PUMP") == ("yes", {"MSB/2", "MSB/3"})
    # Opening the feeder alone leaves the bypass feeder's breaker live up to the drive.
    assert locks(found, "MSB/2") == ("yes", {"MSB/2", "MSB/3"})
    assert outcomes(found, "STARTER") == {"MOTOR": "dark"}
    assert outcomes(found, "MSB/2") == {"PUMP": "dark"}


@pytest.mark.parametrize(
    ("more", "counts"),
    [
        ("lockable: yes", True),
        ("lockable: no", False),
        ("rating: 30 A", False),
        ("lockable: yes, electrically_operated: yes", False),
        ("lockable: yes, electrically_operated: yes, draw_out: yes", True),
    ],
)
def test_a_disconnect_counts_like_a_breaker(tmp_path: Path, more: str, counts: bool) -> None:
    text = MOTORS.replace("DS: {kind: disconnect, lockable: yes", f"DS: {{kind: disconnect, {more}")
    found = portfolio(tmp_path, text)
    assert locks(found, "MOTOR") == ("yes", {"DS"} if counts else {"MSB/1"})
