"""Which conductors of a circuit are counted for the adjustment of ampacity: 310.15(C) and (E).

Only those that carry current count: an equipment ground never; the neutral of a balanced circuit
not; the neutral of two poles of a wye does (from memory).
"""

from pathlib import Path

import pytest

from recordgen.calc.answer import Value
from recordgen.calc.study.feeders import ConductorAnswer
from tests.network.asking import portfolio

ALL = "size: 12 AWG Cu, neutral: 12 AWG Cu, ground: 12 AWG Cu, insulation: THHN, terminals: 75 C"


@pytest.mark.parametrize(
    ("system", "position", "poles", "counted"),
    [
        ("120/240", "1", 1, 2),
        ("208Y/120", "1", 1, 2),
        ("120/240", "1-3", 2, 2),
        ("208Y/120", "1-3", 2, 3),
        ("208Y/120", "1-3-5", 3, 3),
    ],
)
def test_only_conductors_that_carry_current_count(
    tmp_path: Path, system: str, position: str, poles: int, counted: int
) -> None:
    records = (
        "sources: {UTIL: {kind: utility}}\n"
        f"panels: {{LP: {{kind: panelboard, main: lugs, system: {system}, fed_from: UTIL, "
        f"circuits: {{{position}: {{device: {{rating: 20 A, poles: {poles}}}, "
        f"conductors: {{{ALL}}}, loads: none}}}}}}}}\n"
    )
    answers = portfolio(tmp_path, records, ", code_edition: NEC 2020").study.conductors
    found = answers.of(f"home:LP/{position}")
    assert isinstance(found, ConductorAnswer)
    assert isinstance(found.ampacity, Value)
    (told,) = (
        given.value
        for given in found.ampacity.inputs
        if given.name == "current-carrying conductors"
    )
    assert told == f"{counted}, alone in the raceway"
    # Trap T15: many pages count every conductor, which makes 30 A × 0.80 of two poles and of three.
    # It is the 25 A of terminals of 75 °C.
    assert found.ampacity.amount == 25
