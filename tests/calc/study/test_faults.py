from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from recordgen.calc.answer import NoValue
from tests.calc.study.fault_records import REFERENCE, amount, largest, needs, study

SERVICE = """
sources:
  UTIL: {kind: utility, system: 480Y/277, available_fault_current: 20 kA, x_over_r: 5}
  GEN: {kind: generator, system: 480Y/277, available_fault_current: 2 kA, x_over_r: 8}
panels:
  MSB:
    kind: switchboard
    system: 480Y/277
    fed_from: UTIL
    feeder: {size: 350 kcmil Cu, neutral: 350 kcmil Cu, raceway: PVC, length: 50 ft}
    circuits:
      1: {device: {rating: 200 A, poles: 3}}
      2: {device: {rating: 100 A, poles: 3}}
  EDP:
    kind: switchboard
    system: 480Y/277
    fed_from: GEN
    feeder: {size: 3/0 AWG Cu, neutral: 3/0 AWG Cu, raceway: PVC, length: 50 ft}
    circuits:
      1:
        device: {rating: 200 A, poles: 3}
        conductors: {size: 3/0 AWG Cu, neutral: 3/0 AWG Cu, raceway: EMT, length: 20 ft}
  EP:
    kind: panelboard
    system: 480Y/277
    fed_from: ATS
    feeder: {size: 3/0 AWG Cu, neutral: 3/0 AWG Cu, raceway: EMT, length: 30 ft}
    circuits:
      1-3-5: {device: {rating: 20 A, poles: 3}}
equipment:
  ATS:
    kind: transfer switch
    normal_from: MSB/1
    emergency_from: EDP/1
    conductors: {size: 3/0 AWG Cu, neutral: 3/0 AWG Cu, raceway: EMT, length: 40 ft}
"""


def test_the_reference_case_comes_out(tmp_path: Path) -> None:
    """Complex impedances by hand, the same from OpenDSS; rounded to whole amperes."""
    found = study(tmp_path, REFERENCE, 75)
    assert amount(largest(found, "T-1").three_phase_a) == pytest.approx(5369, abs=0.6)
    panel = largest(found, "LP")
    assert amount(panel.three_phase_a) == pytest.approx(3235, abs=0.6)
    assert amount(panel.line_to_neutral_a) == pytest.approx(2280, abs=0.6)
    assert amount(largest(found, "LP/1").line_to_neutral_a) == pytest.approx(347, abs=0.6)


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 400), st.integers(1, 200))
def test_longer_conductors_never_let_more_through(
    tmp_path_factory: pytest.TempPathFactory, feet: int, longer: int
) -> None:
    def currents(length: int) -> tuple[float, ...]:
        text = REFERENCE.replace("length: 100 ft", f"length: {length} ft")
        found = study(tmp_path_factory.mktemp("run"), text)
        panel, end = largest(found, "LP"), largest(found, "LP/1")
        answers = (panel.three_phase_a, panel.line_to_neutral_a, end.line_to_neutral_a)
        return tuple(map(amount, answers))

    short, long = currents(feet), currents(feet + longer)
    assert all(b < a for a, b in zip(short, long, strict=True))


def test_the_method_for_checks_by_hand_stands_beside(tmp_path: Path) -> None:
    """The same case by the point-to-point method: -0.8 % at the transformer, +2.3 % at the panel.

    Percentages as they were worked out beforehand, to one digit.
    """
    found = study(tmp_path, REFERENCE, 75)
    for tag, off in (("T-1", -0.8), ("LP", 2.3)):
        here = largest(found, tag)
        ratio = amount(here.point_to_point_a) / amount(here.three_phase_a)
        assert (ratio - 1) * 100 == pytest.approx(off, abs=0.06)


def test_a_fault_needs_the_conductors_it_is_between(tmp_path: Path) -> None:
    found = study(tmp_path, REFERENCE)
    one, two = largest(found, "LP/1"), largest(found, "LP/2-4")
    assert one.three_phase_a is None
    assert one.line_to_line_a is None
    assert two.three_phase_a is None
    assert needs(two.line_to_neutral_a) == ["LP/2-4, neutral of the conductors: not recorded"]
    # Two lines of a three-phase system: √3/2 of the three-phase current (symmetrical components).
    panel = largest(found, "LP")
    assert amount(panel.line_to_line_a) == pytest.approx(amount(panel.three_phase_a) * 3**0.5 / 2)


def test_a_device_stands_at_its_panel_and_a_circuit_ends_beyond(tmp_path: Path) -> None:
    found = study(tmp_path, REFERENCE)
    answer = found.at("home:LP/6")
    assert answer.bus == "home:LP"
    assert needs(answer.largest.line_to_neutral_a) == ["LP/6, conductors: not recorded"]
    # Whatever its conductors are, they let through no more than the panel has.
    assert answer.largest.most_a == pytest.approx(amount(largest(found, "LP").line_to_neutral_a))


def test_cold_conductors_let_more_through_and_the_inputs_say_how_warm_they_are(
    tmp_path: Path,
) -> None:
    cold, warm = study(tmp_path / "a", REFERENCE), study(tmp_path / "b", REFERENCE, 75)
    assert amount(largest(cold, "LP").three_phase_a) > amount(largest(warm, "LP").three_phase_a)
    value = largest(cold, "LP").three_phase_a
    assert not isinstance(value, NoValue)
    assert value is not None
    said = {(one.name, one.value, one.origin) for one in value.inputs}
    assert ("conductor temperature", "25 °C", "assumed") in said
    assert ("available fault current", "22 kA", "recorded") in said
    assert ("impedance", "3.5 %", "recorded") in said


@pytest.mark.parametrize(
    ("leave_out", "need"),
    [
        ("    available_fault_current: 22 kA\n", "UTIL, available_fault_current: not recorded"),
        ("    x_over_r: 6\n", "UTIL, x_over_r: not recorded"),
        ("    rating: 75 kVA\n", "T-1, rating: not recorded"),
        ("    impedance: 3.5 %\n", "T-1, impedance: not recorded"),
        ("    x_over_r: 1.5\n", "T-1, x_over_r: not recorded"),
        ("    primary: 480 delta\n", "T-1, primary: not recorded"),
        ("    secondary: 208Y/120\n", "T-1, secondary: not recorded"),
        ("length: 100 ft", "LP, length of the conductors: not recorded"),
    ],
)
def test_what_is_not_recorded_is_named_and_bounded(
    tmp_path: Path, leave_out: str, need: str
) -> None:
    assert REFERENCE.count(leave_out) == 1
    whole = study(tmp_path / "whole", REFERENCE)
    less = study(tmp_path / "less", REFERENCE.replace(leave_out, ""))
    here = largest(less, "LP")
    assert need in needs(here.three_phase_a)
    assert need in needs(here.x_over_r)
    if here.most_a is not None:  # the bound holds for what the record would have said
        assert here.most_a >= amount(largest(whole, "LP").largest_a)


def test_only_the_fault_to_neutral_needs_the_neutral_and_the_connection(tmp_path: Path) -> None:
    text = REFERENCE.replace("neutral: 1 AWG Cu, ", "").replace("    connection: delta-wye\n", "")
    here = largest(study(tmp_path, text, 75), "LP")
    assert amount(here.three_phase_a) == pytest.approx(3235, abs=0.6)
    assert needs(here.line_to_neutral_a) == [
        "T-1, connection: not recorded",
        "LP, neutral of the conductors: not recorded",
    ]
    assert here.most_a is not None
    assert here.most_a >= 3235  # what a fault to neutral may draw is bounded too


def test_a_transformer_that_does_not_fit_its_feed_gives_nothing(tmp_path: Path) -> None:
    text = REFERENCE.replace("primary: 480 delta", "primary: 240 delta")
    (need,) = needs(largest(study(tmp_path, text), "LP").three_phase_a)
    assert need.startswith("T-1, primary: 240 delta does not fit the 480 V")


def test_ratings_must_hold_for_the_larger_of_utility_and_generator(tmp_path: Path) -> None:
    found = study(tmp_path, SERVICE)
    answer = found.at("home:EP")
    assert answer.normal is not None
    assert (answer.normal.source, answer.largest.source) == ("home:UTIL", "home:UTIL")
    assert answer.largest.line_to_neutral_a == answer.normal.line_to_neutral_a
    # In the normal state nothing supplies the board of the generator.
    assert found.at("home:EDP").normal is None
    assert largest(found, "EDP").source == "home:GEN"


def test_the_generator_counts_where_it_is_the_larger(tmp_path: Path) -> None:
    text = SERVICE.replace("20 kA", "1 kA").replace("2 kA", "30 kA")
    found = study(tmp_path, text)
    answer = found.at("home:EP")
    assert answer.normal is not None
    assert (answer.normal.source, answer.largest.source) == ("home:UTIL", "home:GEN")
    assert amount(answer.largest.three_phase_a) > 5 * amount(answer.normal.three_phase_a)
    # The utility's current to neutral is known, but the generator's, which may be more, is not.
    assert needs(answer.largest.line_to_neutral_a)[0].startswith("GEN, fault current to neutral")


def test_an_unknown_way_that_may_give_more_makes_the_largest_an_at_least(tmp_path: Path) -> None:
    text = SERVICE.replace("available_fault_current: 2 kA, ", "")
    found = study(tmp_path, text)
    answer = found.at("home:EP").largest
    assert needs(answer.three_phase_a) == ["GEN, available_fault_current: not recorded"]
    assert amount(answer.three_phase_a) > 0
    # 30 kA of the utility stands against 2 kA: a way that cannot give more is not named.
    assert needs(largest(study(tmp_path / "b", SERVICE), "EP").three_phase_a) == []


def test_a_source_of_unknown_system_is_not_left_out(tmp_path: Path) -> None:
    text = SERVICE.replace("kind: generator, system: 480Y/277,", "kind: generator,")
    found = study(tmp_path, text)
    here = largest(found, "EP")
    assert needs(here.three_phase_a) == ["GEN, system: not recorded"]
    assert needs(here.line_to_neutral_a) == ["GEN, system: not recorded"]
    assert here.most_a is None
    normal = found.at("home:EP").normal
    assert normal is not None
    assert needs(normal.three_phase_a) == []
    assert needs(largest(found, "EDP").three_phase_a) == ["GEN, system: not recorded"]


def test_temporary_feeds_and_ties_count_for_the_largest_alone(tmp_path: Path) -> None:
    more = """
  SMALL:
    kind: panelboard
    system: 480Y/277
    fed_from: EDP/1
    feeder: {size: 3/0 AWG Cu, neutral: 3/0 AWG Cu, raceway: EMT, length: 30 ft}
"""
    base = SERVICE.replace("equipment:", more + "equipment:")
    temporary = base.replace(
        "  SMALL:\n",
        "  SMALL:\n    temporary_feeds: [{fed_from: MSB/2, since: 2026-01-01}]\n",
    ).replace(
        "      2: {device: {rating: 100 A, poles: 3}}",
        "      2: {device: {rating: 100 A, poles: 3}, conductors: "
        "{size: 1 AWG Cu, neutral: 1 AWG Cu, raceway: EMT, length: 80 ft}}",
    )
    tied = base + "  TIE: {kind: bus tie, between: [MSB, SMALL]}\n"
    plain = amount(largest(study(tmp_path / "a", base), "SMALL").three_phase_a)
    for name, text in (("b", temporary), ("c", tied)):
        here = largest(study(tmp_path / name, text), "SMALL")
        assert here.source == "home:UTIL"
        assert amount(here.three_phase_a) > 3 * plain
    # A tie without conductors joins the buses: what the one has, the other has.
    found = study(tmp_path / "d", tied)
    assert amount(largest(found, "SMALL").three_phase_a) == pytest.approx(
        amount(largest(found, "MSB").three_phase_a)
    )


def test_rings_of_ties_come_to_rest(tmp_path: Path) -> None:
    ties = "".join(
        f"  TIE-{a}-{b}: {{kind: bus tie, between: [{a}, {b}]}}\n"
        for a, b in pairwise(("MSB", "EDP", "EP", "MSB"))
    )
    found = study(tmp_path, SERVICE + ties)
    assert {largest(found, tag).source for tag in ("MSB", "EDP", "EP")} == {"home:UTIL"}


UPS = """
  UPS-1:
    kind: UPS
    fed_from: MSB/1
    conductors: {size: 3 AWG Cu, raceway: EMT, length: 60 ft}
"""
BEHIND = """
  UP:
    kind: panelboard
    system: 480Y/277
    fed_from: UPS-1
    feeder: {size: 3 AWG Cu, neutral: 3 AWG Cu, raceway: EMT, length: 10 ft}
"""


@pytest.mark.parametrize("bypass", [True, False])
def test_behind_a_ups_counts_what_its_bypass_passes(tmp_path: Path, bypass: bool) -> None:
    ups = UPS + "    static_bypass_from: MSB/2\n" if bypass else UPS
    text = SERVICE.replace("equipment:", BEHIND + "equipment:").replace(
        "      2: {device: {rating: 100 A, poles: 3}}",
        "      2: {device: {rating: 100 A, poles: 3}, conductors: "
        "{size: 3 AWG Cu, neutral: 3 AWG Cu, raceway: EMT, length: 80 ft}}",
    )
    here = largest(study(tmp_path, text + ups), "UP")
    if not bypass:
        (need,) = needs(here.three_phase_a)
        assert need == "UPS-1, output fault current: a UPS limits it; ask its maker"
        assert here.most_a is None
        return
    value = here.three_phase_a
    assert amount(value) > 0
    assert value is not None
    assert not isinstance(value, NoValue)
    assert "the static bypass of UPS-1" in {one.value for one in value.inputs}
    # 80 ft of the bypass, and not the 60 ft of the input.
    assert [one.value for one in value.inputs if one.name == "length"] == [
        "50 ft",
        "80 ft",
        "10 ft",
    ]


def test_what_the_record_gives_stands_apart(tmp_path: Path) -> None:
    text = SERVICE.replace(
        "    fed_from: UTIL\n",
        "    fed_from: UTIL\n    recorded_fault: {current: 18 kA, by: study}\n",
    )
    found = study(tmp_path, text)
    answer = found.at("home:MSB")
    assert amount(answer.recorded_a) == 18_000
    assert amount(answer.recorded_a) != pytest.approx(amount(answer.largest.largest_a), rel=1e-3)
    assert amount(found.at("home:UTIL").recorded_a) == 20_000
    assert found.at("home:EP").recorded_a is None


HOUSE = """
sources:
  UTIL: {kind: utility, system: 120/240, available_fault_current: 10 kA, x_over_r: 1.5}
panels:
  LC:
    kind: load centre
    system: 120/240
    fed_from: UTIL
    feeder: {size: 4/0 AWG Al, neutral: 2/0 AWG Al, raceway: PVC, length: 60 ft}
    circuits:
      1: {device: 20 A, conductors: {size: 12 AWG Cu, raceway: PVC, length: 50 ft}}
"""


def test_a_single_phase_service_draws_more_to_neutral_at_its_terminals(tmp_path: Path) -> None:
    """Common practice: 1.33 times by resistance alone, 1.67 by reactance alone."""
    found = study(tmp_path, HOUSE)
    at_source = largest(found, "UTIL")
    assert at_source.three_phase_a is None
    assert amount(at_source.line_to_line_a) == pytest.approx(10_000)
    assert 1.33 < amount(at_source.line_to_neutral_a) / 10_000 < 1.67
    panel = largest(found, "LC")
    assert amount(panel.point_to_point_a) == pytest.approx(amount(panel.line_to_line_a), rel=0.05)
    assert largest(found, "LC/1").line_to_line_a is None
    assert amount(largest(found, "LC/1").line_to_neutral_a) < amount(panel.line_to_neutral_a)


def test_of_a_high_leg_delta_nothing_is_said_to_neutral(tmp_path: Path) -> None:
    text = HOUSE.replace("system: 120/240", "system: 240/120 high-leg delta")
    here = largest(study(tmp_path, text), "LC")
    assert amount(here.three_phase_a) > 0
    (need,) = needs(here.line_to_neutral_a)
    assert need == "UTIL, system: a fault to neutral of a high-leg delta is not calculated"
    assert here.most_a is None or here.most_a > amount(here.three_phase_a)


def test_an_inverter_is_no_impedance(tmp_path: Path) -> None:
    text = HOUSE.replace("kind: utility", "kind: battery storage")
    (need, *_) = needs(largest(study(tmp_path, text), "LC").line_to_line_a)
    assert need.startswith("UTIL, available_fault_current: an inverter limits it")


def test_feeds_that_act_side_by_side_are_said_of_all_that_hangs_on_them(tmp_path: Path) -> None:
    text = SERVICE.replace("    emergency_from:", "    transition: closed\n    emergency_from:")
    found = study(tmp_path, text)
    note = "ATS joins both sides while it transfers: one side at a time is counted"
    assert found.at("home:EP").notes == found.at("home:EP/1-3-5").notes == (note,)
    assert found.at("home:MSB").notes == ()
    tie = "  TIE: {kind: bus tie, between: [MSB, EDP], normal: closed}\n"
    (note,) = study(tmp_path / "tied", SERVICE + tie).at("home:MSB").notes
    assert note == "bus tie TIE stands closed: one side at a time is counted"
