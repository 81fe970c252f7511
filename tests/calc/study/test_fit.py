"""Whether a load fits, worked by hand on a panel of 208Y/120 V behind a 100 A breaker."""

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.study.fit import Fit
from recordgen.calc.study.fit_question import CannotAsk, FitQuestion, question_of
from recordgen.calc.study.free_positions import free_positions
from recordgen.portfolio import Portfolio
from recordgen.records.supply import Panel
from tests.network.asking import portfolio

RECORDS = """
sources:
  UTIL: {kind: utility, system: 208Y/120}
panels:
  MSB:
    kind: switchboard
    system: 208Y/120
    fed_from: UTIL
    main: 400 A
    circuits: {1: {device: {rating: 100 A, poles: 3}}}
  LP:
    kind: panelboard
    system: 208Y/120
    fed_from: MSB/1
    main: {rating: 100 A, poles: 3}
    bus_rating: 125 A
    positions: 12
    circuits:
      1: {device: 20 A, loads: {ON-A: {kind: other, power: 1.8 kVA}}}
      2: {device: 20 A, loads: {ON-A2: {kind: other, power: 1.2 kVA}}}
      3: {device: 20 A, loads: {ON-B: {kind: other, power: 600 VA}}}
      4: space
      5: {spare: yes, device: 10 A}
      6: space
      7-9-11: {device: 60 A, loads: {M-1: {kind: equipment, power: 18 kVA}}}
"""
CODE = "NEC 2020"


@pytest.fixture
def found(tmp_path: Path) -> Portfolio:
    return asked(tmp_path, RECORDS)


def asked(folder: Path, text: str, code: str = CODE) -> Portfolio:
    return portfolio(folder, text, f", code_edition: {code}")


def fit(found: Portfolio, va: float, poles: int = 1, **more: Any) -> Fit:
    return found.study.fits.fit("home:LP", FitQuestion(va, poles, **more))


def test_the_load_s_own_current_and_device(found: Portfolio) -> None:
    # 7,200 VA on two poles of 208 V: 34.6 A, the next standard rating of 240.6(A) is 35 A.
    answer = fit(found, 7200, 2)
    assert answer.load_a == pytest.approx(7200 / 208)
    assert answer.device_a == 35
    # Continuous: 125 % of 34.6 A is 43.3 A, 45 A.
    assert fit(found, 7200, 2, continuous=True).device_a == 45


def test_places_by_balance(found: Portfolio) -> None:
    """A carries 3.0 + 6 kVA, B 0.6 + 6, C 6: 1.8 kVA on C or B balances best."""
    answer = fit(found, 1800)
    # What is recorded as free comes first; a spare that is too small comes after.
    assert [(p.positions, p.state, p.legs) for p in answer.places] == [
        ("6", "space", "C"),
        ("4", "space", "B"),
        ("5", "spare", "C"),
        ("12", "not recorded", "C"),
        ("10", "not recorded", "B"),
        ("8", "not recorded", "A"),
    ]
    best = answer.places[0]
    # A 9.0, B 6.6, C 7.8 kVA: mean 7.8, the largest deviation 1.2 of it.
    assert (best.legs, best.unbalance_percent) == ("C", pytest.approx(100 * 1.2 / 7.8))


def test_two_poles_need_neighbours_on_one_side(found: Portfolio) -> None:
    assert {p.positions for p in fit(found, 1000, 2).places} == {"4-6", "6-8", "8-10", "10-12"}


def test_everything_upstream_is_reckoned_with_it(found: Portfolio) -> None:
    # 21.6 kVA are 59.96 A of 208 V three-phase; with 6 kVA more 76.6 A.
    answer = fit(found, 6000, 3)
    panel = answer.upstream[0]
    assert panel.after is not None
    assert panel.after.used_a == pytest.approx(27_600 / (208 * 3**0.5), rel=1e-6)
    assert [one.tag for one in answer.upstream] == ["home:LP", "home:MSB/1", "home:MSB"]
    assert [one.after.rating_a for one in answer.upstream if one.after] == [100, 100, 400]


def test_it_does_not_fit_behind_a_full_breaker(found: Portfolio) -> None:
    answer = fit(found, 20_000, 3)
    assert answer.answer == "does not fit"
    assert any("115 A of main device 100 A" in reason for reason in answer.reasons)


def test_it_fits(found: Portfolio) -> None:
    assert fit(found, 1200).answer == "fits"


def test_no_free_place(tmp_path: Path) -> None:
    text = RECORDS.replace("positions: 12", "positions: 11").replace(
        "4: space", "4: {loads: none}\n      8: {loads: none}"
    )
    answer = fit(asked(tmp_path, text), 1000, 3)
    assert answer.answer == "does not fit"
    assert answer.reasons[0] == "LP has no free place for 3 poles"


def test_an_unknown_load_upstream_shows_nothing(tmp_path: Path) -> None:
    feeder = "{rating: 100 A, poles: 3}}"
    text = RECORDS.replace(f"{feeder}}}", f"{feeder}, 2: {{loads: unknown}}}}")
    answer = fit(asked(tmp_path, text), 1200)
    assert answer.answer == "not shown"
    assert answer.reasons == ("MSB: MSB/2, loads: not recorded",)


def test_watts_without_a_power_factor_may_have_half(tmp_path: Path) -> None:
    """18 kW of 100 A could be 36 kVA, too much beside the rest; 1.8 kW could not."""
    much = fit(asked(tmp_path / "a", RECORDS.replace("18 kVA", "18 kW")), 1200)
    little = fit(asked(tmp_path / "b", RECORDS.replace("1.8 kVA", "1.8 kW")), 1200)
    assert (much.answer, little.answer) == ("not shown", "fits")
    assert little.upstream[0].by_watts_w == pytest.approx(1800)


DEMAND = """
    recorded_demand:
      demand: 14 kVA
      first_day: 2026-06-01
      last_day: 2026-07-10
      interval: 15 min
      without_gaps: yes
      heaviest_phase: yes
      occupied: yes
      season_counted: yes
      own_generation: no
"""


def test_a_recorded_demand_decides_at_its_panel(tmp_path: Path) -> None:
    """NEC 220.87 (from memory): 125 % of 38.9 A is 48.6 A, with 38.9 A of 14 kVA more 87.4 A."""
    text = RECORDS.replace("    positions: 12\n", f"    positions: 12{DEMAND}")
    text = text.replace("rating: 100 A, poles: 3}}}\n  LP", "rating: 225 A, poles: 3}}}\n  LP")
    answer = fit(asked(tmp_path, text), 14_000, 3)
    panel = answer.upstream[0]
    assert panel.measured is not None
    assert panel.measured.total_a == pytest.approx(2.25 * 14_000 / (208 * 3**0.5), rel=1e-6)
    assert panel.answer == "fits"
    # By what is connected, 35.6 kVA are 98.8 A.
    assert panel.after is not None
    assert panel.after.percent == pytest.approx(98.8, abs=0.1)


def test_a_recorded_demand_behind_a_generator_of_its_own_decides_nothing(tmp_path: Path) -> None:
    demand = DEMAND.replace("own_generation: no", "own_generation: yes")
    text = RECORDS.replace("    positions: 12\n", f"    positions: 12{demand}")
    answer = fit(asked(tmp_path, text), 1200)
    assert answer.answer == "not shown"
    assert "LP: its recorded demand does not decide (NEC 220.87): " in answer.reasons[0]


@pytest.mark.parametrize(
    ("system", "poles", "words"),
    [
        ("", 1, "LP: its system is not"),
        ("system: 120/240", 3, "3 poles"),
        ("system: 208 delta", 1, "no neutral"),
    ],
)
def test_questions_without_an_answer(tmp_path: Path, system: str, poles: int, words: str) -> None:
    before = "    system: 208Y/120\n    fed_from: MSB/1\n"
    after = f"    {system}\n" * bool(system) + "    fed_from: MSB/1\n"
    with pytest.raises(CannotAsk, match=words):
        fit(asked(tmp_path, RECORDS.replace(before, after)), 1000, poles)


def test_without_an_edition_nothing_is_reckoned(tmp_path: Path) -> None:
    with pytest.raises(CannotAsk, match="code_edition"):
        fit(asked(tmp_path, RECORDS, code="our own rules"), 1000)


@pytest.mark.parametrize(
    ("power", "poles", "kind", "va"),
    [
        ("7.2 kVA", 2, "other", 7200),
        ("1.5 kW", 1, "heating", 1500),
        # NEC table 430.250 (2014): 5 hp at 208 V draws 16.7 A.
        ("5 hp", 3, "motor", 16.7 * 208 * 3**0.5),
    ],
)
def test_what_is_typed(found: Portfolio, power: str, poles: int, kind: Any, va: float) -> None:
    panel = found.study.fits.panel("home:LP")
    assert question_of(panel, power, poles, kind, continuous=False).load_va == pytest.approx(va)


@pytest.mark.parametrize("power", ["much", "5", "0 VA", "-3 kVA", "7 hp"])
def test_what_cannot_be_read(found: Portfolio, power: str) -> None:
    with pytest.raises(CannotAsk):
        question_of(found.study.fits.panel("home:LP"), power, 1, "motor", continuous=False)


def test_a_switchboard_offers_its_spares_and_spaces() -> None:
    device = {"rating": "100 A", "poles": "3"}
    circuits = {"1": {"device": device}, "2": {"spare": "yes", "device": device}, "3": "space"}
    panel = Panel.model_validate({"kind": "switchboard", "positions": "4", "circuits": circuits})
    assert list(map(str, free_positions(panel, 3))) == ["2", "3"]
    assert list(map(str, free_positions(panel, 1))) == ["3"]


@given(st.integers(1, 84), st.integers(1, 3), st.sampled_from(["odd left", "down the columns"]))
def test_free_positions_of_an_empty_panel(positions: int, poles: int, numbering: str) -> None:
    """Every place keeps to one column, and there are as many as fit into both."""
    panel = Panel.model_validate(
        {"kind": "panelboard", "positions": str(positions), "numbering": numbering}
    )
    found = free_positions(panel, poles)
    left, right = (positions + 1) // 2, positions // 2
    assert len(found) == max(0, left - poles + 1) + max(0, right - poles + 1)
