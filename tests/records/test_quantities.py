"""Units, against the factors of NIST Special Publication 811 (2008), Appendix B.8; from memory.

foot 3.048 E-01 m, inch 2.54 E-02 m, calorie (thermochemical) 4.184 E+00 J, horsepower (electric)
7.46 E+02 W, degree Fahrenheit (t/°F - 32)/1.8 °C, hour 3.6 E+03 s, day 8.64 E+04 s. Prefixes are
those of the SI Brochure (9th edition), table 7. A mean Gregorian year has 146 097/400 days.
"""

import pickle
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from recordgen.records import quantities as q

DAY_MIN = 8.64e4 / 60
YEAR_D = 146_097 / 400
FACTORS: dict[str, tuple[Any, dict[str, float]]] = {
    "Amperes": (q.Amperes, {"A": 1, "kA": 1e3, "mA": 1e-3}),
    "InterruptingAmperes": (
        q.InterruptingAmperes,
        {"kAIC": 1e3, "kA": 1e3, "AIC": 1, "A": 1},
    ),
    "Volts": (q.Volts, {"V": 1, "kV": 1e3, "VAC": 1, "VDC": 1, "mV": 1e-3}),
    "VoltAmperes": (q.VoltAmperes, {"kVA": 1e3, "VA": 1, "MVA": 1e6}),
    "Metres": (
        q.Metres,
        {"ft": 3.048e-1, "in": 2.54e-2, "m": 1, "cm": 1e-2, "mm": 1e-3, "km": 1e3},
    ),
    "Minutes": (
        q.Minutes,
        {"min": 1, "s": 1 / 60, "h": 3.6e3 / 60, "d": DAY_MIN, "ms": 1e-3 / 60},
    ),
    "Days": (
        q.Days,
        {
            "day": 1,
            "days": 1,
            "weeks": 7,
            "month": YEAR_D / 12,
            "months": YEAR_D / 12,
            "year": YEAR_D,
            "years": YEAR_D,
        },
    ),
    "IncidentEnergy": (
        q.IncidentEnergy,
        {"cal/cm2": 1, "cal/cm²": 1, "J/cm2": 1 / 4.184},
    ),
    "LoadPower": (
        q.LoadPower,
        {"VA": 1, "kVA": 1e3, "W": 1, "kW": 1e3, "MW": 1e6, "hp": 7.46e2, "HP": 7.46e2},
    ),
    "Measured": (
        q.Measured,
        {"A": 1, "mA": 1e-3, "kA": 1e3, "V": 1, "mV": 1e-3, "kV": 1e3}
        | {"ohm": 1, "kohm": 1e3, "Mohm": 1e6, "Gohm": 1e9, "mohm": 1e-3}
        | {"Ω": 1, "kΩ": 1e3, "MΩ": 1e6, "GΩ": 1e9, "mΩ": 1e-3}
        | {"s": 1, "ms": 1e-3, "min": 60, "ft": 3.048e-1, "m": 1}
        | {"°C": 1, "C": 1, "K": 1, "%": 1, "Hz": 1, "lx": 1, "": 1},
    ),
}
CASES = [(name, unit) for name, (_, factors) in FACTORS.items() for unit in factors]
numbers = st.decimals(min_value="0.0001", max_value=10**7, places=4, allow_nan=False)


def read(kind: Any, text: str) -> q.Quantity:
    value = TypeAdapter(kind).validate_python(text)
    assert isinstance(value, q.Quantity)
    return value


@pytest.mark.parametrize(("name", "unit"), CASES)
@settings(max_examples=15)
@given(number=numbers)
def test_a_number_is_converted_by_the_published_factor(name: str, unit: str, number: Any) -> None:
    kind, factors = FACTORS[name]
    # 1e-12: a few roundings of binary fractions.
    assert read(kind, f"{number} {unit}") == pytest.approx(
        float(number) * factors[unit], rel=1e-12, abs=1e-300
    )


@given(number=st.decimals(min_value=-40, max_value=2000, places=2, allow_nan=False))
@pytest.mark.parametrize("unit", ["°F", "F", "°f", "f"])
def test_fahrenheit(unit: str, number: Any) -> None:
    # 1e-9 K: the offset cancels near the freezing point.
    expected = (float(number) - 32) / 1.8
    assert read(q.Celsius, f"{number} {unit}") == pytest.approx(expected, rel=1e-12, abs=1e-9)


def test_celsius_is_the_unit_of_temperatures() -> None:
    assert read(q.Celsius, "-12.5 °C") == -12.5
    assert read(q.Celsius, "40c") == 40


@pytest.mark.parametrize(("name", "unit"), CASES)
@settings(max_examples=15)
@given(number=numbers)
def test_a_quantity_remembers_how_it_was_written(name: str, unit: str, number: Any) -> None:
    text = f"{number} {unit}".strip()
    value = read(FACTORS[name][0], f"  {number}   {unit} ")
    assert str(value) == value.written == text
    again = pickle.loads(pickle.dumps(value))  # noqa: S301  # of our own making
    assert (again, again.written) == (value, value.written)
    assert read(FACTORS[name][0], text) == value


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("20A", 20),
        ("1,200 A", 1200),
        ("1,200.5 A", 1200.5),
        (".5 A", 0.5),
        ("+20 A", 20),
        ("20 a", 20),
        ("22 KA", 22000),
    ],
)
def test_ways_to_write_a_number(text: str, value: float) -> None:
    assert read(q.Amperes, text) == value


@pytest.mark.parametrize(
    ("kind", "text", "code"),
    [
        (q.Amperes, "20", "no-unit"),
        (q.Amperes, "", "quantity"),
        (q.Amperes, "A", "quantity"),
        (q.Amperes, "20 20 A", "quantity"),
        (q.Amperes, "1,20 A", "quantity"),
        (q.Amperes, "2O A", "wrong-unit"),
        (q.Amperes, "1e3 A", "wrong-unit"),
        (q.Amperes, "1_000 A", "quantity"),
        (q.Amperes, "nan A", "quantity"),
        (q.Amperes, "inf A", "quantity"),
        (q.Amperes, "9" * 400 + " A", "out-of-range"),
        (q.Amperes, "-1 A", "out-of-range"),
        (q.Measured, "9" * 400, "out-of-range"),
        (q.Percent, "101 %", "out-of-range"),
        (q.Ratio, "6 %", "wrong-unit"),
        # A rating, a voltage or a power factor of zero is no such thing, and divides nothing.
        (q.Amperes, "0 A", "zero"),
        (q.InterruptingAmperes, "0 kAIC", "zero"),
        (q.Volts, "0.0 V", "zero"),
        (q.VoltAmperes, "-0 kVA", "zero"),
        (q.Percent, "0 %", "zero"),
    ],
)
def test_what_is_no_quantity_is_refused(kind: Any, text: str, code: str) -> None:
    with pytest.raises(ValidationError) as caught:
        read(kind, text)
    assert [error["type"] for error in caught.value.errors()] == [code]


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        (q.Measured, "250 MOHM"),
        (q.Measured, "250 M"),
        (q.Measured, "5 mΩs"),
        (q.Volts, "4 MV"),
        (q.LoadPower, "5 mW"),
        (q.VoltAmperes, "5 mVA"),
        (q.Amperes, "5 MA"),
        (q.Metres, "5 MM"),
    ],
)
def test_a_prefix_m_in_another_case_is_not_guessed(kind: Any, text: str) -> None:
    with pytest.raises(ValidationError, match="the unit"):
        read(kind, text)


@pytest.mark.parametrize("value", [20, 20.0, True, None, ["20 A"], {"a": "20 A"}])
def test_only_text_is_read(value: object) -> None:
    with pytest.raises(ValidationError):
        TypeAdapter(q.Amperes).validate_python(value)


def test_shown_is_short_printable_and_on_one_line() -> None:
    assert q.shown("a\n b") == '"a b"'
    assert q.shown("\x1b[2J") == '"<U+001B>[2J"'
    assert q.shown(None) == "nothing"
    assert len(q.shown("x" * 1000)) == 62
