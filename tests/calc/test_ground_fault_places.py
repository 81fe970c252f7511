"""Places and circuits of NEC 210.8(B), from memory, over its editions."""

import typing

import pytest

from recordgen.calc.ground_fault_places import ground_fault_circuit, ground_fault_clause
from recordgen.calc.load_rules import EDITIONS
from recordgen.calc.published import rows
from recordgen.records.building import RoomLocation


def test_every_place_is_a_word_that_rooms_know() -> None:
    places = [row["place"] for row in rows("ground_fault_places")]
    assert len(set(places)) == len(places)
    assert set(places) == set(typing.get_args(RoomLocation))


def test_no_edition_drops_a_place() -> None:
    for place in typing.get_args(RoomLocation):
        asked = [ground_fault_clause(place, edition) is not None for edition in EDITIONS]
        assert asked == sorted(asked)
        assert asked[-1]


def test_an_unknown_place_is_refused() -> None:
    with pytest.raises(ValueError, match="none of the places"):
        ground_fault_clause("attic", 2020)


# NEC 210.8(B), from memory: 125 V, 15 and 20 A up to 2014; from 2017 on 150 V to ground and 50 A,
# three-phase 100 A.
@pytest.mark.parametrize(
    ("phases", "to_ground", "lines", "amperes", "first"),
    [
        (1, 120, None, 20, 2005),
        (1, 120, None, 30, 2017),
        (1, 120, 240, 50, 2017),
        (1, 120, 208, 60, None),
        (1, 277, None, 20, None),
        (3, 120, 208, 100, 2017),
        (3, 120, 208, 125, None),
        (3, 277, 480, 30, None),
    ],
)
def test_circuits(
    phases: int, to_ground: float, lines: float | None, amperes: float, first: int | None
) -> None:
    asked = [e for e in EDITIONS if ground_fault_circuit(phases, to_ground, lines, amperes, e)]
    assert asked == [edition for edition in EDITIONS if first is not None and edition >= first]


def test_an_edition_without_a_table_is_refused() -> None:
    with pytest.raises(ValueError, match="edition 1999"):
        ground_fault_circuit(1, 120, None, 20, 1999)
