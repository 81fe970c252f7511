"""What a panel carries by phase, worked by hand on the panel of the fit tests."""

from pathlib import Path

import pytest

from recordgen.calc.study.fit_question import FitQuestion
from recordgen.calc.study.phase_share import fullest_with, left_on, sizing_by_leg
from recordgen.portfolio import Portfolio
from tests.calc.study.test_fit import RECORDS, asked

UNEVEN = RECORDS.replace("power: 1.8 kVA", "power: 9.6 kVA")
"""A carries 9.6 + 1.2 + 6 kVA = 140 A, B 0.6 + 6 kVA = 55 A, C 6 kVA = 50 A at 120 V."""


def by_leg(found: Portfolio) -> dict[str, float]:
    study = found.study
    legs = sizing_by_leg(study.loading, study.distribution.elements["home:LP"])
    assert legs is not None
    return dict(legs)


def test_each_phase_by_itself(tmp_path: Path) -> None:
    # 208 V is 0.1 % more than 120 V times the square root of three: three-phase loads draw less.
    assert by_leg(asked(tmp_path, UNEVEN)) == pytest.approx(
        {"A": 16_800 / 120, "B": 6_600 / 120, "C": 6_000 / 120}, rel=0.002
    )


def test_continuous_load_counts_with_its_quarter_on_every_phase(tmp_path: Path) -> None:
    text = UNEVEN.replace("power: 18 kVA", "power: 18 kVA, continuous: yes")
    # 29.4 kVA with a quarter of 18 kVA.
    assert by_leg(asked(tmp_path, text))["A"] == pytest.approx(140 * 33.9 / 29.4, rel=0.002)


def test_a_panel_with_one_full_phase_is_not_said_to_have_room(tmp_path: Path) -> None:
    """29.4 kVA are 81.6 A if balanced, of 100 A, and A carries 140 A."""
    study = asked(tmp_path, UNEVEN).study
    answer = study.fits.fit("home:LP", FitQuestion(1_200, 1))
    assert {one.answer for one in answer.upstream} == {"fits"}
    assert answer.answer == "not shown"
    assert answer.reasons == ("LP: up to 140 A on its fullest phase, main device 100 A",)
    assert {room.largest_va for room in study.room.of("home:LP")} == {0}


UPS = """
  UPS-1: {kind: UPS, rating: 12 kVA, fed_from: MSB/1}
"""


def test_one_phase_of_a_ups_may_be_full_before_the_others(tmp_path: Path) -> None:
    """7.2 kVA on A alone: 60 % of 12 kVA in all, and 180 % of the 4 kVA of a phase."""
    text = (
        RECORDS.replace("power: 18 kVA", "power: 0 VA")
        .replace("power: 1.8 kVA", "power: 6 kVA")
        .replace("power: 600 VA", "power: 0 VA")
        .replace("fed_from: MSB/1\n    main: {rating", "fed_from: UPS-1\n    main: {rating")
    )
    study = asked(tmp_path, f"{text}equipment:{UPS}").study
    ups = study.capacity.of("home:UPS-1").governing
    assert ups is not None
    assert ups.percent == pytest.approx(60, rel=0.01)
    answer = study.fits.fit("home:LP", FitQuestion(1_200, 1))
    assert answer.answer == "not shown"
    assert answer.reasons == ("UPS-1: up to 60 A on its fullest phase, UPS 12 kVA, 33 A",)
    assert {room.largest_va for room in study.room.of("home:LP")} == {0}


def test_room_on_one_pole_is_that_of_the_emptiest_phase_with_a_place() -> None:
    carried = {"A": 90.0, "B": 40.0, "C": 20.0}
    assert left_on(carried, 100, 1, ["A", "B"]) == pytest.approx(60)
    assert left_on(carried, 100, 2, ["AB", "BC"]) == pytest.approx(60)
    assert left_on(carried, 100, 3, ["ABC"]) == pytest.approx(10)
    assert left_on(carried, 100, 2, []) == pytest.approx(60)
    assert left_on({"A": 101.0, "B": 0.0}, 100, 1, ["B"]) == 0
    assert fullest_with(carried, 30, ["A", "C"]) == pytest.approx(90)
    assert fullest_with(carried, 30, [""]) is None
