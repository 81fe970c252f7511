"""The second answer itself, held against small houses worked by hand, conductor by conductor."""

from typing import Any

import pytest

from tests.network.by_hand import Opening
from tests.network.by_hand_outcomes import ABNORMAL, BRIEF, DARK, LESS, House

# 208Y/120, positions in rows: 1 and 2 on A, 3 and 4 on B, 5 and 6 on C.
UTILITY = {"UTIL": {"kind": "utility", "system": "208Y/120"}}


def load(tag: str, **fields: str) -> dict[str, Any]:
    return {"loads": {tag: {"kind": "other", **fields}}}


def panel(feed: str, circuits: dict[str, Any], **fields: Any) -> dict[str, Any]:
    common = {"kind": "panelboard", "system": "208Y/120", "fed_from": feed, "circuits": circuits}
    return common | fields


def house(**sections: dict[str, Any]) -> House:
    return House({"sources": UTILITY, "panels": {}, "equipment": {}, "loads": {}} | sections)


def lighting_panel(**fields: Any) -> House:
    circuits = {
        "1": load("ON-A"),
        "3": load("ON-B") | {"neutral_shared_with": ["LP/1"]},
        "5": load("ON-C"),
        "2-4": load("ON-AB", voltage="208 V"),
    }
    main = {"rating": "100 A", "poles": "3"}
    return house(panels={"LP": panel("UTIL", circuits, main=main, **fields)})


ALL = ("ON-A", "ON-B", "ON-C", "ON-AB")


@pytest.mark.parametrize(
    ("opened", "expected"),
    [
        (["LP/1"], {"ON-A": DARK}),
        (["LP/main"], dict.fromkeys(ALL, DARK)),
        # B comes back from A through the load that stands between them.
        ([("LP/main", "B")], {"ON-B": ABNORMAL, "ON-AB": ABNORMAL}),
        ([("LP/main", "B"), "LP/2-4"], {"ON-B": DARK, "ON-AB": DARK}),
        ([("LP/main", "C")], {"ON-C": DARK}),
        # A 208 V load has no use for the neutral.
        ([("LP/main", "N")], {"ON-A": ABNORMAL, "ON-B": ABNORMAL, "ON-C": ABNORMAL}),
        # One neutral for circuits on A and B: lifted, their loads stand in series on 208 V.
        ([("LP/3", "N")], {"ON-A": ABNORMAL, "ON-B": ABNORMAL}),
        # A neutral of its own: no way back.
        ([("LP/5", "N")], {"ON-C": DARK}),
        # No such conductor there.
        ([("LP/1", "B")], {}),
        ([("LP/2-4", "N")], {}),
    ],
)
def test_one_conductor_is_not_the_device(opened: list[Opening], expected: dict[str, str]) -> None:
    found = lighting_panel()
    assert found.outcomes(opened) == expected
    # Dead on one conductor, and at line voltage on its neutral.
    whole = any(isinstance(one, str) for one in opened)
    assert whole or all(found.again(opened).values())


def test_a_main_with_too_few_poles_leaves_everything_in_doubt() -> None:
    circuits = {"1": load("ON-A"), "2-4": load("ON-AB", voltage="208 V")}
    main = {"rating": "100 A", "poles": "2"}
    found = house(panels={"LP": panel("UTIL", circuits, main=main)})
    assert found.outcomes(["LP/main"]) == {"ON-A": ABNORMAL, "ON-AB": ABNORMAL}
    assert found.again(["LP/main"]) == {"ON-A": True, "ON-AB": True}


def test_tied_handles_open_together() -> None:
    circuits = {
        "1": load("ONE") | {"handle_tied_with": ["3"]},
        "3": load("THREE"),
        "5": load("FIVE"),
    }
    found = house(panels={"LP": panel("UTIL", circuits)})
    for opened in ("LP/1", "LP/3"):
        assert found.outcomes([opened]) == {"ONE": DARK, "THREE": DARK}
        assert found.again([opened]) == {"ONE": False, "THREE": False}


@pytest.mark.parametrize(
    ("system", "outcome"),
    # Position 1 of a panel on 208Y/120 stands on A; where the system is not recorded, nobody knows.
    [("208Y/120", DARK), (None, ABNORMAL)],
)
def test_a_lifted_neutral_of_a_circuit_whose_leg_nobody_knows(
    system: str | None, outcome: str
) -> None:
    record = panel("UTIL", {"1": load("ONE")})
    record = {key: value for key, value in (record | {"system": system}).items() if value}
    assert house(panels={"LP": record}).outcomes([("LP/1", "N")]) == {"ONE": outcome}


def test_a_single_phase_panel_on_two_phases_of_three() -> None:
    # 4-6 stands on B and C, so A and B of the panel's own rows say nothing.
    panels = {
        "LP": panel("UTIL", {"4-6": {"loads": "none"}}),
        "SP": panel("LP/4-6", {"1": load("ONE")}, system="120/240"),
    }
    found = house(panels=panels)
    assert found.carried[found.zones["SP/1"]] == {"B", "C"}
    assert found.outcomes([("LP/4-6", "A")]) == {}
    assert found.outcomes([("LP/4-6", "B")]) == {"ONE": ABNORMAL}
    assert found.outcomes(["LP/4-6"]) == {"ONE": DARK}


def test_a_transformer_makes_nothing_whole_of_half_an_input() -> None:
    panels = {
        "LP": panel("UTIL", {"2-4": {"loads": "none"}}),
        "RP": panel("TX", {"1": load("ONE")}, system="120/240"),
    }
    equipment = {"TX": {"kind": "transformer", "fed_from": "LP/2-4", "secondary": "120/240"}}
    found = house(panels=panels, equipment=equipment)
    assert found.outcomes([("LP/2-4", "A")]) == {"ONE": ABNORMAL}
    assert found.outcomes([("LP/2-4", "A"), ("LP/2-4", "B")]) == {"ONE": DARK}
    # Its neutral begins at the secondary.
    assert found.outcomes([("LP/2-4", "N")]) == {}
    assert found.outcomes([("RP/1", "N")]) == {"ONE": DARK}


def standby(neutral: str | None, **more: Any) -> House:
    """Return a house whose generator starts by a battery that LP/1 charges."""
    generator = {"kind": "generator", "system": "208Y/120", "start": "automatic"}
    switch = {"kind": "transfer switch", "normal_from": "LP/2-4-6", "emergency_from": "GP/2-4-6"}
    feeder = {"2-4-6": {"loads": "none"}}
    return house(
        sources=UTILITY | {"GEN": generator | {"depends_on": ["CHARGER"]}},
        panels={
            "LP": panel("UTIL", {"1": load("CHARGER")} | feeder),
            "GP": panel("GEN", feeder),
            "EP": panel("ATS", {"1": load("EXIT"), **more}),
        },
        equipment={
            "ATS": switch | {"operation": "automatic"} | ({"neutral": neutral} if neutral else {})
        },
    )


def test_standby_that_leans_on_what_goes_dark() -> None:
    found = standby(None)
    assert found.outcomes(["LP/1"]) == {"CHARGER": DARK, "EXIT": LESS}
    assert found.impaired(["LP/1"]) == {"GEN"}
    assert found.outcomes(["LP/2-4-6"]) == {"EXIT": BRIEF}
    assert found.impaired(["LP/2-4-6"]) == set()
    assert found.outcomes(["GP/2-4-6"]) == {"EXIT": LESS}


def test_one_phase_lost_ahead_of_a_transfer_switch_makes_it_go_over() -> None:
    found = standby(None, **{"3": load("SIGN")})
    # The sign stands on B. The exit light on A lost nothing, and the switch takes it along.
    assert found.outcomes([("LP/2-4-6", "B")]) == {"SIGN": BRIEF, "EXIT": BRIEF}
    both: list[Opening] = [("LP/2-4-6", "B"), "GP/2-4-6"]
    assert found.outcomes(both) == {"SIGN": DARK, "EXIT": LESS}


@pytest.mark.parametrize("neutral", [None, "switched", "solid"])
def test_a_neutral_goes_on_through_the_closed_side_only(neutral: str | None) -> None:
    # The generator does not run while the utility is there, and its neutral has no origin then.
    assert standby(neutral).outcomes([("LP/2-4-6", "N")]) == {"EXIT": DARK}
    # With the utility lost as well, a neutral lifted ahead of the other side is none of the load's.
    assert standby(neutral).outcomes(["LP/2-4-6", ("LP/2-4-6", "N")]) == {"EXIT": BRIEF}
