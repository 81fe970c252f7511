"""Panels: the cases worked elsewhere, each with its source in data/other_cases.json."""

import csv
from pathlib import Path

import pytest

from recordgen.calc.connected_load import LoadPart
from recordgen.calc.line_current import leg_voltages, phasor_amperes
from recordgen.records.phase import position_phase
from tests.calc.worked_cases import expected, inputs

POSITIONS = Path(__file__).parents[1] / "data" / "panel_position_phase.csv"


def test_the_phase_of_a_position_goes_by_its_row() -> None:
    # Case P01. Trap T4: number modulo 3 puts 17 on B.
    circuit = inputs("P01")["circuit"]
    assert position_phase(circuit, 3) == expected("P01")
    assert "CAB"[circuit % 3] == "B" != expected("P01")


@pytest.mark.parametrize("case", ["P02", "P03"])
def test_the_phases_of_a_device_with_several_poles(case: str) -> None:
    # Every other position from the first one.
    first, poles = inputs(case)["first"], inputs(case)["poles"]
    found = [position_phase(first + 2 * pole, 3) for pole in range(poles)]
    assert "".join(map(str, found)) == expected(case)


def test_the_volts_of_a_high_leg() -> None:
    # Case P04; 0.01 V.
    assert abs(leg_voltages(240, 120, 3, "B")["B"]) == pytest.approx(expected("P04"), abs=0.01)


def test_the_volts_of_every_position_beside_a_high_leg() -> None:
    # tests/data/panel_position_phase.csv: 120 V, or "208" for 207.85, rounded to 1 V.
    volts = leg_voltages(240, 120, 3, "B")
    table = list(csv.DictReader(POSITIONS.read_text("utf-8").splitlines()))
    assert len(table) == 84
    for row in table:
        leg = position_phase(int(row["position"]), 3)
        assert leg is not None
        printed = float(row["volts_to_neutral_high_leg_delta_240_120"])
        assert abs(volts[leg]) == pytest.approx(printed, abs=0.5)


def test_the_neutral_of_two_legs_of_a_wye() -> None:
    # Case P06.
    parts = [
        LoadPart(amperes * 120, leg, 1)
        for leg, amperes in zip("ABC", inputs("P06")["I"], strict=True)
    ]
    neutral = abs(phasor_amperes(parts, 208, 120, 3).neutral)
    assert neutral == pytest.approx(expected("P06"), abs=0.001)


def test_a_neutral_shared_on_opposite_legs_and_on_one() -> None:
    # Case P07.
    one, other = (amperes * 120 for amperes in inputs("P07")["I"])
    found = [
        abs(phasor_amperes([LoadPart(one, "A", 1), LoadPart(other, leg, 1)], 240, 120, 1).neutral)
        for leg in ("B", "A")
    ]
    assert found == pytest.approx(expected("P07"))
