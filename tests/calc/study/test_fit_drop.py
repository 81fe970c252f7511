"""What one more load does to the voltage, against Ohm's law."""

from pathlib import Path

import pytest

from recordgen.calc.answer import NoValue, Value
from recordgen.calc.conductor_impedance import impedance_per_km
from recordgen.calc.study.fit import Fit
from recordgen.calc.study.fit_question import CannotAsk, FitQuestion, conductors_of
from recordgen.portfolio import Portfolio
from recordgen.records.conductor_size import read_conductor_size
from tests.calc.study.test_fit import RECORDS, asked

FEEDER = "feeder: {size: 3 AWG Cu, neutral: 3 AWG Cu, raceway: 1 in EMT, length: 100 ft}"
LENGTH_KM = 0.03048
OHM = abs(impedance_per_km(read_conductor_size("3 AWG Cu"), "steel")) * LENGTH_KM


@pytest.fixture
def found(tmp_path: Path) -> Portfolio:
    text = RECORDS.replace("    fed_from: MSB/1\n", f"    fed_from: MSB/1\n    {FEEDER}\n")
    service = "fed_from: UTIL\n    feeder: {size: 500 kcmil Cu, raceway: 3 in PVC, length: 1 mm}"
    return asked(tmp_path, text.replace("fed_from: UTIL", service))


def fit(found: Portfolio, va: float, poles: int, *own: str) -> Fit:
    conductors = conductors_of(*own) if own else None
    return found.study.fits.fit("home:LP", FitQuestion(va, poles), conductors)


@pytest.mark.parametrize(
    ("va", "poles", "percent"),
    [
        # 10 A there and back on 120 V; 10 A there and back on 208 V; √3 · 10 A on 208 V.
        (1200, 1, 100 * 2 * 10 * OHM / 120),
        (2080, 2, 100 * 2 * 10 * OHM / 208),
        (2080 * 3**0.5, 3, 100 * 3**0.5 * 10 * OHM / 208),
    ],
)
def test_what_is_added_on_the_feeder(
    found: Portfolio, va: float, poles: int, percent: float
) -> None:
    added = fit(found, va, poles).drop.added
    assert isinstance(added, Value)
    # 208 V are 120.09 V to neutral, and a millimetre of the service is there too.
    assert added.amount == pytest.approx(percent, rel=2e-3)


def test_the_load_s_own_circuit(found: Portfolio) -> None:
    """12 AWG copper in steel, table 9: 2.0 and 0.068 ohm per 1000 ft; 10 A over 80 ft at 120 V."""
    drop = fit(found, 1200, 1, "12 AWG Cu", "80 ft", "3/4 in EMT").drop
    assert isinstance(drop.branch, Value)
    expected = 100 * 2 * 10 * abs(complex(2.0, 0.068)) * 0.08 / 120
    assert drop.branch.amount == pytest.approx(expected, rel=1e-6)
    assert isinstance(drop.before, Value)
    assert isinstance(drop.added, Value)
    assert drop.total_percent == pytest.approx(
        drop.before.amount + drop.added.amount + drop.branch.amount
    )


def test_a_larger_load_drops_more(found: Portfolio) -> None:
    small, large = (fit(found, va, 2).drop.added for va in (1000, 2000))
    assert isinstance(small, Value)
    assert isinstance(large, Value)
    assert large.amount == pytest.approx(2 * small.amount)


def test_unknown_conductors_are_named(tmp_path: Path) -> None:
    drop = fit(asked(tmp_path, RECORDS), 1200, 1).drop
    assert isinstance(drop.added, NoValue)
    assert "MSB/1, conductors: not recorded" in [str(need) for need in drop.added.needs]
    assert drop.total_percent is None


@pytest.mark.parametrize(
    "own", [("12 Cu", "80 ft", "EMT"), ("12 AWG Cu", "80", "EMT"), ("11 AWG Cu", "x", "EMT")]
)
def test_conductors_that_cannot_be_read(own: tuple[str, str, str]) -> None:
    with pytest.raises(CannotAsk):
        conductors_of(*own)
