"""What a load does to a generator that carries its panel after a transfer, worked by hand."""

from pathlib import Path

import pytest

from recordgen.calc.study.fit import Fit
from recordgen.calc.study.fit_question import FitQuestion
from recordgen.portfolio import Portfolio
from tests.calc.study.test_fit import asked

RECORDS = """
sources:
  UTIL: {kind: utility, system: 208Y/120}
  GEN: {kind: generator, system: 208Y/120, rating: 36 kVA, start: automatic}
panels:
  MSB:
    kind: switchboard
    system: 208Y/120
    fed_from: UTIL
    main: 400 A
    circuits:
      1: {device: {rating: 100 A, poles: 3}}
      2: {device: {rating: 100 A, poles: 3}}
  EDP:
    kind: switchboard
    system: 208Y/120
    fed_from: GEN
    main: lugs
    bus_rating: 200 A
    positions: 4
    circuits:
      1: {device: {rating: 100 A, poles: 3}}
      2: {device: {rating: 100 A, poles: 3}}
      3: space
      4: space
  LP:
    kind: panelboard
    system: 208Y/120
    fed_from: ATS-1
    main: {rating: 100 A, poles: 3}
    positions: 6
    circuits:
      1-3-5: {device: {rating: 60 A, poles: 3}, loads: {M-1: {kind: equipment, power: 12 kVA}}}
      2: space
      4: space
      6: space
  RP:
    kind: panelboard
    system: 208Y/120
    fed_from: ATS-2
    main: {rating: 100 A, poles: 3}
    positions: 6
    circuits:
      1-3-5: {device: {rating: 60 A, poles: 3}, loads: {M-2: {kind: equipment, power: 15 kVA}}}
equipment:
  ATS-1: {kind: transfer switch, rating: 100 A, normal_from: MSB/1, emergency_from: EDP/1}
  ATS-2: {kind: transfer switch, rating: 100 A, normal_from: MSB/2, emergency_from: EDP/2}
"""


@pytest.fixture
def found(tmp_path: Path) -> Portfolio:
    return asked(tmp_path, RECORDS)


def fit(found: Portfolio, va: float, panel: str = "home:LP") -> Fit:
    return found.study.fits.fit(panel, FitQuestion(va, 3))


def test_the_generator_carries_both_transfer_switches(found: Portfolio) -> None:
    """12 and 15 of 36 kVA: 75 % without a load of 6 kVA, 91.7 % with it."""
    one = fit(found, 6_000).upstream[-1]
    assert (one.tag, one.normal, one.others) == ("home:GEN", False, ("home:ATS-1", "home:ATS-2"))
    assert one.before is not None
    assert one.after is not None
    assert one.before.percent == pytest.approx(75)
    assert one.after.percent == pytest.approx(100 * 33 / 36)


def test_what_fits_the_normal_feed_alone_does_not_fit(found: Portfolio) -> None:
    answer = fit(found, 10_000)
    assert {one.answer for one in answer.upstream if one.normal} == {"fits"}
    assert answer.answer == "does not fit"
    # 37 kVA over 208 V.
    assert answer.reasons == (
        "GEN, in another position of the switches: 103 A of generator 36 kVA, 100 A",
    )


def test_a_panel_that_stands_by_is_not_taken_as_empty(found: Portfolio) -> None:
    now, *_ = fit(found, 6_000, "home:EDP").upstream
    assert now.before is not None
    assert now.before.percent == 0
    assert fit(found, 6_000, "home:EDP").answer == "fits"
    assert fit(found, 10_000, "home:EDP").answer == "does not fit"


def test_room_is_what_the_generator_leaves(found: Portfolio) -> None:
    for panel in ("home:LP", "home:EDP"):
        room = found.study.room.of(panel)[-1]
        assert room.largest_va == pytest.approx(9_000)
        assert (room.limited_by, room.normal) == ("home:GEN", False)


def test_a_generator_without_a_rating_leaves_it_open(tmp_path: Path) -> None:
    found = asked(tmp_path, RECORDS.replace("rating: 36 kVA, ", ""))
    answer = fit(found, 6_000)
    assert answer.answer == "not shown"
    assert any("GEN" in reason for reason in answer.reasons)
    assert found.study.room.of("home:LP")[-1].largest_va is None


def test_loads_of_unknown_size_on_the_other_switch_leave_it_open(tmp_path: Path) -> None:
    found = asked(
        tmp_path,
        RECORDS.replace("loads: {M-2: {kind: equipment, power: 15 kVA}}", "loads: unknown"),
    )
    assert fit(found, 6_000).answer == "not shown"


def test_without_another_feed_only_the_normal_state_is_asked(found: Portfolio) -> None:
    assert all(one.normal for one in fit(found, 1_000, "home:MSB").upstream)
