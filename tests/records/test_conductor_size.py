"""Conductor sizes, against the columns of NEC Chapter 9, Table 8 (sizes from 14 AWG to
1000 kcmil and their areas in circular mils), in tests/data/conductor_sizes.csv, and the gauges of
ASTM B258 from memory.
"""

import csv
from pathlib import Path

import pytest
from pydantic import TypeAdapter, ValidationError

from recordgen.records.conductor_size import ConductorSize, Size

TABLE = Path(__file__).parents[1] / "data" / "conductor_sizes.csv"
SIZES = [
    (row["size"], int(row["circular_mils"]))
    for row in csv.DictReader(TABLE.read_text().splitlines())
]


def read(text: object) -> ConductorSize:
    value = TypeAdapter(Size).validate_python(text)
    assert isinstance(value, ConductorSize)
    return value


def test_the_table_is_whole() -> None:
    assert len(SIZES) == 24
    # kcmil is a thousand circular mils; the gauges end at 4/0, which has 211 600.
    assert dict(SIZES)["4/0"] == 211_600


@pytest.mark.parametrize(("size", "circular_mils"), SIZES)
@pytest.mark.parametrize("metal", ["Cu", "Al"])
def test_every_size_of_the_table_is_read(size: str, circular_mils: int, metal: str) -> None:
    unit = "kcmil" if circular_mils > 211_600 else "AWG"
    value = read(f"{size} {unit} {metal}")
    assert (value.number, value.unit, value.metal) == (size, unit, metal)
    assert read(str(value)) == value


@pytest.mark.parametrize("number", [*map(str, range(1, 41)), "1/0", "2/0", "3/0", "4/0"])
def test_every_gauge_is_read(number: str) -> None:
    assert read(f"{number} AWG") == ConductorSize(number, "AWG", None)


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("12awg cu", ConductorSize("12", "AWG", "Cu")),
        ("250 MCM AL", ConductorSize("250", "kcmil", "Al")),
        ("2.5 mm2 Cu", ConductorSize("2.5", "mm2", "Cu")),
        ("16 mm²", ConductorSize("16", "mm2", None)),
    ],
)
def test_other_ways_to_write_it(text: str, size: ConductorSize) -> None:
    assert read(text) == size


@pytest.mark.parametrize(
    "text",
    [
        "12",
        "AWG",
        "#12",
        "0 AWG",
        "5/0 AWG",
        "41 AWG",
        "11.5 AWG",
        "12 AWG Fe",
        "250",
        "",
        "012 AWG",
        "300/0 kcmil",
        "0 kcmil",
        "0.0 mm2",
        None,
        12,
        ["12 AWG"],
    ],
)
def test_what_is_no_size_is_refused(text: object) -> None:
    with pytest.raises(ValidationError):
        read(text)
