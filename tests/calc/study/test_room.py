"""How much more a panel could take, worked by hand."""

from pathlib import Path

import pytest

from recordgen.calc.study.fit_question import FitQuestion
from recordgen.portfolio import Portfolio
from tests.calc.study.test_fit import RECORDS, asked


@pytest.fixture
def found(tmp_path: Path) -> Portfolio:
    return asked(tmp_path, RECORDS)


def test_the_largest_load_on_each_number_of_poles(found: Portfolio) -> None:
    """21.6 kVA are 59.96 A of 100 A if spread evenly: 40.04 A are left, on each conductor.

    A carries 3 + 6 kVA, 75 A: a load on all three poles finds 25 A there.
    """
    one, two, three = found.study.room.of("home:LP")
    left = 100 - 21_600 / (208 * 3**0.5)
    assert one.largest_va == pytest.approx(left * 208 / 3**0.5)
    assert two.largest_va == pytest.approx(left * 208)
    on_a = 100 - 3_000 / 120 - 18_000 / (208 * 3**0.5)
    assert three.largest_va == pytest.approx(on_a * 208 * 3**0.5, rel=0.002)
    assert (three.limited_by, three.limit and three.limit.what) == ("home:LP", "main device")


def test_what_has_room_fits_and_a_little_more_does_not(found: Portfolio) -> None:
    for room in found.study.room.of("home:LP"):
        assert room.largest_va is not None
        for factor, fits in ((0.999, True), (1.01, False)):
            asked_for = FitQuestion(room.largest_va * factor, room.poles)
            answer = found.study.fits.fit("home:LP", asked_for)
            # Whether two poles find a place is not recorded: another reason.
            assert any(" A " in reason for reason in answer.reasons) != fits


def test_a_full_panel_has_none(tmp_path: Path) -> None:
    full = asked(tmp_path, RECORDS.replace("18 kVA", "36 kVA"))
    assert {room.largest_va for room in full.study.room.of("home:LP")} == {0}


def test_without_a_rating_on_the_way_nothing_is_said(tmp_path: Path) -> None:
    text = RECORDS.replace("main: 400 A", "main: lugs")
    rooms = asked(tmp_path, text).study.room.of("home:LP")
    assert {(room.largest_va, room.limited_by) for room in rooms} == {(None, "home:MSB")}


def test_a_recorded_demand_counts_where_it_is_larger(tmp_path: Path) -> None:
    """30 kVA at 125 % are 104 A: more than the breaker, whatever is connected."""
    demand = "{demand: 30 kVA, first_day: 2026-06-01, last_day: 2026-07-10}"
    positions = "    positions: 12\n"
    text = RECORDS.replace(positions, f"{positions}    recorded_demand: {demand}\n")
    assert {room.largest_va for room in asked(tmp_path, text).study.room.of("home:LP")} == {0}


def test_a_panel_without_a_system_has_no_answer(tmp_path: Path) -> None:
    text = RECORDS.replace("system: 208Y/120\n    fed_from: MSB/1", "fed_from: MSB/1")
    assert asked(tmp_path, text).study.room.of("home:LP") == ()
