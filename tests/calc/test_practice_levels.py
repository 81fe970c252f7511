"""Levels of common practice say so, and are read by their names."""

import pytest

from recordgen.calc.practice_levels import practice_level
from recordgen.calc.published import rows


def test_every_level_has_a_unit_and_a_source() -> None:
    for row in rows("practice_levels"):
        assert set(row) == {"level", "value", "unit", "source"}
        assert all(row.values())


# NEMA MG 1, 12.44 (from memory): motors run within 10 % of their own voltage.
def test_a_level_is_read_by_its_name() -> None:
    assert practice_level("nameplate voltage") == 10


def test_an_unknown_level_is_refused() -> None:
    with pytest.raises(KeyError):
        practice_level("nothing")
