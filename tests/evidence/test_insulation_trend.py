"""Trend of insulation resistance against corrections worked out by hand.

The rule: half for each 10 °C warmer (IEEE 43 for thermoplastic insulation, from memory), so that
40 MΩ at 30 °C are 80 MΩ at 20 °C. That a factor of two is no change is a rule of our own.
"""

import datetime as dt
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.evidence.insulation_trend import (
    InsulationTrend,
    at_base,
    insulation_trends,
    megohms,
    same_test,
)
from recordgen.portfolio import load_portfolio
from recordgen.records.field import Measurement
from tests.network.asking import AS_OF, portfolio

HOUSE = """
sources: {UTIL: {kind: utility}}
panels: {LP-1: {kind: panelboard, SYSTEM main: lugs, fed_from: UTIL, circuits: {1: {device: 20 A}}}}
faults:
  F-1:
    kind: ground fault
    circuit: LP-1/1
    description: trips
    steps:
"""


def measured(value: str, temperature: str | None = "20 C", **more: str) -> Measurement:
    fields = {"between": "hot to ground", "test_voltage": "500 V", **more}
    if temperature:
        fields["temperature"] = temperature
    return Measurement.model_validate(
        {"quantity": "insulation resistance", "value": value, **fields}
    )


def trends(
    folder: Path, *tests: tuple[str, str], system: str = "", base_c: float = 20
) -> tuple[InsulationTrend, ...]:
    """Return the trends of tests, each a value and what else is recorded, a month apart."""
    steps = "".join(
        f"      - {{step: found, date: 2026-{month:02}-01, by: JD, measured: "
        f"{{quantity: insulation resistance, value: {value}, {more}}}}}\n"
        for month, (value, more) in enumerate(tests, 1)
    )
    records = HOUSE.replace("SYSTEM", f"system: {system}," if system else "") + steps
    return insulation_trends(portfolio(folder, records).buildings, base_c)


LIKE = "between: hot to ground, test_voltage: 500 V"


@pytest.mark.parametrize(
    ("value", "temperature", "base_c", "expected"),
    [
        ("40 Mohm", "30 C", 20, 80),
        ("40 Mohm", "30 C", 40, 20),
        ("500 kohm", "20 C", 20, 0.5),
        ("2 GΩ", "10 C", 20, 1000),
        ("0 Mohm", None, 20, 0),  # nothing is nothing at any temperature
        ("40 Mohm", None, 20, None),
        ("40 Mohm", "130 C", 20, None),  # the rule ends at 110 °C
        ("40", "30 C", 20, None),  # of which unit?
        ("40 V", "30 C", 20, None),
    ],
)
def test_one_temperature_for_all(
    value: str, temperature: str | None, base_c: float, expected: float | None
) -> None:
    assert at_base(measured(value, temperature), base_c) == expected


def test_only_insulation_resistance_counts() -> None:
    other = Measurement.model_validate({"quantity": "resistance", "value": "5 Mohm"})
    assert megohms(other) is None


@pytest.mark.parametrize(
    ("tests", "verdict", "ratio"),
    [
        # At 20 °C: 80 and 39 MΩ.
        ([("40 Mohm", "30 C"), ("39 Mohm", "20 C")], "falling", 0.4875),
        # At 20 °C: 80 and 41 MΩ; a drop of less than a factor of two.
        ([("40 Mohm", "30 C"), ("41 Mohm", "20 C")], "no clear change", 0.5125),
        ([("40 Mohm", "20 C"), ("80 Mohm", "20 C")], "rising", 2.0),
        # As measured it rises, yet it is colder: 40 and 12.5 MΩ.
        ([("40 Mohm", "20 C"), ("50 Mohm", "0 C")], "falling", 0.3125),
        # From bad, repaired, to bad again.
        ([("1 Mohm", "20 C"), ("400 Mohm", "20 C"), ("100 Mohm", "20 C")], "falling", 0.25),
        ([("400 Mohm", "20 C"), ("0 Mohm", "20 C")], "falling", 0.0),
        ([("0 Mohm", "20 C"), ("400 Mohm", "20 C")], "rising", None),
        ([("0 Mohm", "20 C"), ("0 Mohm", "20 C")], "no clear change", None),
        ([("40 Mohm", "20 C")], "not enough", None),
    ],
)
def test_what_the_corrected_values_say(
    tmp_path: Path, tests: list[tuple[str, str]], verdict: str, ratio: float | None
) -> None:
    (found,) = trends(tmp_path, *((value, f"{LIKE}, temperature: {c}") for value, c in tests))
    assert found.verdict == verdict
    assert found.ratio == (None if ratio is None else pytest.approx(ratio))


def test_a_last_test_without_its_temperature_is_not_enough(tmp_path: Path) -> None:
    warm = f"{LIKE}, temperature: 20 C"
    (found,) = trends(tmp_path, ("40 Mohm", warm), ("30 Mohm", warm), ("1 Mohm", LIKE))
    assert (found.verdict, found.below_minimum) == ("not enough", None)
    assert "1 left out" in found.reasons[0]
    assert found.next


def test_where_only_the_correction_turns_it_that_is_said(tmp_path: Path) -> None:
    tests = [("40 Mohm", f"{LIKE}, temperature: 20 C"), ("50 Mohm", f"{LIKE}, temperature: 0 C")]
    (found,) = trends(tmp_path, *tests)
    assert any("as measured it was 40 and then 50 MΩ" in reason for reason in found.reasons)


@pytest.mark.parametrize(
    "other",
    [
        "between: neutral to ground, test_voltage: 500 V",
        "between: hot to ground, test_voltage: 1000 V",
    ],
)
def test_other_tests_are_a_series_of_their_own(tmp_path: Path, other: str) -> None:
    found = trends(
        tmp_path,
        ("40 Mohm", f"{LIKE}, temperature: 20 C"),
        ("1 Mohm", f"{other}, temperature: 20 C"),
    )
    assert [trend.verdict for trend in found] == ["not enough", "not enough"]


def test_without_what_was_tested_nothing_is_compared(tmp_path: Path) -> None:
    tests = [("40 Mohm", "temperature: 20 C"), ("1 Mohm", "temperature: 20 C")]
    (found,) = trends(tmp_path, *tests)
    assert found.verdict == "not enough"
    assert "between what" in found.reasons[0]
    bare = Measurement.model_validate({"quantity": "insulation resistance", "value": "1 Mohm"})
    assert not same_test(bare, bare)
    assert same_test(measured("1 Mohm"), measured("2 Mohm", between="Hot  to ground"))


# NETA table 100.1, from memory: 25 MΩ up to 250 V, 100 MΩ up to 600 V, at 20 °C.
@pytest.mark.parametrize(
    ("system", "base_c", "below"),
    [("208Y/120", 20, False), ("480Y/277", 20, True), ("", 20, None), ("480Y/277", 40, None)],
)
def test_the_last_is_held_against_a_published_minimum(
    tmp_path: Path, system: str, base_c: float, below: bool | None
) -> None:
    test = ("40 Mohm", f"{LIKE}, temperature: 20 C")
    (found,) = trends(tmp_path, test, system=system, base_c=base_c)
    assert found.below_minimum is below


def test_another_base_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="20 and 40"):
        trends(tmp_path, ("40 Mohm", LIKE), base_c=25)


@given(
    st.lists(
        st.tuples(st.floats(0.01, 1000), st.floats(0, 40)).map(lambda t: (round(t[0], 2), t[1])),
        min_size=1,
        max_size=4,
    )
)
def test_the_base_changes_the_figures_and_not_their_ratios(
    tests: list[tuple[float, float]],
) -> None:
    at = [
        [
            at_base(measured(f"{value} Mohm", f"{temperature:.1f} C"), base)
            for value, temperature in tests
        ]
        for base in (20, 40)
    ]
    for cold, warm in zip(*at, strict=True):
        assert cold is not None
        assert warm is not None
        assert cold == pytest.approx(4 * warm)


def test_the_run_that_gets_wet_is_falling_in_the_demo() -> None:
    """Worked by hand: 220 MΩ at 14 °C are 145, 19 MΩ at 12 °C are 10.9 MΩ at 20 °C."""
    folder = Path(__file__).parents[2] / "buildings"
    found = insulation_trends(load_portfolio(folder, AS_OF).buildings)
    (trend,) = (t for t in found if (t.circuit, t.between) == ("clinic:HP-1/12", "phase to ground"))
    assert (trend.verdict, trend.below_minimum) == ("falling", True)
    corrected = [point.corrected_megohm for point in trend.points]
    assert corrected == pytest.approx([145.1, 15.8, 10.9], abs=0.05)
    assert trend.points[0].date == dt.date(2024, 9, 30)
