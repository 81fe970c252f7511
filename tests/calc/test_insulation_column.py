"""Columns of insulation types: NEC table 310.4(A), from memory."""

import pytest

from recordgen.calc.insulation_column import insulation_column_c, known_column


@pytest.mark.parametrize(
    ("text", "column_c"),
    [
        ("TW", 60),
        ("THW", 75),
        ("THWN", 75),
        ("XHHW", 75),
        ("RHW", 75),
        ("USE", 75),
        ("THHN", 90),
        ("THWN-2", 90),
        ("XHHW-2", 90),
        ("RHW-2", 90),
        ("xhhw-2", 90),
        ("600 V THWN-2", 90),
        ("type THW wire", 75),
        # Of several the lowest: nothing says that the place is dry.
        ("THHN/THWN", 75),
        ("THHN/THWN-2", 90),
        ("THHN, TW", 60),
        ("THHN or THWN", 75),
        # 334.80, 340.80: the cable has 60 °C, whatever its conductors.
        ("NM-B", 60),
        ("UF-B", 60),
    ],
)
def test_types_have_their_column(text: str, column_c: int) -> None:
    assert insulation_column_c(text) == column_c


@pytest.mark.parametrize(
    "text",
    [
        "",
        "wire",
        "portable power cable",
        "cloth-covered rubber",
        "THHN, part cloth-covered",
        "THQN",
    ],
)
def test_one_word_that_is_not_understood_makes_it_unknown(text: str) -> None:
    assert insulation_column_c(text) is None


def test_the_table_has_three_columns() -> None:
    assert [known_column(column) for column in (60, 75, 90)] == [60, 75, 90]
    with pytest.raises(ValueError, match="70 °C is no column"):
        known_column(70)
